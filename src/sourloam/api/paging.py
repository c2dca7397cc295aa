"""Pages of an answer: so many items, then what follows the last one."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Annotated, TypeVar

from pydantic import BaseModel, ConfigDict, Field

MOST, USUAL = 200, 50
_LONGEST_CURSOR = 64
_T = TypeVar("_T")

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
