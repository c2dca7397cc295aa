"""Figures of what fermenting brings, as a reader in either system of units writes them."""

from __future__ import annotations

from sourloam.impact.summing import digits_for, figures
from sourloam.numerics.range import Range
from sourloam.units import factor

_LB_A_SHORT_TON = 2.0  # of one kg a tonne
_SHORT_TON = 2000
_KM_PER_MILE = 1.609344


def shown(value: Range, system: str) -> str:
    """Such as "170 (100 to 250) kg CO2e": middle, then the 10 and 90 % points."""
    return f"{bare(value, system)} {unit_of(value.unit, system)}".strip()


def bare(value: Range, system: str) -> str:
    """The same without its unit."""
    points = [in_units(x or 0.0, value.unit, system) for x in (value.median, value.low, value.high)]
    ends = [figures(x, digits_for(points)) for x in points]
    return ends[0] if ends[1] == ends[2] else f"{ends[0]} ({ends[1]} to {ends[2]})"


def with_unit(value: float | None, unit: str, system: str) -> str:
    """One figure with its unit."""
    return f"{figure(value, unit, system)} {unit_of(unit, system)}"


def rate(kg_a_tonne: float, system: str) -> str:
    """So much for each tonne of scraps."""
    return with_unit(kg_a_tonne, "kg CO2e/t", system)


def unit_of(unit: str, system: str) -> str:
    """A unit of the answer as the reader writes it."""
    if system == "metric":
        return {"kg CO2e/t": "kg CO2e", "t km": "tonne-kilometres"}.get(unit, unit)
    known = {"kg CO2e/t": "lb CO2e", "kg CO2e": "lb CO2e", "kg": "lb", "L": "US gal"}
    return known.get(unit, {"t km": "short ton-miles"}.get(unit, unit))


def figure(value: float | None, unit: str, system: str) -> str:
    """Two figures, in the reader's unit, never an exponent."""
    if value is None:
        return "not known"
    return figures(in_units(value, unit, system))


def in_units(value: float, unit: str, system: str) -> float:
    """A figure of the answer in the reader's unit."""
    return value if system == "metric" else value * _us_factor(unit)


def _us_factor(unit: str) -> float:
    pound = factor("lb", "mass")
    if unit == "t km":
        return 1000 / (pound * _SHORT_TON) / _KM_PER_MILE
    known = {
        "kg": 1 / pound,
        "kg CO2e": 1 / pound,
        "kg CO2e/t": _LB_A_SHORT_TON,
        "L": 1e-3 / factor("us gal", "volume"),
    }
    return known.get(unit, 1.0)
