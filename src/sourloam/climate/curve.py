"""Smooth curves of the mean year, for people who know only a few numbers of their climate."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sourloam.climate.daily import ClimateError, Daily

# Any year without a 29 February would do: a curve stands for every year.
_YEAR = 2001  # method: a year of 365 days
_LEAP = 2004  # method: a year of 366 days
COLDEST_C, HOTTEST_C = -100.0, 70.0  # method: wider than any weather station has read


def from_monthly_means(
    means_c: ArrayLike, start_year: int = _YEAR, years: int = 1, name: str = "monthly means"
) -> Daily:
    """The smoothest periodic curve whose monthly means are exactly ``means_c`` (12,), °C.

    Of all closed curves with those means it bends least (least sum of squared second
    differences). Raises ClimateError unless there are twelve possible temperatures.
    """
    means = np.asarray(means_c, dtype=np.float64)
    if means.shape != (12,):
        raise ClimateError(f"{name}: {means.size} values; give 12 monthly means, January first")
    _possible(means, name)
    first = np.datetime64(f"{start_year:04d}-01-01", "D")
    curve = np.concatenate([_least_bent(means, start_year + k) for k in range(years)])
    return Daily(first, curve, curve.copy(), name, smooth=True)


def from_mean_and_swing(
    mean_c: float, swing_c: float, warmest_day: int, name: str = "mean and swing"
) -> Daily:
    """A cosine year: ``swing_c`` is how far its warmest day lies above the mean, °C.

    (Half of warmest less coldest.) ``warmest_day`` is the day of the year, 1 to 366, about
    which the year is hottest: near 200 in the north, near 20 in the south. Raises ClimateError
    for impossible values.
    """
    if not 1 <= warmest_day <= 366:
        raise ClimateError(f"{name}: warmest day {warmest_day}; give a day of the year, 1 to 366")
    if not swing_c >= 0:
        raise ClimateError(f"{name}: swing {swing_c} °C; give warmest less mean, 0 or more")
    days = np.arange(365)
    curve = mean_c + swing_c * np.cos(2 * np.pi * (days - (warmest_day - 1)) / 365)
    _possible(curve, name)
    return Daily(np.datetime64(f"{_YEAR}-01-01", "D"), curve, curve.copy(), name, smooth=True)


def _possible(values: NDArray[np.float64], name: str) -> None:
    good = np.isfinite(values) & (values >= COLDEST_C) & (values <= HOTTEST_C)
    if not good.all():
        bad = values[int(np.argmin(good))]
        raise ClimateError(f"{name}: {bad:g} °C is no air temperature on Earth")


def _least_bent(means: NDArray[np.float64], year: int) -> NDArray[np.float64]:
    """Daily values of one calendar year: a sum of twelve curves, one for each month's mean."""
    first = np.datetime64(f"{year:04d}-01-01", "D")
    end = np.datetime64(f"{year + 1:04d}-01-01", "D")
    return np.asarray(_month_curves(int((end - first).astype(int))) @ means)


@lru_cache(maxsize=2)
def _month_curves(days: int) -> NDArray[np.float64]:
    """Each month's mean at one, the others at zero, (days, 12): the minimum under constraints, as
    one linear system. Only the number of days in the year decides."""
    year = _LEAP if days > 365 else _YEAR
    first = np.datetime64(f"{year:04d}-01-01", "D")
    month = (first + np.arange(days)).astype("datetime64[M]").astype(int) % 12
    averaging = (month[None, :] == np.arange(12)[:, None]).astype(np.float64)
    averaging /= averaging.sum(axis=1, keepdims=True)
    same = np.eye(days)
    bend = np.roll(same, 1, axis=1) - 2 * same + np.roll(same, -1, axis=1)
    system = np.block([[bend.T @ bend, averaging.T], [averaging, np.zeros((12, 12))]])
    right = np.vstack([np.zeros((days, 12)), np.eye(12)])
    found = np.asarray(np.linalg.solve(system, right)[:days])
    found.flags.writeable = False
    return found
