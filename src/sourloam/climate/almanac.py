"""Places of days in the year that fit every year: 366 of them, 29 February among them."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Dates = NDArray[np.datetime64]
PLACES = 366
LEAP_PLACE = 59  # method: 29 February is the sixtieth day of a leap year


def year_of(dates: Dates) -> NDArray[np.int64]:
    """Calendar year of each date, of the shape of ``dates``."""
    return np.asarray(dates.astype("datetime64[Y]").astype(np.int64) + 1970)  # method: epoch


def place_of(dates: Dates) -> NDArray[np.int64]:
    """Place 0..365 of each date in the year, of the shape of ``dates``; 1 March has the same place
    in every year."""
    year = dates.astype("datetime64[Y]")
    day = (dates.astype("datetime64[D]") - year.astype("datetime64[D]")).astype(np.int64)
    length = (year + 1).astype("datetime64[D]") - year.astype("datetime64[D]")
    short = length.astype(np.int64) < PLACES
    return np.asarray(day + (short & (day >= LEAP_PLACE)))


def year_table(dates: Dates, values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Whole years of a record, one a row, shape ``(years, 366)``; zero rows if none is whole.

    A year runs from the record's first day to the eve of that day a year on. Where a year has
    no 29 February, the mid of its neighbours stands there.
    """
    row = turns(dates, int(place_of(dates[:1])[0]))
    row = row - row[0]
    table = np.full((int(row[-1]) + 1, PLACES), np.nan)
    table[row, place_of(dates)] = values
    gap = np.isnan(table[:, LEAP_PLACE])
    mid = (table[:, LEAP_PLACE - 1] + table[:, LEAP_PLACE + 1]) / 2
    table[gap, LEAP_PLACE] = mid[gap]
    return np.asarray(table[~np.isnan(table).any(axis=1)])


def turns(dates: Dates, first_place: int) -> NDArray[np.int64]:
    """Running number of the year each date lies in, of the shape of ``dates``, when years begin at
    ``first_place``."""
    return np.asarray(year_of(dates) - (place_of(dates) < first_place))
