"""Spoonfuls of bran."""

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
