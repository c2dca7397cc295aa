"""Possible futures of the air temperature, from the years that were or from a mean year."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from sourloam.climate.almanac import PLACES, place_of, turns, year_table
from sourloam.climate.daily import ClimateError, Daily
from sourloam.evidence import Parameters

EVIDENCE = (
    "climate.weather.sd_by_swing",
    "climate.weather.least_sd",
    "climate.weather.persistence",
    "climate.weather.year_sd",
)


def year_ensemble(
    daily: Daily,
    start: np.datetime64,
    days: int,
    members: int,
    rng: np.random.Generator,
    parameters: Parameters,
) -> NDArray[np.float64]:
    """Daily mean air temperature of a window to come, °C, shape ``(members, days)``.

    A record of two whole years or more: each member takes, for every year of the window, one year
    of the record drawn at random, day for day (29 February from its neighbours where the drawn year
    has none). A smooth curve, or a record of one year smoothed to its two lowest harmonics: weather
    is added as a first-order autoregression with the rows ``EVIDENCE`` (``parameters`` with 1 or
    ``members`` members), the wilder the more the seasons differ. ClimateError for less than a year
    of record, ValueError for no member or no day to come.
    """
    if members < 1 or days < 1:
        raise ValueError(f"members {members}, days {days}: at least 1 of each")
    if parameters.members not in (1, members):
        raise ValueError(f"parameters of {parameters.members} members; expected 1 or {members}")
    table = year_table(daily.dates, daily.mean_c)
    if not len(table):
        raise ClimateError(
            f"{daily.name}: {len(daily)} days; "
            "give at least one whole year (366 with a 29 February)"
        )
    dates = start.astype("datetime64[D]") + np.arange(days)
    if daily.smooth or len(table) == 1:
        curve = table.mean(axis=0) if daily.smooth else _two_harmonics(table[0])
        swing = 2 * np.abs(np.fft.rfft(curve)[1]) / PLACES
        by_swing = parameters["climate.weather.sd_by_swing"] * swing
        sd = np.maximum(by_swing, parameters["climate.weather.least_sd"])
        return curve[place_of(dates)] + _weather(dates, members, rng, sd, parameters)
    return _drawn_years(daily, table, dates, members, rng)


def _drawn_years(
    daily: Daily,
    table: NDArray[np.float64],
    dates: NDArray[np.datetime64],
    members: int,
    rng: np.random.Generator,
) -> NDArray[np.float64]:
    """Years of the record in random order, changing on each anniversary of the window's start.

    Within one year of the window the record's own days follow each other, over its turns of
    the year too, save where it ends and is closed to a ring.
    """
    window_year = turns(dates, int(place_of(dates[:1])[0]))
    window_year = window_year - window_year[0]
    shift = rng.integers(len(table), size=(members, int(window_year[-1]) + 1))
    ring = turns(dates, int(place_of(daily.dates[:1])[0]))
    row = (ring - ring[0] + shift[:, window_year]) % len(table)
    return np.asarray(table[row, place_of(dates)])


def _two_harmonics(year: NDArray[np.float64]) -> NDArray[np.float64]:
    spectrum = np.fft.rfft(year)
    spectrum[3:] = 0
    return np.asarray(np.fft.irfft(spectrum, PLACES))


def _weather(
    dates: NDArray[np.datetime64],
    members: int,
    rng: np.random.Generator,
    sd: NDArray[np.float64],
    parameters: Parameters,
) -> NDArray[np.float64]:
    """Departures from the mean year, K: warm and cold spells, and years as a whole."""
    persistence = parameters["climate.weather.persistence"]
    window_year = turns(dates, int(place_of(dates[:1])[0]))
    window_year = window_year - window_year[0]
    whole_years = rng.standard_normal((members, int(window_year[-1]) + 1))
    whole_years *= parameters["climate.weather.year_sd"][:, None]
    # Days first while they follow each other: a row lies together in memory.
    spells = np.ascontiguousarray(rng.standard_normal((members, dates.size)).T)
    fresh = np.sqrt(1 - persistence**2)
    for before, today in pairwise(spells):
        today *= fresh
        today += persistence * before
    return np.asarray(sd[:, None] * spells.T + whole_years[:, window_year])
