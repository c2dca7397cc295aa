"""What moves the answer: one input at a time from its low to its high value.

Each case is one member of a small ensemble in which everything else stands at its middle, run
through the same vessel; its effect on the number of vessels is then carried into the members'
rotation as a factor on amounts, on what a vessel takes and on the rest.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from sourloam import scraps
from sourloam.evidence import Parameters, book
from sourloam.numerics.abreast import abreast
from sourloam.planning import counting
from sourloam.planning.case import Case, evidence_ids
from sourloam.planning.filling import Filled, fill_from, next_with_scraps
from sourloam.planning.resting import rest_from
from sourloam.planning.rotation import Turns
from sourloam.planning.work import Work
from sourloam.scraps import INDEX, Batch
from sourloam.site.sections import PeopleScraps

Floats = NDArray[np.float64]
Recount = Callable[[tuple[float, float, float]], tuple[int | None, float]]
_WEEK, _ML = 7, 1e6
_RESTING = 60  # method: members whose newest layer is followed for an input
_MEMBERS = 500  # method: members whose rotation is run again; fewer would start from other odds
_SAME = 0.005  # method: factors closer to 1 than this leave the rotation as it was


@dataclass(frozen=True)
class Input:
    """One input with its low, middle and high value, in the unit shown.

    ``apply`` changes a case (with one member for each of low, middle, high) in its own way;
    ``ends`` are words for low and high where the unit says little to people.
    """

    id: str
    name: str
    low: float
    middle: float
    high: float
    unit: str
    apply: Callable[[Case, Floats], Case]
    ends: tuple[str, str] | None = None

    @property
    def values(self) -> Floats:
        """Low, middle, high, ``(3,)``, in the unit shown."""
        return np.array([self.low, self.middle, self.high])


@dataclass(frozen=True)
class Moved:
    """Outcomes at low, middle, high of one input."""

    input: Input
    fill_days: Floats
    rest_days: Floats
    liquid_ml_per_week: Floats
    vessels: tuple[int | None, ...]
    chance: Floats


def inputs(case: Case) -> Iterator[Input]:
    """The inputs of this site that are not known exactly."""
    people = [e for e in case.site.scraps if isinstance(e, PeopleScraps)]
    if people:
        unsaid = [entry for entry in people if entry.capture is None]
        if unsaid:
            words = "share of the scraps that really goes in"
            yield _amount("waste.household.capture", words, unsaid)
        yield _amount("waste.household.per_person", "scraps that each person makes", people)
    else:
        yield _measured(case)
    yield _dry_matter(case)
    yield _warmth(case)
    for key, name, ends in _rows(case):
        yield _row(key, name, ends)


def _rows(case: Case) -> Iterator[tuple[str, str, tuple[str, str] | None]]:
    """Single rows, with words for their ends; what the site states itself is left out."""
    yield "vessel.press", "how firmly each layer is pressed", ("lightly", "firmly")
    yield "vessel.packing", "how stiff the scraps are", ("soft", "stiff")
    yield f"ferment.release.{case.pieces}", "how fast pieces let their juice go", ("slow", "fast")
    if case.site.bran.strength is None:
        bacteria = f"scraps.{case.site.bran.carrier}.lactic"
        yield bacteria, "live bacteria in the bran", ("few", "many")
    if case.site.bran.dose is None:
        yield "bran.dose.share", "how much bran goes on the scraps", None
    yield "liquid.yield_factor", "how readily this kitchen's scraps drain", ("badly", "well")


def _amount(key: str, name: str, people: list[PeopleScraps]) -> Input:
    row = book()[key]
    middle = row.value
    narrow = _of_several(key, sum(entry.households for entry in people))
    low, high = middle - (middle - row.low) * narrow, middle + (row.high - middle) * narrow
    return Input(key, name, low, middle, high, row.unit, _scale_amount)


def _of_several(key: str, households: int) -> float:
    """Spread of the mean of several households, which share a part of the variance, over one's."""
    shared = book()[f"{key}.shared"].value
    return math.sqrt(shared + (1 - shared) / households)


def _measured(case: Case) -> Input:
    rate = case.scraps_kg[:, case.planned].mean(axis=1)
    low, middle, high = (float(x) for x in np.quantile(rate, [0.1, 0.5, 0.9]))
    return Input(
        "scraps.per_day", "scraps that come in a day", low, middle, high, "kg/day", _scale_amount
    )


def _scale_amount(case: Case, values: Floats) -> Case:
    return replace(case, scraps_kg=case.scraps_kg * (values / values[1])[:, None])


def _dry_matter(case: Case) -> Input:
    dry = case.mix.dry_kg / case.mix.fresh_kg
    low, middle, high = (float(100 * x) for x in np.quantile(dry, [0.1, 0.5, 0.9]))
    return Input("scraps.dry_matter", "how dry the mix is", low, middle, high, "%", _dry_mix)


def _dry_mix(case: Case, values: Floats) -> Case:
    dry = case.mix.dry_kg
    factor = values / 100 / dry
    amounts = case.mix.amounts * factor[:, None]
    amounts[:, INDEX["water"]] = 1 - values / 100
    amounts[:, INDEX["loose_volume"]] = case.mix["loose_volume"]
    return replace(case, mix=Batch(amounts))


def _warmth(case: Case) -> Input:
    row = book()["climate.room.unsure"]
    room = case.room_c[:, case.coming_year].mean(axis=1)
    middle = float(np.median(room))
    spread = np.quantile(room, [0.1, 0.9]) - middle
    low, high = min(row.low, float(spread[0])), max(row.high, float(spread[1]))
    return Input(
        "climate.room",
        "how warm the vessels stand",
        middle + low,
        middle,
        middle + high,
        "°C",
        _warm,
    )


def _warm(case: Case, values: Floats) -> Case:
    return replace(case, room_c=case.room_c + (values - values[1])[:, None])


def _row(key: str, name: str, ends: tuple[str, str] | None) -> Input:
    row = book()[key]

    def put(case: Case, values: Floats) -> Case:
        return _with_parameter(case, key, values)

    return Input(key, name, row.low, row.value, row.high, row.unit, put, ends)


def _with_parameter(case: Case, key: str, values: Floats) -> Case:
    return replace(case, parameters=case.parameters.with_values({key: values}))


def move(work: Work) -> list[Moved]:
    """Every input's low, middle and high, through the vessel and the rotation."""
    found = list(inputs(work.case))
    filled, rests = _run(work, found)
    base = _base_turns(work)
    unmoved = _recount(work, base, (1.0, 1.0, 1.0))

    def recount(factors: tuple[float, float, float]) -> tuple[int | None, float]:
        if all(abs(factor - 1) < _SAME for factor in factors):
            return unmoved
        return _recount(work, base, factors)

    def moved(place: int) -> Moved:
        mine = slice(3 * place, 3 * place + 3)
        cases = np.arange(mine.start, mine.stop)
        return _moved(work, recount, found[place], filled.pick(cases), rests[mine])

    return abreast(moved, range(len(found)))


def _run(work: Work, found: list[Input]) -> tuple[Filled, Floats]:
    """All cases of all inputs as the members of one ensemble."""
    middle = _middle_case(work.case)
    whole = _joined([one.apply(middle, one.values) for one in found])
    season = whole.season_on(whole.first)
    day = _middle_of(whole, season)
    begin = next_with_scraps(whole, np.full(whole.members, day))
    filled = fill_from(whole, work.chosen, season, begin)
    return filled, np.concatenate(abreast(lambda one: _rests(work, one, day), found))


def _middle_of(case: Case, season: str) -> int:
    """The middle day of a season, which the coming year may hold in two parts: its end first."""
    days = case.days_in(season)
    parts = np.split(days, np.flatnonzero(np.diff(days) > 1) + 1)
    return int(np.concatenate(parts[::-1])[len(days) // 2])


def _rests(work: Work, one: Input, closed: int) -> Floats:
    """Median rest of a vessel closed on a day at low, middle, high of an input, all else as it is
    in some of the members: a single layer between sour and not would turn late by chance."""
    some = min(_RESTING, work.case.members)
    case = one.apply(work.case.pick(np.repeat(np.arange(some), 3)), np.tile(one.values, some))
    rests = rest_from(case, work.chosen, closed)
    return np.asarray(np.median(rests.reshape(some, 3), axis=0))


def _middle_case(case: Case) -> Case:
    """Three members alike: every parameter central, amounts and warmth the median of each day."""
    central = book().central(evidence_ids())
    if case.site.bran.strength is not None:
        central = central.with_values(
            {f"scraps.{case.site.bran.carrier}.lactic": case.site.bran.strength}
        )
    parameters = Parameters({k: np.repeat(v, 3) for k, v in central.items()}, 3)
    shares = np.repeat(np.median(case.shares, axis=0)[None], 3, axis=0)
    shares = shares / shares.sum(axis=1, keepdims=True)
    total = np.median(case.scraps_kg.sum(axis=1))
    daily = np.median(case.scraps_kg, axis=0)
    daily = daily * (total / daily.sum())
    return replace(
        case,
        members=3,
        parameters=parameters,
        shares=shares,
        mix=scraps.mix(shares, scraps.class_table(parameters)),
        scraps_kg=np.repeat(daily[None], 3, axis=0),
        room_c=np.repeat(np.median(case.room_c, axis=0)[None], 3, axis=0),
    )


def _joined(cases: list[Case]) -> Case:
    keys = cases[0].parameters.ids
    members = sum(c.members for c in cases)
    return replace(
        cases[0],
        members=members,
        parameters=Parameters(
            {k: np.concatenate([c.parameters[k] for c in cases]) for k in keys}, members
        ),
        shares=np.concatenate([c.shares for c in cases]),
        mix=Batch(np.concatenate([c.mix.amounts for c in cases])),
        scraps_kg=np.concatenate([c.scraps_kg for c in cases]),
        soil_c=np.zeros((members, len(cases[0].dates))),
        open_ground=np.ones((members, len(cases[0].dates)), dtype=bool),
        room_c=np.concatenate([c.room_c for c in cases]),
    )


def _base_turns(work: Work) -> Turns:
    alone = work.alone(work.chosen)
    few = slice(0, min(_MEMBERS, work.case.members))
    return Turns(
        alone.scraps_kg[few],
        alone.capacity_kg[:, few],
        alone.rest_days[few],
        alone.open_ground[few],
        alone.outlets and alone.outlets.pick(few),
    )


def _moved(work: Work, recount: Recount, one: Input, filled: Filled, rests: Floats) -> Moved:
    amount = one.values / one.middle if one.apply is _scale_amount else np.ones(3)
    takes = filled.scraps_kg / filled.scraps_kg[1]
    longer = np.minimum(rests / rests[1], 2.0) if np.isfinite(rests[1]) else np.ones(3)
    vessels, chances = [], []
    for factors in zip(amount, takes, longer, strict=True):
        number, chance = recount(factors)
        vessels.append(number)
        chances.append(chance)
    return Moved(
        input=one,
        fill_days=filled.full_day,
        rest_days=rests,
        liquid_ml_per_week=_liquid_ml(work, filled.liquid_share) * amount,
        vessels=tuple(vessels),
        chance=np.array(chances),
    )


def _liquid_ml(work: Work, share: Floats) -> Floats:
    """Liquid in a mean week of the year at low, middle, high: the middle is the plan's own."""
    case, draining = work.case, work.draining
    week = float(np.median(draining.daily_ml[:, case.planned].mean(axis=1))) * _WEEK
    if share[1] > 0:
        return np.asarray(week * share / share[1])
    rate = np.median(case.scraps_kg[:, case.planned].mean(axis=1))
    return np.asarray(share * _ML * rate * _WEEK)


def _recount(
    work: Work, base: Turns, factors: tuple[float, float, float]
) -> tuple[int | None, float]:
    """Smallest number, and chance with the chosen number, under factors on the rotation."""
    amount, takes, longer = factors
    turns = replace(
        base,
        scraps_kg=base.scraps_kg * amount,
        capacity_kg=base.capacity_kg * takes,
        rest_days=base.rest_days * longer,
    )
    case = replace(work.case, members=len(base.scraps_kg))
    most = counting_limit(work)
    number = counting.smallest(turns, case, case.site.place.risk, most, near=work.number)
    return number, counting.odds(turns, (0,) * work.number, case).chance


def counting_limit(work: Work) -> int:
    """The most vessels that are tried when an input moves."""
    return max(work.number, int(book()["planning.most_vessels"].value))
