"""A place without a bed: every finished vessel goes home through tubs of old soil."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

import sourloam
from sourloam.evidence import Parameters
from sourloam.garden.cautions import tub_cautions
from sourloam.garden.contract import (
    Burials,
    GardenPlan,
    GardenProvenance,
    TubAnswer,
    TubBatch,
    TubLine,
    TubPlan,
)
from sourloam.garden.feeding_answer import number, spread_of
from sourloam.garden.finished import Finished
from sourloam.garden.place import Circumstances
from sourloam.garden.tub import HORIZON_DAYS, RATIOS, Tubs, spread_words, surest, tub_answer
from sourloam.garden.wording import count_words, day_words, said

Array = NDArray[np.float64]
WEEK = 7
ASK_EVERY_DAYS = 28  # method: waits change slowly with the day of mixing
SURE = 0.9  # method: ready in nine cases of ten


@dataclass(frozen=True)
class TubInput:
    """One place for some weeks from ``start``. ``room_c``: where the vessels stand, and ``air_c``
    out under a roof, daily mean °C, ``(members, days)``, at least ``weeks`` and ``HORIZON_DAYS``
    long. ``system`` the reader's units."""

    name: str
    start: date
    weeks: int
    vessels: tuple[Finished, ...]
    texture: str
    room_c: Array
    air_c: Array
    circumstances: Circumstances = field(default_factory=Circumstances)
    system: str = "metric"


def tub_plan(place: TubInput, parameters: Parameters, seed: int = 1) -> GardenPlan:
    """How each vessel goes home through tubs, when they are ready, and how many stand at once."""
    case = Tubs(place.vessels, place.texture, parameters, place.system)
    single = tub_answer(case, float(np.median(place.room_c[:, : place.weeks * WEEK])))
    tubs = None if single is None else _planned(place, case, single)
    told = "No vessel is finished in this time, so there is nothing to mix with soil."
    return GardenPlan(
        site=place.name,
        start=place.start,
        until=place.start + timedelta(days=place.weeks * WEEK - 1),
        beds=(),
        burials=Burials(
            answer=told if tubs is None else tubs.answer,
            possible=tubs is None or all(b.ready.high is not None for b in tubs.batches),
            plan=(),
            stored=(),
            left_over=(),
            ways_out=(),
            refusals=(),
        ),
        feeding=None,
        tub=single,
        tubs=tubs,
        ground=(),
        cautions=tub_cautions(case, place.circumstances),
        provenance=GardenProvenance(
            version=sourloam.__version__,
            seed=seed,
            members=parameters.members,
            evidence=tuple(sorted(parameters)),
            notes=_NOTES,
        ),
    )


def _planned(place: TubInput, case: Tubs, single: TubAnswer) -> TubPlan:
    best = surest(single.lines) or single.lines[-1]
    inside, outside = (_waits(place, case, best, c) for c in (place.room_c, place.air_c))
    batches = tuple(
        _batch(place, case, best, vessel, (inside, outside))
        for vessel in sorted(place.vessels, key=lambda v: v.ready_day)
    )
    in_use = _in_use(place, batches)
    litres = sum(np.asarray(case.soil_l(v.fresh_kg, best.ratio)) for v in place.vessels)
    floor = max(in_use) * _section_m2(case, best.ratio)
    return TubPlan(
        answer=_told(case, best, batches, (max(in_use), floor)),
        ratio=best.ratio,
        texture=place.texture,
        at_once=max(in_use),
        floor=floor,
        soil=spread_of(litres, "L"),
        share=best.share,
        batches=batches,
        in_use=in_use,
    )


def _section_m2(case: Tubs, ratio: int) -> float:
    """Floor under one tub."""
    kg = case.batch_kg(case.usual)
    filled = ratio * kg / case.middle(f"soil.{case.texture}.dug_density")
    filled += kg / case.middle("soil.ferment.density")
    return filled / case.middle("beds.tub.depth")


def _waits(place: TubInput, case: Tubs, line: TubLine, warmth_c: Array) -> tuple[Array, Array]:
    """Days of mixing that were looked at, and the waits from them on, ``(members, n)``."""
    last = place.weeks * WEEK
    days = np.asarray([*range(0, last, ASK_EVERY_DAYS), last])
    kg = case.batch_kg(case.usual)
    waits = [
        case.course(kg, line.ratio, warmth_c[:, day : day + HORIZON_DAYS]).ready_to_spread_day
        for day in days
    ]
    return days, np.stack(waits, axis=1)


def _wait(table: tuple[Array, Array], day: int) -> Array:
    """Waits of a mixing on a day, ``(members,)``; beside an endless one it is endless."""
    days, waits = table
    at = float(np.interp(day, days, np.arange(len(days))))
    left, right = waits[:, int(np.floor(at))], waits[:, int(np.ceil(at))]
    part, finite = at - np.floor(at), np.isfinite(left) & np.isfinite(right)
    mixed = np.where(finite, left, 0) * (1 - part) + np.where(finite, right, 0) * part
    return np.where(finite, mixed, np.inf)


def _batch(
    place: TubInput,
    case: Tubs,
    line: TubLine,
    vessel: Finished,
    tables: tuple[tuple[Array, Array], tuple[Array, Array]],
) -> TubBatch:
    inside, outside = (_wait(table, vessel.ready_day) for table in tables)
    mixed = place.start + timedelta(days=vessel.ready_day)
    return TubBatch(
        vessel=vessel.name,
        mixed=mixed,
        mass=vessel.fresh_kg,
        tubs=case.count(vessel),
        soil=spread_of(case.soil_l(vessel.fresh_kg, line.ratio), "L"),
        ready=spread_of(inside, "days"),
        ready_from=_day(mixed, inside),
        outside_from=_day(mixed, outside),
    )


def _day(mixed: date, wait: Array) -> date | None:
    late = number(float(np.quantile(wait, SURE, method="nearest")))
    return None if late is None else mixed + timedelta(days=int(np.ceil(late)))


def _in_use(place: TubInput, batches: tuple[TubBatch, ...]) -> tuple[int, ...]:
    """Tubs that stand in each week, by the longest usual wait."""
    count = []
    for week in range(place.weeks):
        first = place.start + timedelta(days=week * WEEK)
        last = first + timedelta(days=WEEK - 1)
        here = (
            b.tubs
            for b in batches
            if b.mixed <= last and (b.ready_from is None or b.ready_from > first)
        )
        count.append(sum(here))
    return tuple(count)


def _told(
    case: Tubs, line: TubLine, batches: tuple[TubBatch, ...], at_once: tuple[int, float]
) -> str:
    kg = case.batch_kg(case.usual)
    litres, deep = (line.soil.median or 0.0) / 1000, case.middle("beds.tub.depth")
    most, floor = at_once
    each = "" if len(batches) == 1 else "each "
    parts = max(b.tubs for b in batches)
    shared = "" if parts == 1 else f" A vessel fills {count_words(parts, 'tub')}."
    lines = [
        f"There is no bed, so the ferment goes home through tubs of old soil: "
        f"{count_words(len(batches), 'vessel')} in this time. Mix {said(case, kg, 'mass')} of "
        f"ferment with {said(case, litres, 'volume')} of old soil in {each}tub or box with holes "
        f"all round, under a roof, no deeper than {said(case, deep, 'length')}.{shared}",
        _ready(line, batches),
        f"At most {count_words(most, 'tub')} {'stands' if most == 1 else 'stand'} at the same time "
        f"and {'takes' if most == 1 else 'take'} up {said(case, floor, 'area')} of floor.",
        f"{spread_words(line)}, for pots, boxes or other people's beds; begin each tub with "
        "fresh old soil.",
    ]
    return " ".join(lines)


def _ready(line: TubLine, batches: tuple[TubBatch, ...]) -> str:
    """When: where the vessels stand, and out under a roof."""
    lows = [b.ready.low for b in batches if b.ready.low is not None]
    highs = [b.ready.high for b in batches]
    if not lows or None in highs:
        found = (
            f"Even with {line.ratio} times as much dry soil by weight some of it is not ready "
            f"within {HORIZON_DAYS} days for sure where the vessels stand: keep it warmer, or mix "
            "it finer."
        )
    else:
        longest = max(high for high in highs if high is not None)
        found = (
            f"Where the vessels stand it is ready after {min(lows):.0f} to {longest:.0f} days, by "
            "the season."
        )
    slowest = max(batches, key=lambda b: (b.outside_from or date.max) - b.mixed)
    if slowest.outside_from is None:
        return (
            f"{found} Out under a roof winter holds it up: what is mixed on "
            f"{day_words(slowest.mixed)} is not ready within {HORIZON_DAYS} days for sure."
        )
    return (
        f"{found} Out under a roof winter holds it up: what is mixed on "
        f"{day_words(slowest.mixed)} is ready by {day_words(slowest.outside_from)}."
    )


_NOTES = (
    "Every vessel is mixed on the day it is finished, with the smallest amount of soil of "
    f"{', '.join(map(str, RATIOS[:-1]))} or {RATIOS[-1]} times its weight that is ready for sure "
    f"within {HORIZON_DAYS} days.",
    "Waits are simulated every four weeks of the year, for the commonest ferment, and read off "
    "between.",
    "The tub is kept moist and lets no rain in; salt stays in it.",
)
