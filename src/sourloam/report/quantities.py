"""A range of the plan in words: median, unit, then the 10-90 % ends, in the reader's units."""

from __future__ import annotations

from math import ceil, floor, log10

from sourloam.planning.contract import Range
from sourloam.units import show

BEYOND = "beyond the time foreseen"
_YEAR_DAYS = 365.25
_YEARS_FROM = 3
_FIGURES = 3
_WHOLE_FROM = 10
_NOTHING = 0.005
_NO_BREAK = "\u00a0"
_WORDS = "no one two three four five six seven eight nine ten eleven twelve"

# Unit of the contract -> dimension of the units room, and the size of one in its own unit.
_SHOWN = {
    "kg": ("mass", 1.0),
    "g": ("small_mass", 1e-3),
    "L": ("volume", 1e-3),
    "mL": ("small_volume", 1e-6),
    "m": ("length", 1.0),
    "m2": ("area", 1.0),
    "g/m2": ("mass_per_area", 1e-3),
    "kg/day": ("mass_rate", 1.0),
    "°C": ("temperature", 1.0),
    "%": ("share", 1e-2),
    "mL/week": ("small_volume", 1e-6),
    "L/week": ("volume", 1e-3),
    "kg/person/day": ("mass_rate", 1.0),
    "g/kg": ("dose", 1e-3),
    "mL/kg": ("yield", 1e-6),
}
_SUFFIXES = {"mL/week": " a week", "L/week": " a week", "kg/person/day": " for each person"}
_COUNTED = ("days", "vessels", "layers", "spoons", "weeks")


def word(number: int) -> str:
    """Small whole numbers in words, larger ones in figures."""
    words = _WORDS.split()
    return words[number] if 0 <= number < len(words) else str(number)


def one(value: float | None, unit: str, system: str) -> str:
    """One figure with its unit; None reads as beyond the time foreseen."""
    if value is None:
        return BEYOND
    figure, label = _parts(value, unit, system)
    return _joined(figure, label)


def amount(quantity: Range, system: str) -> str:
    """Such as "26 days (21 to 33)"; all three figures share the unit of the middle one."""
    unit, like = quantity.unit, quantity.median or quantity.high
    if quantity.median is None:
        if quantity.low is None:
            return BEYOND
        return f"{BEYOND} (at the earliest {one(quantity.low, unit, system)})"
    parts = [_parts(v, unit, system, like) for v in _known(quantity)]
    middle = _joined(*_parts(quantity.median, unit, system, like))
    if None not in (quantity.low, quantity.high) and len(set(parts)) == 1:
        return middle
    bare = len({label for _, label in parts}) == 1
    ends = [_end(v, unit, system, like, bare) for v in (quantity.low, quantity.high)]
    return f"{middle} ({ends[0]} to {ends[1]})"


def sayable(unit: str) -> bool:
    """Whether a reader without the science can picture the unit."""
    return unit in _SHOWN or unit in _COUNTED or unit == "share"


def span(quantity: Range, system: str) -> str:
    """Only the ends, such as "21 to 33 days"."""
    low, high, unit = quantity.low, quantity.high, quantity.unit
    if low is None:
        return BEYOND
    if high is None:
        return f"{one(low, unit, system)} to {BEYOND}"
    first, last = (_parts(end, unit, system, high) for end in (low, high))
    if first == last:
        return _joined(*last)
    return f"{first[0] if first[1] == last[1] else _joined(*first)} to {_joined(*last)}"


def _known(quantity: Range) -> list[float]:
    return [v for v in (quantity.low, quantity.median, quantity.high) if v is not None]


def _end(value: float | None, unit: str, system: str, like: float | None, bare: bool) -> str:
    if value is None:
        return BEYOND
    figure, label = _parts(value, unit, system, like)
    return figure if bare else _joined(figure, label)


def odds(chance: float, cases: int | None = None) -> str:
    """A chance as so many in a hundred; none in so many simulated ``cases`` is not called never."""
    hundredth = 100 * chance
    if chance <= 0:
        return f"fewer than {ceil(100 / cases)} in 100" if cases else "0 in 100"
    if hundredth < 0.5:
        return "fewer than 1 in 100"
    if 99.5 < hundredth < 100:
        return "more than 99 in 100"
    return f"{hundredth:.0f} in 100"


def _joined(figure: str, label: str) -> str:
    if figure == "1" and label in _COUNTED:
        label = label.removesuffix("s")
    return f"{figure}{_NO_BREAK if label == '%' else ' '}{label}".strip()


def _parts(value: float, unit: str, system: str, like: float | None = None) -> tuple[str, str]:
    """Figure and unit; ``like`` is the value whose unit is to be used."""
    if unit in _SHOWN:
        dimension, size = _SHOWN[unit]
        shown = show(value * size, dimension, system, None if like is None else like * size)
        figure, _, label = shown.replace(_NO_BREAK, " ").partition(" ")
        return _kitchen(figure), label + _SUFFIXES.get(unit, "")
    if unit in ("share", "1"):
        return (_plain(100 * value, 2), "%") if unit == "share" else (_plain(value, 2), "")
    if unit == "days" and value >= _YEARS_FROM * _YEAR_DAYS:
        return f"{value / _YEAR_DAYS:.0f}", "years"
    return _counted(value, unit), unit


def _kitchen(figure: str) -> str:
    """Without the figures that nobody can vouch for: no decimals from 10, three from 1000."""
    if figure.startswith("0.") and float(figure) < _NOTHING:
        return "0"
    if "." in figure and abs(float(figure)) >= _WHOLE_FROM:
        return f"{float(figure):.0f}"
    if len(figure) <= _FIGURES or not figure.isdigit():
        return figure
    return str(round(int(figure), _FIGURES - len(figure)))


def _plain(value: float, digits: int) -> str:
    """At least so many figures, never fewer than the whole units, never an exponent."""
    if value == 0:
        return "0"
    decimals = max(0, digits - 1 - floor(log10(abs(value))))
    text = f"{value:.{min(decimals, 6)}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _counted(value: float, unit: str) -> str:
    if unit == "spoons":
        return _plain(round(2 * value) / 2, 2) if value >= 0.25 else "less than 0.5"
    if unit in _COUNTED:
        return f"{value:.0f}" if value >= 0.5 or value == 0 else "less than 1"
    return _plain(value, 2)
