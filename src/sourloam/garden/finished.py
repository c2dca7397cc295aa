"""Finished vessels that wait to be buried."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from sourloam.numerics import middle
from sourloam.soil import Buried

_FIGURES = 3  # method: makes that agree to so many figures are one
_LOOKED_AT = (
    "dry_kg",
    "carbon_kg",
    "lactic_kg",
    "acetic_kg",
    "butyric_kg",
    "nitrogen_kg",
    "ammonium_nitrogen_kg",
    "phosphorus_kg",
    "potassium_kg",
    "sodium_kg",
)


@dataclass(frozen=True)
class Finished:
    """A vessel whose rest is over on ``ready_day`` (days since the plan's start).

    ``with_meat`` says whether any meat, fish, egg, dairy or plate waste went in, ``much_meat``
    whether so much that animals will dig for it.
    """

    name: str
    ready_day: int
    ferment: Buried
    with_meat: bool = False
    much_meat: bool = False

    def __post_init__(self) -> None:
        if not np.all(self.ferment.fresh_kg > 0):
            raise ValueError(f"{self.name}: fresh_kg must be above 0")

    @cached_property
    def fresh_kg(self) -> float:
        """Median mass of the ferment, kg."""
        return middle(self.ferment.fresh_kg)

    @cached_property
    def nitrogen_kg(self) -> float:
        """Median nitrogen, kg."""
        return middle(self.ferment.nitrogen_kg)

    @cached_property
    def phosphorus_kg(self) -> float:
        """Median phosphorus, kg."""
        return middle(self.ferment.phosphorus_kg)

    @cached_property
    def potassium_kg(self) -> float:
        """Median potassium, kg."""
        return middle(self.ferment.potassium_kg)


def makes_of(vessels: tuple[Finished, ...]) -> tuple[int, ...]:
    """A number for each vessel: the same where the ferment has the same make per kg."""
    known: dict[tuple[float, ...], int] = {}
    return tuple(known.setdefault(_per_kg(vessel.ferment), len(known)) for vessel in vessels)


def _per_kg(ferment: Buried) -> tuple[float, ...]:
    """Medians per kg of all that the soil looks at, to a few figures."""
    amounts = [float(np.median(getattr(ferment, f) / ferment.fresh_kg)) for f in _LOOKED_AT]
    return (
        *(float(f"{x:.{_FIGURES}g}") for x in amounts),
        float(np.round(np.median(ferment.ph), 1)),
    )
