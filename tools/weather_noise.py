"""How far days depart from the mean year: the figures behind the rows ``climate.weather.*``.

Usage: ``python tools/weather_noise.py FOLDER`` with the ``*_climate.txt`` files of the Python
package aquacrop 3.1.0 (unpack its wheel; its folder ``aquacrop/data``). The record packaged with
Sourloam is taken too. Each line: the year's wave (K), standard deviation of daily means about
two harmonics (K), their ratio, correlation of a day with the next, and the standard deviation
of whole years beyond what those daily departures explain (K, straight trend taken out).
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np

from sourloam.climate import packaged_record


def figures(dates, mean_c):
    """Wave, sd, ratio, persistence, sd of years; the last NaN below eight whole years."""
    angle = 2 * np.pi * (dates - dates[0]).astype(int) / 365.25
    waves = [f(k * angle) for k in (1, 2) for f in (np.cos, np.sin)]
    base = np.column_stack([np.ones_like(angle), *waves])
    weights = np.linalg.lstsq(base, mean_c, rcond=None)[0]
    rest = mean_c - base @ weights
    wave, sd = np.hypot(weights[1], weights[2]), rest.std()
    persistence = np.corrcoef(rest[1:], rest[:-1])[0, 1]
    by_days = sd**2 * (1 + persistence) / (1 - persistence) / 365
    years = np.sqrt(np.maximum(_years(dates, mean_c) - by_days, 0))
    return wave, sd, sd / wave, persistence, years


def _years(dates, mean_c):
    year = dates.astype("datetime64[Y]").astype(int)
    whole = [y for y in np.unique(year) if (year == y).sum() >= 365]
    if len(whole) < 8:
        return np.nan
    means = np.array([mean_c[year == y].mean() for y in whole])
    means -= np.polyval(np.polyfit(whole, means, 1), whole)
    return (means**2).sum() / (len(whole) - 2)


def _read(path):
    rows = np.loadtxt(path, skiprows=1, usecols=range(5))
    text = [f"{int(y):04d}-{int(m):02d}-{int(d):02d}" for d, m, y in rows[:, :3]]
    return np.array(text, dtype="datetime64[D]"), rows[:, 3:5].mean(axis=1)


def main(folder):
    """Print one line a record."""
    record = packaged_record("mild-oceanic")
    found = {"mild-oceanic": (record.dates, record.mean_c)}
    found |= {
        p.stem.removesuffix("_climate"): _read(p)
        for p in sorted(Path(folder).glob("*_climate.txt"))
    }
    print(f"{'record':16} {'wave':>6} {'sd':>6} {'ratio':>6} {'next':>6} {'years':>6}")
    for name, (dates, mean_c) in found.items():
        print(f"{name:16}", *(f"{value:6.2f}" for value in figures(dates, mean_c)))


if __name__ == "__main__":
    main(sys.argv[1])
