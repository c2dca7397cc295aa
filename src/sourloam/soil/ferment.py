"""What is buried: the ferment of one vessel, or as much of it as goes into one place."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Protocol, Self

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import Parameters

Array = NDArray[np.float64]


class Buried(Protocol):
    """Amounts, kg (``ph`` apart), shape ``(members,)``: what a vessel's finished contents offer."""

    @property
    def fresh_kg(self) -> Array:
        """All of it."""

    @property
    def dry_kg(self) -> Array:
        """Dry matter."""

    @property
    def water_kg(self) -> Array:
        """Water."""

    @property
    def lactic_kg(self) -> Array:
        """Lactic acid."""

    @property
    def acetic_kg(self) -> Array:
        """Acetic acid."""

    @property
    def butyric_kg(self) -> Array:
        """Butyric acid."""

    @property
    def carbon_kg(self) -> Array:
        """Organic carbon, that of the acids too."""

    @property
    def nitrogen_kg(self) -> Array:
        """Nitrogen, the ammonium too."""

    @property
    def ammonium_nitrogen_kg(self) -> Array:
        """Nitrogen that is ammonium."""

    @property
    def phosphorus_kg(self) -> Array:
        """Phosphorus."""

    @property
    def potassium_kg(self) -> Array:
        """Potassium."""

    @property
    def sodium_kg(self) -> Array:
        """Sodium."""

    @property
    def ph(self) -> Array:
        """pH."""


@dataclass(frozen=True)
class Portion:
    """A stated or scaled amount of ferment; arrays of shape ``(members,)``, kg (``ph`` apart).

    ``carbon_kg`` counts the carbon of the acids; ``nitrogen_kg`` counts the ammonium.
    """

    fresh_kg: Array
    dry_kg: Array
    water_kg: Array
    lactic_kg: Array
    acetic_kg: Array
    butyric_kg: Array
    carbon_kg: Array
    nitrogen_kg: Array
    ammonium_nitrogen_kg: Array
    phosphorus_kg: Array
    potassium_kg: Array
    sodium_kg: Array
    ph: Array

    @classmethod
    def of(cls, ferment: Buried, fresh_kg: float) -> Self:
        """So many kg of a known ferment; ValueError if there is none to scale."""
        if not np.all(ferment.fresh_kg > 0):
            raise ValueError("ferment: fresh_kg must be above 0 in every member")
        share = fresh_kg / ferment.fresh_kg
        amounts = {f.name: getattr(ferment, f.name) * share for f in fields(cls) if f.name != "ph"}
        return cls(**amounts, ph=ferment.ph)

    @classmethod
    def typical(cls, fresh_kg: float, p: Parameters) -> Self:
        """So many kg of a typical sound ferment, where nothing is known of the batch."""
        fresh = np.full(p.members, float(fresh_kg))
        dry = fresh * p["soil.ferment.dry_matter"]
        nitrogen = dry * p["soil.ferment.nitrogen"]
        return cls(
            fresh_kg=fresh,
            dry_kg=dry,
            water_kg=fresh - dry,
            lactic_kg=fresh * p["soil.ferment.lactic"],
            acetic_kg=fresh * p["soil.ferment.acetic"],
            butyric_kg=fresh * p["soil.ferment.butyric"],
            carbon_kg=dry * p["soil.ferment.carbon"],
            nitrogen_kg=nitrogen,
            ammonium_nitrogen_kg=nitrogen * p["soil.ferment.ammonium_share"],
            phosphorus_kg=dry * p["soil.ferment.phosphorus"],
            potassium_kg=dry * p["soil.ferment.potassium"],
            sodium_kg=dry * p["soil.ferment.sodium"],
            ph=p["soil.ferment.ph"].copy(),
        )
