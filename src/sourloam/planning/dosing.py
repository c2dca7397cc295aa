"""How much inoculated bran a layer gets: the larger of a share of the scraps and a dusting."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sourloam import scraps
from sourloam.evidence import book
from sourloam.planning.case import Case, Kind
from sourloam.units import percent

Floats = NDArray[np.float64]
ANIMAL = ("meat_fish", "dairy_egg")
_CM, _MM = 100.0, 1000.0
_LOOSE_MOST = 1.3  # method: loose volume of a layer over the vessel that surely takes it, pressed


@dataclass(frozen=True)
class Dosing:
    """Per member: bran by mass of scraps, by layer in each kind of vessel, and the factor."""

    share: Floats
    depth_kg_m2: Floats
    factor: Floats
    reasons: tuple[str, ...]
    own: bool

    def layer_kg(self, scraps_kg: ArrayLike, surface_m2: float) -> Floats:
        """Bran, kg, for layers of scraps (members, ...) on a surface; none where none came."""
        mass = np.asarray(scraps_kg, dtype=np.float64)
        extra = (slice(None),) + (None,) * (mass.ndim - 1)
        by_share = self.share[extra] * mass
        by_surface = np.where(mass > 0, self.depth_kg_m2[extra] * surface_m2, 0.0)
        return np.asarray(np.maximum(by_share, by_surface) * self.factor[extra])


def dosing(case: Case, kind: Kind) -> Dosing:
    """The dose in one kind of vessel; a dose of the person's own is taken as it is."""
    parameters, carrier = case.parameters, case.site.bran.carrier
    one = np.ones(case.members)
    if case.site.bran.dose is not None:
        return Dosing(case.site.bran.dose * one, 0 * one, one, (), own=True)
    reasons = raised_because(case, kind)
    depth_m = parameters["bran.dose.depth"] / _MM
    return Dosing(
        share=parameters["bran.dose.share"] / 1000,
        depth_kg_m2=depth_m * parameters[f"scraps.{carrier}.density"],
        factor=parameters["bran.dose.more"] if reasons else one,
        reasons=reasons,
        own=False,
    )


def animal_share(case: Case) -> Floats:
    """Share of meat, fish, dairy and egg in the mix, per member."""
    columns = [scraps.CLASSES.index(name) for name in ANIMAL]
    return np.asarray(case.shares[:, columns].sum(axis=-1))


def raised_because(case: Case, kind: Kind) -> tuple[str, ...]:
    """Why the dose is raised, in words; empty if it is not."""
    limit = book()["bran.dose.animal_share"].value
    oldest = book()["bran.dose.oldest"].value
    reasons = []
    if np.median(animal_share(case)) > limit:
        reasons.append(f"more than {percent(limit)} of the mix is meat, fish, dairy or egg")
    if 1 / kind.opened_per_day > oldest:
        reasons.append("scraps wait longer than a day for the vessel to be opened")
    return tuple(reasons)


def layers_per_day(case: Case, kind: Kind) -> int:
    """Layers on an ordinary day: no layer higher, loosely packed, than is usual."""
    coming = case.scraps_kg[:, case.coming_year]
    day_kg = np.median(coming[coming > 0]) if (coming > 0).any() else 0.0
    highest_m = book()["practice.layer"].high / _CM
    height = day_kg * np.median(case.mix["loose_volume"]) / kind.vessel.section_m2
    return max(1, int(np.ceil(height / highest_m)))


def portions_per_day(case: Case, kind: Kind) -> int:
    """Portions in which a day is held out: its layers, or more where the busiest day of any
    member would not go into an empty vessel at once. The dose follows the layers alone."""
    coming = case.scraps_kg[:, case.coming_year]
    largest_m3 = _LOOSE_MOST * kind.vessel.usable_m3
    busiest = (coming.max(axis=1) * case.mix["loose_volume"]).max() / largest_m3
    return max(layers_per_day(case, kind), int(np.ceil(busiest)))
