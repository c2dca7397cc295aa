"""Members summed up: median, 10 and 90 % points, and words for a chance."""

from __future__ import annotations

import math
from collections.abc import Iterable

import numpy as np
from numpy.typing import ArrayLike

from sourloam.numerics import spread
from sourloam.numerics.range import Range

ENDS = (0.1, 0.5, 0.9)  # method: the points that are told of a range
_DIGITS = 4  # method: significant digits kept in an answer
_NONE_SEEN = 3.0  # method: n draws without a case leave up to 3/n of a chance, 95 % sure
_SHOWN = 2  # method: significant digits that anybody can vouch for


def range_of(values: ArrayLike, unit: str) -> Range:
    """Median and 10-90 % points over ``(members,)`` already in ``unit``, rounded to the figures
    that are shown. ValueError without members."""
    summed = spread(np.asarray(values, dtype=np.float64))
    low, median, high = (
        float(f"{float(x):.{_DIGITS}g}") for x in (summed.low, summed.median, summed.high)
    )
    return Range(median=median, low=low, high=high, unit=unit)


def digits_for(values: Iterable[float]) -> int:
    """Two figures, or one more where it takes that to tell the points of a range apart."""
    points = set(values)
    short = {f"{value:.{_SHOWN}g}" for value in points}
    return _SHOWN if len(short) == len(points) else _SHOWN + 1


def figures(value: float, digits: int = _SHOWN) -> str:
    """A number to so many figures, never with an exponent."""
    value = float(f"{value:.{digits}g}")
    whole = abs(value) >= 10 ** (digits - 1)
    text = f"{value:.0f}" if whole else f"{value:.6f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def unseen(members: int) -> int:
    """What so many draws can't rule out, in a hundred, of what none of them showed; at least 1."""
    return max(1, math.ceil(100 * _NONE_SEEN / members))


def in_hundred(chance: float, members: int) -> str:
    """A share of the members as so many in a hundred; of none or all, what they can vouch for."""
    hundredth = round(100 * chance)
    if chance <= 0:
        return f"fewer than {unseen(members)} in 100"
    if hundredth >= 100:
        return f"more than {100 - unseen(members)} in 100"
    return f"{max(hundredth, 1)} in 100"
