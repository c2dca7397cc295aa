"""Where each finished vessel could go in each week, and why not elsewhere."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import Parameters
from sourloam.garden.beds import Bed, Planting
from sourloam.garden.choice import Option
from sourloam.garden.crops import Crop, crop
from sourloam.garden.finished import Finished, charge_per_kg
from sourloam.garden.foresight import LOAD_STEPS, Foresight, Way
from sourloam.garden.salt import salt_at_yield
from sourloam.garden.trench import (
    Digging,
    Trench,
    air_load_kg_m,
    between_rows,
    strips,
    usual_trench,
)

Array = NDArray[np.float64]
Why = Literal["shallow", "narrow", "held", "frozen", "growing", "wait", "raw", "salt"]
#: The checks in the order in which a bed in a week has to pass them.
CHECKS: tuple[Why, ...] = (
    "shallow",
    "narrow",
    "held",
    "frozen",
    "growing",
    "wait",
    "raw",
    "salt",
)
SPREADS_DAYS = 14  # method: salt of a fresh trench takes about as long to spread
CAUTIOUS = 0.9  # method: plans rest on the wait that nine members in ten need at most
WEEK = 7
_SLACK = 1e-9  # method: rounding


@dataclass(frozen=True)
class Refused:
    """A bed in a week that can't take a vessel, and why; ``crop`` is the one in the way."""

    vessel: int
    bed: int
    week: int
    why: Why
    crop: str = ""
    figure: float = 0.0


@dataclass(frozen=True)
class Offer:
    """An option with what a reader wants to know of it."""

    option: Option
    day: int
    load_kg_m: float
    wait_days: float
    wait_range: tuple[float, float]
    next_crop: Planting | None
    among_rows: bool


@dataclass(frozen=True)
class Case:
    """Everything the choice of places rests on.

    ``workable`` by texture: share of members in which the ground can be dug, ``(weeks,)``.
    """

    beds: tuple[Bed, ...]
    vessels: tuple[Finished, ...]
    parts: int
    workable: Mapping[str, Array]
    foresight: Foresight
    typical_salt: float
    parameters: Parameters
    start: date
    digging: Digging = field(default_factory=Digging)
    further_m2: float = 0.0
    system: str = "metric"
    trenches: Mapping[bool, Trench] = field(init=False)
    crops: Mapping[str, Crop] = field(init=False)

    def __post_init__(self) -> None:
        names = {p.crop for bed in self.beds for p in bed.plantings}
        crops = {name: crop(name, self.parameters) for name in sorted(names)}
        trenches = {
            meat: usual_trench(self.parameters, meat, self.digging) for meat in (False, True)
        }
        object.__setattr__(self, "crops", crops)
        object.__setattr__(self, "trenches", trenches)

    def trench_in(self, b: int) -> Trench:
        """The trench of a bed; one for each row where perennials stand that leave it room."""
        trench = self.trenches[False]
        rows = [
            self.crops[p.crop].row_spacing_m
            for p in self.beds[b].plantings
            if between_rows(self.crops[p.crop], trench, self.parameters)
        ]
        return replace(trench, spacing_m=max([trench.spacing_m, *rows]))

    def middle(self, key: str) -> float:
        """Median of one evidence row."""
        return float(np.median(self.parameters[key]))


def find_options(
    case: Case, vessels: Sequence[int] | None = None
) -> tuple[list[Offer], list[Refused]]:
    """Every vessel (or those named), bed and week: an offer or a refusal, in that order of loops.

    Of two weeks in the same free time of a bed the later serves no better where it allows no
    greater load (it only holds the vessel longer). A week that adds nothing is left out: the
    best plan stays.
    """
    offers: list[Offer] = []
    refused: list[Refused] = []
    weeks = len(next(iter(case.workable.values())))
    for v in range(len(case.vessels)) if vessels is None else vessels:
        vessel = case.vessels[v]
        seen: list[dict[tuple[int, int], float]] = []
        for week in range(-(-vessel.ready_day // WEEK), weeks):
            found = [_look(case, v, b, week) for b in range(len(case.beds))]
            new = [f for f in found if isinstance(f, Offer)]
            refused.extend(f for f in found if isinstance(f, Refused))
            places = {(o.option.bed, o.option.gap): o.load_kg_m for o in new}
            if places and not any(_no_worse(earlier, places) for earlier in seen):
                seen.append(places)
                offers.extend(new)
    return offers, refused


def _no_worse(earlier: dict[tuple[int, int], float], later: dict[tuple[int, int], float]) -> bool:
    return all(earlier.get(place, 0.0) >= load for place, load in later.items())


def gap_index(case: Case, bed: int, planting: int) -> int:
    """Place of a bed's planting in the list of all plantings of all beds."""
    return sum(len(b.plantings) for b in case.beds[:bed]) + planting


def needs_kg(case: Case) -> Array:
    """Nitrogen each planting of each bed wants beyond what the soil gives, kg, in gap order."""
    from_soil = case.middle("beds.soil_nitrogen") / 1000
    wanted = [
        max(float(np.median(case.crops[p.crop].nitrogen_demand_kg_m2)) - from_soil, 0.0)
        * bed.area_m2
        for bed in case.beds
        for p in bed.plantings
    ]
    return np.asarray(wanted, dtype=np.float64)


def _look(case: Case, v: int, b: int, week: int) -> Offer | Refused:
    bed, vessel, day = case.beds[b], case.vessels[v], week * WEEK
    trench = case.trenches[vessel.much_meat]

    def no(why: Why, crop: str = "", figure: float = 0.0) -> Refused:
        return Refused(v, b, week, why, crop, figure)

    if bed.depth_m < trench.depth_m - _SLACK:
        return no("shallow", figure=trench.depth_m)
    if strips(bed, trench) == 0:
        return no("narrow", figure=trench.width_m)
    if day - vessel.ready_day > case.middle("beds.hold.most"):
        return no("held", figure=case.middle("beds.hold.most"))
    if case.workable[bed.texture][week] < case.middle("beds.workable_chance"):
        return no("frozen")
    standing = bed.growing(day)
    if standing and not between_rows(case.crops[standing.crop], trench, case.parameters):
        return no("growing", standing.crop)
    planting = bed.plantings.index(standing) if standing else bed.next_after(day)
    follower = bed.plantings[planting] if planting is not None else None
    loads = [share * _air_cap(case, v, b) for share in reversed(LOAD_STEPS)]
    waits = {load: _wait(case, bed, day, None if standing else follower, load) for load in loads}
    soon = [load for load in loads if _in_time(waits[load], day, None if standing else follower)]
    if not soon and follower:
        return no("wait", follower.crop, _cautious(waits[loads[-1]]))
    raw = _raw_too_soon(case, vessel, bed, day)
    if raw:
        return no("raw", raw[0], raw[1])
    salt_cap = _salt_cap(case, v, b, (day, follower))
    if salt_cap < case.middle("beds.load.least"):
        return no("salt", follower.crop if follower else "", _salt_before(case, bed))
    load = min(max(soon or loads), salt_cap)
    gap = -1 if planting is None else gap_index(case, b, planting)
    option = _option(case, v, b, week, gap, load)
    wait = waits[min(step for step in loads if step >= load * (1 - _SLACK))]
    low, middle, high = (float(np.quantile(wait, q, method="nearest")) for q in (0.1, 0.5, 0.9))
    return Offer(option, day, load, middle, (low, high), follower, bool(standing))


def way_of(planting: Planting | None, crops: Mapping[str, Crop]) -> Way:
    """How a planting goes in; seed, the most delicate, where nothing is planned."""
    if planting is None or planting.sown:
        return "sow"
    return "tender" if crops[planting.crop].tender else "tolerant"


def _wait(case: Case, bed: Bed, day: int, follower: Planting | None, load_kg_m: float) -> Array:
    way = way_of(follower, case.crops)
    return case.foresight.wait_days(bed.texture, day, way, load_kg_m)


def _cautious(wait: Array) -> float:
    return float(np.quantile(wait, CAUTIOUS, method="nearest"))


def _in_time(wait: Array, day: int, follower: Planting | None) -> bool:
    return follower is None or day + _cautious(wait) <= follower.start_day


def _raw_too_soon(case: Case, vessel: Finished, bed: Bed, day: int) -> tuple[str, float] | None:
    """The first crop eaten raw that would be picked within the interval, and the interval, d."""
    if not vessel.with_meat:
        return None
    for planting in bed.plantings:
        grown = case.crops[planting.crop]
        if planting.end_day < day or not grown.eaten_raw:
            continue
        kind = "touching" if grown.touches_soil else "not_touching"
        interval = case.middle(f"beds.interval.{kind}")
        if day + interval > _harvest_day(case, planting, day):
            return planting.crop, interval
    return None


def _harvest_day(case: Case, planting: Planting, day: int) -> float:
    """First day of harvest after ``day``; with none stated, a standing crop may be picked daily."""
    standing = planting.start_day <= day
    if planting.harvest_day is not None and planting.harvest_day > day:
        return planting.harvest_day
    if standing:
        return day
    early = np.quantile(case.crops[planting.crop].days_to_harvest, 1 - CAUTIOUS, method="nearest")
    return planting.start_day + float(early)


def _salt_before(case: Case, bed: Bed) -> float:
    return bed.ece_ds_m if bed.ece_ds_m is not None else case.middle("soil.usual_salt")


def _air_cap(case: Case, v: int, b: int) -> float:
    """Most ferment on a metre of trench that gets air enough, kg."""
    trench = case.trenches[case.vessels[v].much_meat]
    return air_load_kg_m(case.beds[b].texture, trench, case.parameters)


def _salt_cap(case: Case, v: int, b: int, when: tuple[int, Planting | None]) -> float:
    """Most ferment on a metre of trench, kg, that keeps the next crop's yield.

    Salt counts as it stands when the crop goes in; for one that stands already, as it stands
    two weeks after the burial, when it has spread.
    """
    day, follower = when
    if follower is None:
        return np.inf
    after = max(follower.start_day - day, SPREADS_DAYS)
    bed, grown = case.beds[b], case.crops[follower.crop]
    kept = case.middle("beds.salt.yield_kept") / 100
    most = np.median(salt_at_yield(kept, grown.salt_threshold_ds_m, grown.salt_slope_per_ds_m))
    rise = np.median(case.foresight.salt_rise_per_kg_m(bed.texture, day, after)) * _saltiness(
        case, v
    )
    return (float(most) - _salt_before(case, bed)) / max(float(rise), _SLACK)


def _saltiness(case: Case, v: int) -> float:
    """Sodium and mobile potassium of a vessel's ferment over those of the typical one."""
    return charge_per_kg(case.vessels[v], case.parameters) / case.typical_salt


def _option(case: Case, v: int, b: int, week: int, gap: int, load: float) -> Option:
    vessel, bed = case.vessels[v], case.beds[b]
    held = week - vessel.ready_day / WEEK
    share = np.median(case.foresight.available_share(bed.texture, "nitrogen", week * WEEK))
    nitrogen = vessel.nitrogen_kg / case.parts
    # Where nothing is planted afterwards all that comes free is lost to no crop.
    wasted = nitrogen * max(float(share), 0.0) if gap < 0 else 0.0
    cost = case.middle("beds.weight.hold") * held / case.parts
    cost += case.middle("beds.weight.surplus") * wasted * 1000
    cost += case.middle("beds.weight.order") * b / case.parts
    return Option(
        vessel=v,
        bed=b,
        week=week,
        gap=gap,
        room_m=vessel.fresh_kg / case.parts / load,
        nitrogen_kg=nitrogen,
        phosphorus_kg=vessel.phosphorus_kg / case.parts,
        available_kg=nitrogen * max(float(share), 0.0),
        cost=cost,
    )
