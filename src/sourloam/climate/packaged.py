"""The real record that comes with Sourloam: the one place in this room that reads a file."""

from __future__ import annotations

import csv
import io
from functools import cache
from importlib.metadata import distribution
from pathlib import Path

import numpy as np

from sourloam.climate.daily import ClimateError, Daily

#: Packaged records by name: the file in the data package ``vega-datasets``.
#: "mild-oceanic": four years, 2012-2015, of a coastal city at 47.6 degrees north, from the US
#: National Oceanic and Atmospheric Administration (public domain).
RECORDS = {"mild-oceanic": "vega_datasets/_data/seattle-weather.csv"}


@cache
def packaged_record(name: str) -> Daily:
    """The packaged record of that name; ClimateError for an unknown name."""
    if name not in RECORDS:
        raise ClimateError(f"record {name!r}: not packaged; right would be {', '.join(RECORDS)}")
    path = Path(str(distribution("vega-datasets").locate_file(RECORDS[name])))
    rows = list(csv.DictReader(io.StringIO(path.read_text(encoding="utf-8"))))
    dates = np.array([row["date"].replace("/", "-") for row in rows], dtype="datetime64[D]")
    if np.any(np.diff(dates) != np.timedelta64(1, "D")):
        raise ClimateError(f"record {name!r}: days are missing from the packaged file")
    low, high = (np.array([float(row[key]) for row in rows]) for key in ("temp_min", "temp_max"))
    return Daily(dates[0], low, high, name)
