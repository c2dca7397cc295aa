"""The real record that comes with Sourloam: the one place in this room that reads a file."""

from __future__ import annotations

import csv
import io
from functools import cache
from importlib.metadata import distribution
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from sourloam.climate.daily import ClimateError, Daily

#: Packaged records by name: the file in the data package ``vega-datasets``.
#: "mild-oceanic": four years, 2012-2015, of a coastal city at 47.6 degrees north, from the US
#: National Oceanic and Atmospheric Administration (public domain).
RECORDS = {"mild-oceanic": "vega_datasets/_data/seattle-weather.csv"}


@cache
def packaged_record(name: str) -> Daily:
    """The packaged record of that name; ClimateError for an unknown name."""
    rows, dates = _rows(name), _dates(name)
    if np.any(np.diff(dates) != np.timedelta64(1, "D")):
        raise ClimateError(f"record {name!r}: days are missing from the packaged file")
    low, high = (np.array([float(row[key]) for row in rows]) for key in ("temp_min", "temp_max"))
    return Daily(dates[0], low, high, name)


@cache
def packaged_rain_mm(name: str) -> tuple[float, ...]:
    """Mean monthly rain of a packaged record, mm, January first; ClimateError as above."""
    rain = np.array([float(row["precipitation"]) for row in _rows(name)])
    months = _dates(name).astype("datetime64[M]").astype(np.int64)
    sums = [rain[months == month].sum() for month in np.unique(months)]
    place = np.unique(months) % 12
    return tuple(float(np.mean(np.array(sums)[place == k])) for k in range(12))


@cache
def _rows(name: str) -> tuple[dict[str, str], ...]:
    if name not in RECORDS:
        raise ClimateError(f"record {name!r}: not packaged; right would be {', '.join(RECORDS)}")
    path = Path(str(distribution("vega-datasets").locate_file(RECORDS[name])))
    return tuple(csv.DictReader(io.StringIO(path.read_text(encoding="utf-8"))))


def _dates(name: str) -> NDArray[np.datetime64]:
    days = [row["date"].replace("/", "-") for row in _rows(name)]
    return np.array(days, dtype="datetime64[D]")
