"""Everything that the choice of places rests on."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any, TypeVar, cast

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import Parameters
from sourloam.garden.beds import Bed, Planting
from sourloam.garden.crops import Crop, crop
from sourloam.garden.finished import Finished, makes_of
from sourloam.garden.foresight import Foresight, Spot, Stand
from sourloam.garden.place import Circumstances, Further, Hands
from sourloam.garden.trench import Digging, Trench, between_rows, usual_trench
from sourloam.numerics import middle

Array = NDArray[np.float64]
_Made = TypeVar("_Made")
WEEK = 7
LAST_DAY = WEEK - 1  # a burial of a week may fall on its last day: waits count from there
YEAR_DAYS = 365


@dataclass(frozen=True)
class Case:
    """One garden, ready for the choice.

    ``workable`` by texture: share of members in which the ground can be opened, ``(weeks,)``;
    ``warm`` the same for warm enough to go on with what is buried. ``busy`` ``(weeks,)``: weeks in
    which the gardener says that no bed can be dug; ``away``: in which nobody is there to dig.
    ``least_wait_days``: the gardener's own wait, kept where it is longer than the ferment's.
    """

    beds: tuple[Bed, ...]
    vessels: tuple[Finished, ...]
    parts: int
    workable: Mapping[str, Array]
    warm: Mapping[str, Array]
    foresight: Foresight
    parameters: Parameters
    start: date
    digging: Digging = field(default_factory=Digging)
    further: Further = field(default_factory=Further)
    system: str = "metric"
    place: Circumstances = field(default_factory=Circumstances)
    hands: Hands = field(default_factory=Hands)
    busy: NDArray[np.bool_] | None = None
    away: NDArray[np.bool_] | None = None
    least_wait_days: float = 0.0
    known: dict[tuple[object, ...], Any] = field(init=False, default_factory=dict, compare=False)
    trenches: Mapping[bool, Trench] = field(init=False)
    crops: Mapping[str, Crop] = field(init=False)
    makes: tuple[int, ...] = field(init=False)

    def __post_init__(self) -> None:
        names = {p.crop for bed in self.beds for p in bed.plantings}
        crops = {name: crop(name, self.parameters) for name in sorted(names)}
        trenches = {
            meat: usual_trench(self.parameters, meat, self.digging) for meat in (False, True)
        }
        object.__setattr__(self, "crops", crops)
        object.__setattr__(self, "trenches", trenches)
        object.__setattr__(self, "makes", makes_of(self.vessels))

    @property
    def weeks(self) -> int:
        """Weeks planned."""
        return len(next(iter(self.workable.values())))

    def trench_in(self, b: int) -> Trench:
        """The trench of a bed; one for each row where perennials stand that leave it room."""
        trench = self.trenches[False]
        rows = [
            self.crops[p.crop].row_spacing_m
            for p in self.beds[b].plantings
            if between_rows(self.crops[p.crop], trench, self.parameters)
        ]
        return replace(trench, spacing_m=max([trench.spacing_m, *rows]))

    def spot(self, v: int, b: int) -> Spot:
        """A vessel's make of ferment in a bed's own ground."""
        return spot_of(self.makes[v], self.beds[b], self.middle("beds.usual_ph"))

    def stand(self, b: int, planting: Planting | None, day: int) -> Stand | None:
        """When the crop of bed ``b`` stands that a burial on ``day`` feeds; None where none does.

        Roots of one that stands already reach the trench as late as those of one set out that
        day, and take up nothing while the ground is too cold for them.
        """
        if planting is None:
            return None
        rooted = max(planting.start_day - day, 0) + round(self.middle("beds.rooted_after"))
        if planting.start_day <= day:
            rooted = self._warm_from(self.beds[b].texture, day + rooted) - day
        return Stand(rooted, self.beds[b].stands_until(planting) - day)

    def _warm_from(self, texture: str, day: int) -> int:
        """The first day from ``day`` on in a week that is mostly warm; the last day of the plan
        where none is."""
        chance = self.warm[texture]
        mostly = np.flatnonzero(chance >= self.middle("beds.workable_chance"))
        later = mostly[mostly >= day // WEEK]
        return max(int(later[0]) * WEEK, day) if len(later) else max(len(chance) * WEEK, day)

    def once(self, key: tuple[object, ...], make: Callable[[], _Made]) -> _Made:
        """What ``make`` gives, made once for each ``key``: vessels, beds and weeks ask alike."""
        if key not in self.known:
            self.known[key] = make()
        return cast(_Made, self.known[key])

    def middle(self, key: str) -> float:
        """Median of one evidence row."""
        return self.once(("row", key), lambda: float(np.median(self.parameters[key])))


def spot_of(make: int, bed: Bed, usual_ph: float) -> Spot:
    """A make of ferment in a bed's ground; the usual pH where none was measured."""
    return Spot(make, bed.texture, usual_ph if bed.ph is None else bed.ph, bed.ece_ds_m)


def gap_index(case: Case, bed: int, planting: int) -> int:
    """Place of a bed's planting in the list of all plantings of all beds."""
    return sum(len(b.plantings) for b in case.beds[:bed]) + planting


def needs_kg(case: Case) -> Array:
    """Nitrogen each planting of each bed wants beyond what the soil gives, kg, ``(plantings,)`` in
    gap order."""
    from_soil = case.parameters["beds.soil_nitrogen"] / 1000
    wanted = [
        middle(np.maximum(case.crops[p.crop].nitrogen_demand_kg_m2 - from_soil, 0.0)) * bed.area_m2
        for bed in case.beds
        for p in bed.plantings
    ]
    return np.asarray(wanted, dtype=np.float64)
