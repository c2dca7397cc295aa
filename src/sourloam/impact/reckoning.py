"""All ways for all places, member by member: what the answer is made of."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import reduce

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import Parameters
from sourloam.impact import elsewhere
from sourloam.impact.elsewhere import Bin
from sourloam.impact.fermenting import ferment
from sourloam.impact.kept import Kept
from sourloam.impact.place import Surroundings
from sourloam.impact.route import Route, Weights

Array = NDArray[np.float64]
Way = Callable[[Kept, Bin, Surroundings, Parameters, int], Route]
#: The other ways, in the order in which they are told.
OTHERS: tuple[Way, ...] = (
    elsewhere.landfill,
    elsewhere.incinerator,
    elsewhere.compost_works,
    elsewhere.heap,
    elsewhere.well_run_heap,
)


@dataclass(frozen=True)
class Party:
    """One place: its scraps, its surroundings, its parameters, twelve mean temperatures."""

    kept: Kept
    there: Surroundings
    parameters: Parameters
    monthly_c: Sequence[float]


@dataclass(frozen=True)
class Reckoned:
    """Fermenting and the other ways for all places together.

    ``ferment_if_burnt`` is fermenting where the bin goes to an incinerator: what fails is then
    burnt, and so it is compared with burning.
    """

    ferment: Route
    ferment_if_burnt: Route
    others: tuple[Route, ...]
    weights: Weights
    scraps_kg: Array

    def fair(self, other: Route) -> Route:
        """Fermenting as it is to be compared with another way."""
        return self.ferment_if_burnt if other.id == "incinerator" else self.ferment

    def saved_kg(self, other: Route, credits: bool = False) -> Array:
        """kg CO2e that fermenting saves against another way, (members,)."""
        own = self.fair(other).total(self.weights, credits)
        return np.asarray(other.total(self.weights, credits) - own)

    def other(self, id_: str) -> Route:
        """Another way by its id; KeyError if there is none."""
        return {route.id: route for route in self.others}[id_]


def reckon(parties: Sequence[Party], bin_: Bin, weights: Weights) -> Reckoned:
    """Every way for every place, added up."""

    def summed(way: Way, where: Bin) -> Route:
        each = [way(x.kept, where, x.there, x.parameters, weights.years) for x in parties]
        return reduce(Route.__add__, each)

    return Reckoned(
        summed(ferment, bin_),
        summed(ferment, replace(bin_, to="incinerator")),
        tuple(summed(way, bin_) for way in OTHERS),
        weights,
        np.sum([x.kept.scraps_kg for x in parties], axis=0),
    )
