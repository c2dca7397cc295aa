"""From a plain number to text that a person can use, rounded as a person would."""

from __future__ import annotations

import math
from dataclasses import dataclass

from sourloam.units.registry import factor

_NEARLY = 1 - 1e-9
_NO_BREAK = "\u00a0"  # keeps a figure and its % on one line, where what shows it can
_US_BED_FT2 = 100  # method: the area for which US gardeners reckon feed
#: Readers' systems of units.
SYSTEMS = ("metric", "us")


def check_system(system: str) -> None:
    """ValueError for a system of units that is none of ``SYSTEMS``."""
    if system not in SYSTEMS:
        raise ValueError(f"units {system!r}: expected one of {', '.join(SYSTEMS)}")


@dataclass(frozen=True)
class _Scale:
    """One unit to show in, used from ``start`` of it upwards."""

    unit: str
    label: str
    start: float = 0.0
    digits: int = 2


_METRIC: dict[str, tuple[_Scale, ...]] = {
    "mass": (_Scale("kg", "kg", digits=3), _Scale("t", "t", 10, 3)),
    "small_mass": (_Scale("g", "g", digits=2), _Scale("kg", "kg", 1, 3)),
    "volume": (_Scale("L", "L", digits=2), _Scale("m3", "m³", 2, 3)),
    "small_volume": (_Scale("mL", "mL", digits=2), _Scale("L", "L", 1, 2)),
    "length": (_Scale("cm", "cm", digits=2), _Scale("m", "m", 1, 3)),
    "small_length": (_Scale("mm", "mm", digits=2),),
    "area": (_Scale("cm2", "cm²", digits=2), _Scale("m2", "m²", 0.1, 2)),
    "density": (_Scale("kg/m3", "kg/m³", digits=2),),
    "mass_per_area": (_Scale("g/m2", "g/m²", digits=2), _Scale("kg/m2", "kg/m²", 1, 2)),
    "mass_rate": (_Scale("g/day", "g a day", digits=2), _Scale("kg/day", "kg a day", 0.1, 2)),
    "dose": (_Scale("g/kg", "g per kg", digits=2),),
    "yield": (_Scale("mL/kg", "mL per kg", digits=2),),
    "volume_rate": (_Scale("mL/day", "mL a day", digits=2), _Scale("L/day", "L a day", 1, 2)),
}
_US: dict[str, tuple[_Scale, ...]] = {
    "mass": (_Scale("lb", "lb", digits=2),),
    "small_mass": (_Scale("oz", "oz", digits=2), _Scale("lb", "lb", 1, 2)),
    "volume": (_Scale("us gal", "US gal", digits=2),),
    "small_volume": (
        _Scale("us fl oz", "US fl oz", digits=2),
        _Scale("us gal", "US gal", 1, 2),
    ),
    "length": (_Scale("in", "in", digits=2), _Scale("ft", "ft", 3, 2)),
    "small_length": (_Scale("in", "in", digits=2),),
    "area": (_Scale("ft2", "sq ft", digits=2),),
    "density": (_Scale("lb/ft3", "lb per cu ft", digits=2),),
    "mass_per_area": (
        _Scale("oz/ft2", "oz per sq ft", digits=2),
        _Scale("lb/ft2", "lb per sq ft", 1, 2),
    ),
    "mass_rate": (_Scale("lb/day", "lb a day", digits=2),),
    "dose": (_Scale("oz/lb", "oz per lb", digits=2),),
    "yield": (_Scale("us fl oz/lb", "US fl oz per lb", digits=2),),
    "volume_rate": (
        _Scale("us fl oz/day", "US fl oz a day", digits=2),
        _Scale("us gal/day", "US gal a day", 1, 2),
    ),
}
_DURATION = (
    _Scale("hour", "hours", digits=2),
    _Scale("day", "days", 1, 2),
    _Scale("week", "weeks", 3, 2),
    _Scale("year", "years", 2, 2),
)


def show(value: float, dimension: str, system: str = "metric", like: float | None = None) -> str:
    """Text for a number in the dimension's own unit, such as "15.9 kg" or "3.1 US fl oz".

    ``like`` is a number whose unit is to be used, so that figures side by side share one.
    Infinity reads "beyond the horizon" and NaN "not known". KeyError for an unknown dimension
    or system.
    """
    if odd := _odd(value):
        return odd
    scale = _scale(value if like is None else like, dimension, system)
    return _joined(_figure(value, dimension, scale), scale.label)


def show_on_bed(kg_m2: float, system: str = "metric") -> str:
    """A nutrient on a square metre of bed; on 100 sq ft for US readers."""
    if system != "us":
        return show(kg_m2, "mass_per_area", system)
    kg = kg_m2 * _US_BED_FT2 * factor("ft2", "area")
    return f"{show(kg, 'small_mass', system)} on {_US_BED_FT2} sq ft"


def percent(share: float) -> str:
    """A share in whole hundredths, such as "60 %", with a space that does not break."""
    return _joined(f"{100 * share:.0f}", "%")


def show_range(
    low: float, high: float, dimension: str, system: str = "metric", like: float | None = None
) -> str:
    """Both ends in one unit, such as "60 to 120 mL"; one figure if they round to the same.

    ``like`` is a number whose unit is to be used, such as the middle that stands beside it.
    """
    if _odd(low) or _odd(high):
        first, last = show(low, dimension, system), show(high, dimension, system)
        return first if first == last else f"{first} to {last}"
    scale = _scale(high if like is None else like, dimension, system)
    first, last = (_figure(end, dimension, scale) for end in (low, high))
    if first == last:
        return _joined(last, scale.label)
    return f"{first} to {_joined(last, scale.label)}"


def _odd(value: float) -> str:
    if math.isnan(value):
        return "not known"
    return "beyond the horizon" if math.isinf(value) else ""


def _joined(figure: str, label: str) -> str:
    if figure == "1" and label in ("hours", "days", "weeks", "years"):
        label = label.removesuffix("s")
    space = _NO_BREAK if label == "%" else " "
    return f"{figure}{space}{label}".strip()


def _scale(value: float, dimension: str, system: str) -> _Scale:
    tables = {"metric": _METRIC, "us": _US}[system]
    if dimension == "duration":
        scales: tuple[_Scale, ...] = _DURATION
    elif dimension in ("temperature", "temperature_difference"):
        return _Scale("", "°F" if system == "us" else "°C", digits=0)
    elif dimension in ("share", "ratio"):
        return _Scale("", "%" if dimension == "share" else "", digits=2)
    else:
        scales = tables[dimension]
    fitting = [s for s in scales if abs(value) >= s.start * factor(s.unit, dimension) * _NEARLY]
    return fitting[-1]


def _figure(value: float, dimension: str, scale: _Scale) -> str:
    if dimension == "temperature":
        return _fixed(value * 9 / 5 + 32 if scale.label == "°F" else value, 0)
    if dimension == "temperature_difference":
        return _fixed(value * 9 / 5 if scale.label == "°F" else value, 1)
    if dimension == "share":
        return _rounded(value * 100, scale.digits)
    if dimension == "ratio":
        return "1:" + _rounded(value, 3)
    return _rounded(value / factor(scale.unit, dimension), scale.digits)


def _rounded(value: float, digits: int) -> str:
    """At least ``digits`` significant figures, never fewer than the whole units."""
    if value == 0:
        return "0"
    magnitude = math.floor(math.log10(abs(value)))
    return _fixed(value, max(0, digits - 1 - magnitude))


def _fixed(value: float, decimals: int) -> str:
    text = f"{value:.{min(decimals, 6)}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text
