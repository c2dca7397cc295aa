"""Members summed up as a ``Range``."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from sourloam.numerics import Range, spread

_DIGITS = 5  # method: significant digits kept in an answer


def range_of(values: ArrayLike, unit: str) -> Range:
    """Median and 10-90 % points over all values given, already in ``unit``; infinite ones come back
    as None. ValueError without values."""
    summed = spread(np.asarray(values, dtype=np.float64).ravel())
    return Range(
        median=_plain(summed.median), low=_plain(summed.low), high=_plain(summed.high), unit=unit
    )


def _plain(value: ArrayLike) -> float | None:
    number = float(np.asarray(value))
    return float(f"{number:.{_DIGITS}g}") if math.isfinite(number) else None
