"""Finished vessels that wait to be buried."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sourloam.evidence import Parameters
from sourloam.soil import Buried


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

    @property
    def fresh_kg(self) -> float:
        """Median mass of the ferment, kg."""
        return float(np.median(self.ferment.fresh_kg))

    @property
    def nitrogen_kg(self) -> float:
        """Median nitrogen, kg."""
        return float(np.median(self.ferment.nitrogen_kg))

    @property
    def phosphorus_kg(self) -> float:
        """Median phosphorus, kg."""
        return float(np.median(self.ferment.phosphorus_kg))

    @property
    def potassium_kg(self) -> float:
        """Median potassium, kg."""
        return float(np.median(self.ferment.potassium_kg))


def charge_per_kg(vessel: Finished, parameters: Parameters) -> float:
    """Charge of sodium and of the potassium that stays mobile, mol per kg ferment, median."""
    sodium = vessel.ferment.sodium_kg / parameters["acids.mass.sodium"]
    potassium = vessel.ferment.potassium_kg / parameters["acids.mass.potassium"]
    mobile = parameters["soil.potassium.with_mobile_anions"]
    return float(np.median(1000 * (sodium + mobile * potassium) / vessel.ferment.fresh_kg))
