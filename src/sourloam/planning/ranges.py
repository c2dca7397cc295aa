"""Members summed up as a ``Range``, and ranges put into words."""

from __future__ import annotations

import math
import re

import numpy as np
from numpy.typing import ArrayLike

from sourloam.numerics import spread
from sourloam.planning.contract import Range
from sourloam.units import show, show_range

_FEW = 10  # method: below this a day is told with a decimal
_DIGITS = 5  # method: significant digits kept in an answer
_LITRE, _GRAM, _HUNDRED = 1000.0, 1000.0, 100.0
#: Unit of a Range -> dimension of the units room and the factor to its own unit. Days, vessels,
#: shares and the like have none: they are told as plain numbers.
_DIMENSIONS = {
    "kg": ("mass", 1.0),
    "kg/day": ("mass_rate", 1.0),
    "g": ("small_mass", 1 / _GRAM),
    "L": ("volume", 1 / _LITRE),
    "mL": ("small_volume", 1e-6),
    "m": ("length", 1.0),
    "m2": ("area", 1.0),
    "°C": ("temperature", 1.0),
    "g/m2": ("mass_per_area", 1 / _GRAM),
    "g/kg": ("dose", 1 / _GRAM),
    "mL/kg": ("yield", 1e-6),
    "%": ("share", 1 / _HUNDRED),
}


def range_of(values: ArrayLike, unit: str) -> Range:
    """Median and 10-90 % points over all values given, of any shape and already in ``unit``;
    infinite ones come back as None. ValueError without values."""
    data = np.asarray(values, dtype=np.float64).ravel()
    summed = spread(data)
    return Range(
        median=_plain(summed.median),
        low=_plain(summed.low),
        high=_plain(summed.high),
        unit=unit,
    )


def _plain(value: ArrayLike) -> float | None:
    number = float(np.asarray(value))
    if not math.isfinite(number):
        return None
    return float(f"{number:.{_DIGITS}g}")


def words(value: Range, system: str, gap: str = "beyond the time foreseen") -> str:
    """The 10-90 % range in words, such as "24 to 31 days"."""
    if value.unit not in _DIMENSIONS:
        return _counted(value, gap)
    dimension, factor = _DIMENSIONS[value.unit]
    if value.low is None:
        return gap
    if value.high is None:
        return f"{show(value.low * factor, dimension, system)} or more"
    return plain_figures(show_range(value.low * factor, value.high * factor, dimension, system))


def plain_figures(text: str) -> str:
    """The text with its large whole numbers told to three figures: nobody can vouch for more."""
    return re.sub(r"\d{4,}", lambda found: _three(found[0]), text)


def _three(figures: str) -> str:
    return str(round(int(figures), 3 - len(figures)))


def middle(value: Range, system: str, gap: str = "beyond the time foreseen") -> str:
    """The median in words, such as "27 days"."""
    if value.median is None:
        return gap
    if value.unit not in _DIMENSIONS:
        return f"{_whole(value.median, value.median < _FEW)} {value.unit}"
    dimension, factor = _DIMENSIONS[value.unit]
    return plain_figures(show(value.median * factor, dimension, system))


def _counted(value: Range, gap: str) -> str:
    if value.low is None:
        return gap
    fine = value.high is not None and value.high < _FEW
    low = _whole(value.low, fine)
    if value.high is None:
        return f"{low} {value.unit} or more"
    high = _whole(value.high, fine)
    return f"{low} {value.unit}" if low == high else f"{low} to {high} {value.unit}"


def _whole(number: float, fine: bool) -> str:
    """Whole numbers, or one decimal where all are small."""
    return f"{number:.1f}".removesuffix(".0") if fine else f"{number:.0f}"


def scaled(value: Range, factor: float, unit: str) -> Range:
    """A range times a factor, in another unit."""
    ends = (value.median, value.low, value.high)
    median, low, high = (None if x is None else _plain(x * factor) for x in ends)
    return Range(median=median, low=low, high=high, unit=unit)
