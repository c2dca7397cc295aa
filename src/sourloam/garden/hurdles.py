"""What keeps a vessel out of a bed in a week: one check after another, the first one counts."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np
from numpy.typing import NDArray

from sourloam.garden.beds import Bed, Planting
from sourloam.garden.case import LAST_DAY, WEEK, Case
from sourloam.garden.foresight import LOAD_STEPS, Way
from sourloam.garden.salt import salt_at_yield
from sourloam.garden.trench import air_load_kg_m, between_rows, strips

Array = NDArray[np.float64]
Why = Literal[
    "rules",
    "water",
    "shallow",
    "narrow",
    "busy",
    "away",
    "held",
    "frozen",
    "growing",
    "raw",
    "salt",
    "wait",
]
#: The checks in the order in which a bed in a week has to pass them.
CHECKS: tuple[Why, ...] = get_args(Why)
SPREADS_DAYS = 14  # method: salt of a fresh trench takes about as long to spread
CAUTIOUS = 0.9  # method: plans rest on the wait that nine members in ten need at most
SLACK = 1e-9  # method: rounding


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
class Look:
    """A vessel, a bed and a week, with what grows there then and what comes next."""

    case: Case
    vessel: int
    bed: int
    week: int

    @property
    def day(self) -> int:
        """First day of the week."""
        return self.week * WEEK

    @property
    def ground(self) -> Bed:
        """The bed itself."""
        return self.case.beds[self.bed]

    @property
    def standing(self) -> Planting | None:
        """What grows in the bed that week."""
        return self.ground.growing(self.day)

    @property
    def planting(self) -> int | None:
        """Place of the crop that the ferment will feed: one that stands, or the next."""
        standing = self.standing
        if standing:
            return self.ground.plantings.index(standing)
        return self.ground.next_after(self.day)

    @property
    def follower(self) -> Planting | None:
        """That crop."""
        return None if self.planting is None else self.ground.plantings[self.planting]

    @property
    def loads(self) -> list[float]:
        """Ferment on a metre of trench, kg, the greatest that gets air enough first."""
        case, texture, meat = self.case, self.ground.texture, self.much_meat
        most = case.once(
            ("load", texture, meat),
            lambda: air_load_kg_m(texture, case.trenches[meat], case.parameters),
        )
        return [share * most for share in reversed(LOAD_STEPS)]

    @property
    def much_meat(self) -> bool:
        """Whether the vessel holds so much of it that the trench is covered thicker."""
        return self.case.vessels[self.vessel].much_meat

    def wait(self, load_kg_m: float) -> Array:
        """Days until that crop (or seed) may go in, ``(members,)``: at least the gardener's."""
        case, day = self.case, self.day
        way = way_of(None if self.standing else self.follower, case)
        spot = case.spot(self.vessel, self.bed)

        def waited() -> Array:
            days = case.foresight.wait_days(spot, day, way, load_kg_m)
            return np.asarray(np.maximum(days, case.least_wait_days))

        return case.once(("wait", spot, day, way, load_kg_m), waited)

    def wait_at(self, load_kg_m: float, share: float) -> float:
        """The wait that a share of the members needs at most."""
        wait, case = self.wait(load_kg_m), self.case
        return case.once(("at", id(wait), share), lambda: _at(wait, share))

    def in_time(self, load_kg_m: float) -> bool:
        """Whether that wait, from the week's last day on, is over before the next crop."""
        if self.standing or self.follower is None:
            return True
        cautious = self.wait_at(load_kg_m, CAUTIOUS)
        return self.day + LAST_DAY + cautious <= self.follower.start_day


def way_of(planting: Planting | None, case: Case) -> Way:
    """How a planting goes in; seed, the most delicate, where nothing is planned."""
    if planting is None or planting.sown:
        return "sow"
    return "tender" if case.crops[planting.crop].tender else "tolerant"


def _at(wait: Array, share: float) -> float:
    return float(np.quantile(wait, share, method="nearest"))


def refusal(look: Look) -> Refused | None:
    """The first check that fails, or None."""
    for why in CHECKS:
        found = _CHECKS[why](look)
        if found is not None:
            crop, figure = found
            return Refused(look.vessel, look.bed, look.week, why, crop, figure)
    return None


_Found = tuple[str, float] | None


def _rules(look: Look) -> _Found:
    return ("", 0.0) if look.case.place.burial_allowed == "no" else None


def _water(look: Look) -> _Found:
    place = look.case.place
    for name, metres in (("stream", place.stream_m), ("well", place.well_m)):
        if metres is not None and metres < look.case.middle(f"beds.distance.{name}") - SLACK:
            return name, metres
    return None


def _shallow(look: Look) -> _Found:
    deep = look.case.trenches[look.case.vessels[look.vessel].much_meat].depth_m
    return ("", deep) if look.ground.depth_m < deep - SLACK else None


def _narrow(look: Look) -> _Found:
    trench = look.case.trenches[look.case.vessels[look.vessel].much_meat]
    return ("", trench.width_m) if strips(look.ground, trench) == 0 else None


def _busy(look: Look) -> _Found:
    busy = look.case.busy
    return ("", 0.0) if busy is not None and busy[look.week] else None


def _away(look: Look) -> _Found:
    away = look.case.away
    return ("", 0.0) if away is not None and away[look.week] else None


def _held(look: Look) -> _Found:
    most = look.case.middle("beds.hold.most")
    return ("", most) if look.day - look.case.vessels[look.vessel].ready_day > most else None


def _frozen(look: Look) -> _Found:
    chance = look.case.workable[look.ground.texture][look.week]
    return ("", 0.0) if chance < look.case.middle("beds.workable_chance") else None


def _growing(look: Look) -> _Found:
    standing, case = look.standing, look.case
    if standing is None:
        return None
    trench = case.trenches[case.vessels[look.vessel].much_meat]
    free = between_rows(case.crops[standing.crop], trench, case.parameters)
    return None if free else (standing.crop, 0.0)


def _raw(look: Look) -> _Found:
    """The first crop eaten raw that would be picked within the interval, and the interval, d."""
    case, last = look.case, look.day + LAST_DAY
    if not case.vessels[look.vessel].with_meat:
        return None
    for planting in look.ground.plantings:
        grown = case.crops[planting.crop]
        if planting.end_day < look.day or not grown.eaten_raw:
            continue
        kind = "touching" if grown.touches_soil else "not_touching"
        interval = case.middle(f"beds.interval.{kind}")
        if last + interval > _harvest_day(case, planting, look.day):
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


def _wait(look: Look) -> _Found:
    follower = look.follower
    if follower is None or look.standing or any(look.in_time(load) for load in look.loads):
        return None
    return follower.crop, look.wait_at(look.loads[-1], CAUTIOUS)


def _salt(look: Look) -> _Found:
    if salt_cap_kg_m(look) >= look.case.middle("beds.load.least"):
        return None
    return (look.follower.crop if look.follower else "", salt_before(look.case, look.ground))


def salt_before(case: Case, bed: Bed) -> float:
    """Salt of a bed, dS/m."""
    return bed.ece_ds_m if bed.ece_ds_m is not None else case.middle("soil.usual_salt")


def salt_cap_kg_m(look: Look) -> float:
    """Most ferment on a metre of trench, kg, that keeps the next crop's yield.

    Salt counts as it stands when the crop goes in; for one that stands already, as it stands
    two weeks after the burial, when it has spread.
    """
    case, follower = look.case, look.follower
    if follower is None:
        return float("inf")
    after = max(follower.start_day - look.day, SPREADS_DAYS)
    spot, day = case.spot(look.vessel, look.bed), look.day
    rise = case.once(
        ("salt", spot, day, after),
        lambda: float(np.median(case.foresight.salt_rise_per_kg_m(spot, day, after))),
    )
    most = case.once(("salt borne", follower.crop), lambda: _salt_borne(case, follower.crop))
    return (most - salt_before(case, look.ground)) / max(rise, SLACK)


def _salt_borne(case: Case, name: str) -> float:
    """Salt, dS/m, at which a crop still gives the yield that must be kept."""
    grown, kept = case.crops[name], case.middle("beds.salt.yield_kept") / 100
    return float(
        np.median(salt_at_yield(kept, grown.salt_threshold_ds_m, grown.salt_slope_per_ds_m))
    )


_CHECKS: dict[Why, Callable[[Look], _Found]] = {
    "rules": _rules,
    "water": _water,
    "shallow": _shallow,
    "narrow": _narrow,
    "busy": _busy,
    "away": _away,
    "held": _held,
    "frozen": _frozen,
    "growing": _growing,
    "raw": _raw,
    "wait": _wait,
    "salt": _salt,
}


def furthest(refused: list[Refused]) -> Refused:
    """The refusal that tells most of a bed: its most promising week's, the earliest of those."""
    return max(refused, key=lambda r: (CHECKS.index(r.why), -r.week))
