"""Seasons named from the temperatures themselves, so that either half of the Earth is right."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from sourloam.climate.daily import ClimateError
from sourloam.evidence import Parameters

EVIDENCE = ("climate.season.least_range",)
ALL_YEAR = "all year"
SEASONS = ("winter", "spring", "summer", "autumn")


def season_of(monthly_c: ArrayLike, parameters: Parameters) -> tuple[str, ...]:
    """Season of each calendar month, January first, from twelve monthly means, °C.

    The coldest three months in a row are winter and the others follow. Where the warmest
    three months are less than ``climate.season.least_range`` (median of the members) above the
    coldest three, every month is ``"all year"``. Raises ClimateError unless given 12 numbers.
    """
    means = np.asarray(monthly_c, dtype=np.float64)
    if means.shape != (12,) or not np.isfinite(means).all():
        raise ClimateError("seasons: give twelve monthly means in °C, January first")
    three = (means + np.roll(means, -1) + np.roll(means, -2)) / 3
    if three.max() - three.min() < np.median(parameters[EVIDENCE[0]]):
        return (ALL_YEAR,) * 12
    first = int(np.argmin(three))
    return tuple(SEASONS[(month - first) % 12 // 3] for month in range(12))
