"""What is known of the place: waters, neighbours, rules, and hands to dig."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Circumstances:
    """Distances from the beds in m, None if unknown; who is near; what the local rules say.

    ``burial_allowed`` is "yes", "no" or "unknown".
    """

    stream_m: float | None = None
    well_m: float | None = None
    farmed_animals_near: bool = False
    burial_allowed: str = "unknown"
    animal_food_barred: bool = False


@dataclass(frozen=True)
class Further:
    """Ground of the site beside the beds, m², and the most nitrogen a year there, kg/m²."""

    area_m2: float = 0.0
    nitrogen_kg_m2: float = 0.0


@dataclass(frozen=True)
class Hands:
    """Hours that people have for burying in a week; what one vessel and one metre of trench take.
    Without bounds where nothing is known."""

    week_h: float = float("inf")
    vessel_h: float = 0.0
    metre_h: float = 0.0
