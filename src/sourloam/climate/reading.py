"""Reading a person's own temperature record from the text of a table."""

from __future__ import annotations

import re

import numpy as np
from numpy.typing import NDArray

from sourloam.climate.curve import COLDEST_C, HOTTEST_C
from sourloam.climate.daily import ClimateError, Daily

LARGEST_CHARACTERS = 20_000_000  # method: bound on memory and time
MOST_LINES = 150_000  # method: four centuries of days
LONGEST_GAP_DAYS = 5
_ISO = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_COLUMNS = "date,tmin_c,tmax_c (or tmin_f,tmax_f)"
_Number = NDArray[np.float64]


def read_csv(text: str, name: str = "temperatures") -> Daily:
    """A record from a table with a head line ``date,tmin_c,tmax_c`` (or ``tmin_f,tmax_f``).

    Comma, semicolon or tab part the columns; further columns are left aside; dates are
    YYYY-MM-DD, in order. Up to five missing days in a row (absent, or with an empty cell) are
    filled along a straight line and named in ``notes``. Raises ClimateError with one line.
    """
    if len(text) > LARGEST_CHARACTERS:
        raise ClimateError(f"{name}: larger than 20 MB; give daily values, one line a day")
    if text.count("\n") > MOST_LINES:
        raise ClimateError(
            f"{name}: more than {MOST_LINES} lines; give daily values, one line a day"
        )
    if "\0" in text or "\ufffd" in text:
        raise ClimateError(f"{name}: is not UTF-8 text; save it as CSV in UTF-8")
    lines = [
        (number, line)
        for number, line in enumerate(text.removeprefix("\ufeff").splitlines(), start=1)
        if line.strip() and not line.lstrip().startswith("#")
    ]
    if not lines:
        raise ClimateError(f"{name}: is empty; give a head line {_COLUMNS} and one line a day")
    mark, places, fahrenheit = _head(lines[0][1], name)
    if len(lines) == 1:
        raise ClimateError(f"{name}: holds no day below its head line")
    rows = [_day(line, mark, places, f"{name}: line {number}") for number, line in lines[1:]]
    dates = np.array([row[0] for row in rows], dtype="datetime64[D]")
    _in_order(dates, [number for number, _ in lines[1:]], name)
    values = np.array([row[1:] for row in rows], dtype=np.float64)
    if fahrenheit:
        values = (values - 32) / 1.8  # method: the scale's definition
    _check_values(values, [number for number, _ in lines[1:]], name)
    return _without_gaps(dates, values, name)


def _head(line: str, name: str) -> tuple[str, tuple[int, int, int], bool]:
    mark = next((m for m in ("\t", ";", ",") if m in line), ",")
    heads = [cell.strip().strip('"').lower() for cell in line.split(mark)]
    for fahrenheit, pair in ((False, ("tmin_c", "tmax_c")), (True, ("tmin_f", "tmax_f"))):
        wanted = ("date", *pair)
        if all(heads.count(head) == 1 for head in wanted):
            first, low, high = (heads.index(head) for head in wanted)
            return mark, (first, low, high), fahrenheit
    raise ClimateError(f"{name}: head line {_short(line)}; give {_COLUMNS}, each once")


def _day(
    line: str, mark: str, places: tuple[int, int, int], where: str
) -> tuple[np.datetime64, float, float]:
    cells = [cell.strip().strip('"') for cell in line.split(mark)]
    if len(cells) <= max(places):
        raise ClimateError(f"{where}: {len(cells)} columns; the head line promises more")
    date, low, high = (cells[place] for place in places)
    try:
        if not _ISO.fullmatch(date):
            raise ValueError
        day = np.datetime64(date, "D")
    except ValueError:
        raise ClimateError(f"{where}: {_short(date)} is no date; give YYYY-MM-DD") from None
    return day, _number(low, mark, where), _number(high, mark, where)


def _number(cell: str, mark: str, where: str) -> float:
    """A temperature; NaN for an empty cell."""
    if not cell:
        return np.nan
    plain = cell if mark == "," else cell.replace(",", ".")
    try:
        value = float(plain)
    except ValueError:
        value = np.nan
    if not np.isfinite(value) or "_" in plain:
        raise ClimateError(f"{where}: {_short(cell)} is no temperature; give a number or nothing")
    return value


def _in_order(dates: NDArray[np.datetime64], numbers: list[int], name: str) -> None:
    step = np.diff(dates).astype(int)
    if np.all(step > 0):
        return
    index = int(np.argmax(step <= 0)) + 1
    where = f"{name}: line {numbers[index]}: {dates[index]}"
    if step[index - 1] == 0:
        raise ClimateError(f"{where} stands twice; give each day once")
    raise ClimateError(f"{where} comes after {dates[index - 1]}; put the days in order")


def _check_values(values: _Number, numbers: list[int], name: str) -> None:
    impossible = ((values < COLDEST_C) | (values > HOTTEST_C)).any(axis=1)
    if impossible.any():
        index = int(np.argmax(impossible))
        low, high = values[index]
        raise ClimateError(
            f"{name}: line {numbers[index]}: {low:g} to {high:g} °C is no air temperature on Earth"
        )
    crossed = values[:, 0] > values[:, 1]
    if crossed.any():
        index = int(np.argmax(crossed))
        raise ClimateError(
            f"{name}: line {numbers[index]}: the lowest temperature is above the highest; "
            "swap the two"
        )


def _without_gaps(dates: NDArray[np.datetime64], values: _Number, name: str) -> Daily:
    known = ~np.isnan(values).any(axis=1)
    dates, values = dates[known], values[known]
    if not dates.size:
        raise ClimateError(f"{name}: no day has both temperatures")
    missing = np.diff(dates).astype(int) - 1
    if missing.size and missing.max() > LONGEST_GAP_DAYS:
        index = int(np.argmax(missing))
        raise ClimateError(
            f"{name}: {missing[index]} days missing after {dates[index]}; "
            f"at most {LONGEST_GAP_DAYS} in a row can be filled"
        )
    offset = (dates - dates[0]).astype(int)
    every = np.arange(int(offset[-1]) + 1)
    low, high = (np.interp(every, offset, column) for column in values.T)
    filled = every.size - dates.size
    notes = (
        (f"{name}: {filled} missing {'day' if filled == 1 else 'days'} filled from neighbours",)
        if filled
        else ()
    )
    return Daily(dates[0], low, high, name, notes=notes)


def _short(text: str) -> str:
    """What was found, quoted and cut so that a message stays one readable line."""
    return repr(text if len(text) <= 40 else text[:40] + "...")  # method: layout
