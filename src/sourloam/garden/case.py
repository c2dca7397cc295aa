"""Everything that the choice of places rests on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import Parameters
from sourloam.garden.beds import Bed, Planting
from sourloam.garden.crops import Crop, crop
from sourloam.garden.finished import Finished, makes_of
from sourloam.garden.foresight import Foresight, Spot, Stand
from sourloam.garden.place import Circumstances, Hands
from sourloam.garden.trench import Digging, Trench, between_rows, usual_trench
from sourloam.numerics import middle

Array = NDArray[np.float64]
WEEK = 7
LAST_DAY = WEEK - 1  # a burial of a week may fall on its last day: waits count from there
YEAR_DAYS = 365


@dataclass(frozen=True)
class Case:
    """One garden, ready for the choice.

    ``workable`` by texture: share of members in which the ground can be opened, ``(weeks,)``;
    ``warm`` the same for warm enough to go on with what is buried. ``busy`` ``(weeks,)``: weeks
    in which the gardener says that no bed can be dug. ``least_wait_days``: the gardener's own
    wait, kept where it is longer than the ferment's.
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
    further_m2: float = 0.0
    system: str = "metric"
    place: Circumstances = field(default_factory=Circumstances)
    hands: Hands = field(default_factory=Hands)
    busy: NDArray[np.bool_] | None = None
    least_wait_days: float = 0.0
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
        return spot_of(self.makes[v], self.beds[b], self.parameters)

    def stand(self, planting: Planting | None, day: int) -> Stand | None:
        """When the crop stands that a burial on ``day`` feeds; None where none follows, or one
        stands already."""
        if planting is None or planting.start_day <= day:
            return None
        rooted = planting.start_day - day + round(self.middle("beds.rooted_after"))
        return Stand(rooted, planting.end_day - day)

    def middle(self, key: str) -> float:
        """Median of one evidence row."""
        return float(np.median(self.parameters[key]))


def spot_of(make: int, bed: Bed, parameters: Parameters) -> Spot:
    """A make of ferment in a bed's ground; the usual pH where none was measured."""
    usual = float(np.median(parameters["beds.usual_ph"]))
    return Spot(make, bed.texture, usual if bed.ph is None else bed.ph, bed.ece_ds_m)


def gap_index(case: Case, bed: int, planting: int) -> int:
    """Place of a bed's planting in the list of all plantings of all beds."""
    return sum(len(b.plantings) for b in case.beds[:bed]) + planting


def needs_kg(case: Case) -> Array:
    """Nitrogen each planting of each bed wants beyond what the soil gives, kg, in gap order."""
    from_soil = case.parameters["beds.soil_nitrogen"] / 1000
    wanted = [
        middle(np.maximum(case.crops[p.crop].nitrogen_demand_kg_m2 - from_soil, 0.0)) * bed.area_m2
        for bed in case.beds
        for p in bed.plantings
    ]
    return np.asarray(wanted, dtype=np.float64)
