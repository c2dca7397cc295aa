"""Quantities as people write them, "19 L", checked and turned into SI numbers."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, core_schema

from sourloam import units
from sourloam.site.wording import choice, shown


@dataclass(frozen=True, eq=False)
class Read:
    """Marks a field that one function reads, and its JSON Schema; used inside ``Annotated``."""

    reader: Callable[[object], Any]
    schema: dict[str, Any]

    def __get_pydantic_core_schema__(self, _: object, __: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self.reader)

    def __get_pydantic_json_schema__(
        self, _: CoreSchema, __: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        return dict(self.schema)


def quantity(dimension: str, example: str, least: str, most: str) -> Read:
    """A field that holds an SI float and is written as text with its unit.

    ``least`` and ``most`` are the bounds, as text; ``dimension`` is one of the units room's.
    Reading raises ValueError for no text, a wrong unit or a value out of bounds; its line says what
    would be right, such as ``example``.
    """

    def read(value: object) -> float:
        if not isinstance(value, str):
            raise ValueError(f'found {shown(value)}; write the unit, e.g. "{example}"')
        try:
            number = units.parse(value, dimension)
        except units.UnitError as error:
            raise ValueError(str(error)) from None
        if not _bound(least) <= number <= _bound(most):
            raise ValueError(f"found {shown(value)}; must lie between {least} and {most}")
        return number

    def _bound(text: str) -> float:
        return units.parse(text, dimension)

    span = f"a number with its unit, {least} to {most}"
    return Read(read, {"type": "string", "examples": [example], "description": span})


def one_of(*words: str) -> Read:
    """A field that holds one of a few words."""
    return Read(_chooser(words), {"type": "string", "enum": [*words]})


def _chooser(words: tuple[str, ...]) -> Callable[[object], str]:
    def read(value: object) -> str:
        if not isinstance(value, str) or value not in words:
            raise ValueError(choice(value, words))
        return value

    return read


_MONTH_DAY = re.compile(r"(\d{2})-(\d{2})")
_LEAP = 2000  # any leap year, so that 02-29 may be written


def _date(value: object) -> dt.date:
    if isinstance(value, dt.date) and not isinstance(value, dt.datetime):
        date = value
    elif isinstance(value, str):
        try:
            date = dt.date.fromisoformat(value)
        except ValueError:
            raise ValueError(f"found {shown(value)}; write a date as 2026-03-01") from None
    else:
        raise ValueError(f"found {shown(value)}; write a date as 2026-03-01")
    if not FIRST <= date <= LAST:
        raise ValueError(f"found {date}; must lie between {FIRST} and {LAST}")
    return date


FIRST = dt.date(1970, 1, 1)
LAST = dt.date(2150, 12, 31)


def _month_day(value: object) -> str:
    match = _MONTH_DAY.fullmatch(value) if isinstance(value, str) else None
    try:
        if match is None:
            raise ValueError
        dt.date(_LEAP, int(match[1]), int(match[2]))
    except ValueError:
        raise ValueError(
            f'found {shown(value)}; write month and day as "07-15" (15 July)'
        ) from None
    return match[0]


def _day(value: object) -> dt.date | str:
    if isinstance(value, str) and _MONTH_DAY.fullmatch(value):
        return _month_day(value)
    try:
        return _date(value)
    except ValueError as error:
        raise ValueError(f'{error}, or every year as "07-15"') from None


def _answer(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return _chooser(("yes", "no", "unknown"))(value)


def _line(value: object) -> str:
    if not isinstance(value, str) or not value.strip():
        raise ValueError(f'found {shown(value)}; write a name in quotes, e.g. "Our kitchen"')
    if len(value) > LONGEST_NAME or not value.isprintable():
        raise ValueError(f"found {shown(value)}; write one line of at most {LONGEST_NAME} letters")
    return value.strip()


LONGEST_NAME = 80


def number(least: float, most: float) -> Read:
    """A plain number without a unit, between two bounds; reading raises ValueError for what
    is none."""

    def read(value: object) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise ValueError(
                f"found {shown(value)}; write a number from {least:,.10g} to {most:,.10g}"
            )
        if not least <= value <= most:  # no NaN passes
            raise ValueError(
                f"found {shown(value)}; must lie between {least:,.10g} and {most:,.10g}"
            )
        return float(value)

    return Read(read, {"type": "number", "minimum": least, "maximum": most})


def whole(least: int, most: int) -> Read:
    """A whole number between two bounds; reading raises ValueError for anything else."""

    def read(value: object) -> int:
        if isinstance(value, bool) or not isinstance(value, int):
            raise ValueError(f"found {shown(value)}; write a whole number from {least} to {most}")
        if not least <= value <= most:
            raise ValueError(f"found {shown(value)}; must lie between {least} and {most}")
        return value

    return Read(read, {"type": "integer", "minimum": least, "maximum": most})


Date = Annotated[
    dt.date, Read(_date, {"type": "string", "format": "date", "examples": ["2026-03-01"]})
]
MonthDay = Annotated[
    str,
    Read(_month_day, {"type": "string", "pattern": "^[0-9]{2}-[0-9]{2}$", "examples": ["07-15"]}),
]
Day = Annotated[dt.date | str, Read(_day, {"type": "string", "examples": ["2026-12-19", "12-19"]})]
Answer = Annotated[str, Read(_answer, {"enum": ["yes", "no", "unknown", True, False]})]
Name = Annotated[str, Read(_line, {"type": "string", "minLength": 1, "maxLength": LONGEST_NAME})]
