"""Members summed up: median, 10 and 90 % points, and words for a chance."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from sourloam.numerics import spread
from sourloam.numerics.range import Range

ENDS = (0.1, 0.5, 0.9)  # method: the points that are told of a range
_DIGITS = 4  # method: significant digits kept in an answer
_SHOWN = 2  # method: significant digits that anybody can vouch for


def range_of(values: ArrayLike, unit: str) -> Range:
    """Median and 10-90 % points over the members."""
    summed = spread(np.asarray(values, dtype=np.float64))
    low, median, high = (
        float(f"{float(x):.{_DIGITS}g}") for x in (summed.low, summed.median, summed.high)
    )
    return Range(median=median, low=low, high=high, unit=unit)


def figures(value: float) -> str:
    """A number to two figures, never with an exponent."""
    value = float(f"{value:.{_SHOWN}g}")
    text = f"{value:.0f}" if abs(value) >= 10 else f"{value:.6f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def in_hundred(chance: float) -> str:
    """A chance as so many in a hundred; never quite none or all."""
    if chance <= 0:
        return "fewer than 1 in 100"
    hundredth = round(100 * chance)
    if hundredth >= 100:
        return "more than 99 in 100"
    return f"{max(hundredth, 1)} in 100"
