"""What is asked for in addresses: days, and pages of an answer."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Iterable
from typing import Annotated, TypeVar

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

MOST, USUAL = 200, 50
_LONGEST_CURSOR = 64
_T = TypeVar("_T")


def _a_day(said: object) -> object:
    """Only what is written as a day: a bare number would be read as seconds since 1970."""
    if isinstance(said, str) and not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", said):
        raise ValueError("must be a day, written as 2026-03-01")
    return said


Day = Annotated[dt.date, BeforeValidator(_a_day)]

Limit = Annotated[int, Field(ge=1, le=MOST, description="items in one answer")]


class Asked(BaseModel):
    """Which part of a list is asked for."""

    model_config = ConfigDict(frozen=True)

    limit: Limit = USUAL
    after: Annotated[
        str,
        Field(
            max_length=_LONGEST_CURSOR,
            description="`next` of the answer before; left out: from the beginning",
        ),
    ] = ""


def paged(
    found: Iterable[_T], asked: Asked, key: Callable[[_T], str]
) -> tuple[list[_T], str | None]:
    """Items after the cursor, in the order of their keys, and the cursor of what follows."""
    rest = sorted((one for one in found if key(one) > asked.after), key=key)
    part = rest[: asked.limit]
    return part, key(part[-1]) if len(rest) > len(part) else None
