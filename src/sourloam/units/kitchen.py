"""Spoonfuls of bran and dilutions of liquid."""

from __future__ import annotations

from sourloam.evidence import book
from sourloam.units.registry import factor

#: Names that ``spoons`` takes.
SPOONS = (
    "us_tablespoon",
    "metric_tablespoon",
    "australian_tablespoon",
    "uk_tablespoon",
    "canadian_tablespoon",
    "us_teaspoon",
    "metric_teaspoon",
)
_LANDS = {"us": "US", "uk": "UK", "australian": "Australian", "canadian": "Canadian"}


def spoons(mass_kg: float, bulk_density_kg_m3: float, spoon: str = "us_tablespoon") -> float:
    """Level spoonfuls that hold ``mass_kg`` of a powder; KeyError for an unknown spoon."""
    if spoon not in SPOONS:
        raise KeyError(spoon)
    row = book()[f"units.{spoon}"]
    return mass_kg / bulk_density_kg_m3 / (row.value * factor(row.unit, "volume"))


def spoon_words(spoon: str) -> str:
    """The name of a kind of spoon as people write it, such as "US tablespoon"."""
    land, _, size = spoon.partition("_")
    return f"{_LANDS.get(land, land)} {size}"


def dilution_ratio(volume_m3: float, water_m3: float) -> float:
    """Parts of water to one part of liquid: 100 means 1 part with 100 parts of water.

    Raises ValueError where there is no liquid.
    """
    if volume_m3 <= 0:
        raise ValueError(f"liquid {volume_m3} m3: must be above 0")
    return water_m3 / volume_m3
