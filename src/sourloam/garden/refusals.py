"""Why a bed or a time takes nothing, in one plain sentence each."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from sourloam.garden.burial import BurialPlan
from sourloam.garden.case import WEEK, Case
from sourloam.garden.ceilings import nitrogen_ceiling_kg_m2
from sourloam.garden.crops import spoken
from sourloam.garden.hurdles import Refused, furthest
from sourloam.garden.wording import day_words, listed, said, vessel_words


def short(why: str, crop: str) -> str:
    """A refusal in a few words."""
    return {
        "rules": "your rules forbid burying",
        "water": f"the {crop} is too near",
        "busy": "you say the beds are busy",
        "away": "nobody is there to dig",
        "shallow": "too shallow",
        "narrow": "too short for a trench",
        "held": "finished too long before",
        "frozen": "frozen",
        "growing": f"{spoken(crop)} is growing",
        "wait": f"{spoken(crop)} goes in too soon after",
        "salt": "too salty already" + (f" for {spoken(crop)}" if crop else ""),
        "raw": f"{spoken(crop)} is eaten raw",
    }[why]


def closed_beds(case: Case, plan: BurialPlan) -> dict[int, str]:
    """Beds that no vessel can use in any week, with the sentence that says why."""
    reasons = reasons_of(plan.refused)
    shut = {b: _HURDLES[r.why](case, r) for b, r in reasons.items() if b not in plan.open_beds}
    return dict(sorted((_fed_up(case, plan) | shut).items()))


def reasons_of(
    refused: Iterable[Refused], vessels: Iterable[int] | None = None
) -> dict[int, Refused]:
    """The one reason of each bed for these vessels: what its most promising week failed at."""
    which = None if vessels is None else set(vessels)
    found: dict[int, list[Refused]] = {}
    for r in refused:
        if which is None or r.vessel in which:
            found.setdefault(r.bed, []).append(r)
    return {b: furthest(rs) for b, rs in sorted(found.items())}


def _fed_up(case: Case, plan: BurialPlan) -> dict[int, str]:
    """Beds whose limit is used up by what they were given before."""
    found = {}
    for b, bed in enumerate(case.beds):
        limit = nitrogen_ceiling_kg_m2(replace(bed, given_kg_m2=0.0), case.parameters)
        if bed.given_kg_m2 and plan.limits["nitrogen"][b] <= 0:
            found[b] = (
                f"{bed.name} has had its fill: {_grams(bed.given_kg_m2)} of nitrogen this year, "
                f"where {_grams(limit)} is the most; nothing is buried there until next year."
            )
    return found


def _grams(kg_m2: float) -> str:
    return f"{kg_m2 * 1000:.0f} g/m²"


def _rules(case: Case, r: Refused) -> str:
    return f"{case.beds[r.bed].name}: your rules say that burying is not allowed."


def _water(case: Case, r: Refused) -> str:
    least = said(case, case.middle(f"beds.distance.{r.crop}"), "length")
    here = said(case, r.figure, "length")
    what = WATERS[r.crop]
    return f"{case.beds[r.bed].name} is {here} from {what}; nothing is buried within {least} of it."


def _busy(case: Case, r: Refused) -> str:
    return f"You say that {case.beds[r.bed].name} is busy whenever ferment is ready."


def _away(case: Case, r: Refused) -> str:
    return f"Nobody is there to dig in {case.beds[r.bed].name} whenever ferment is ready."


def _shallow(case: Case, r: Refused) -> str:
    bed = case.beds[r.bed]
    return (
        f"{bed.name} has {said(case, bed.depth_m, 'length')} of loose soil; a trench needs "
        f"{said(case, r.figure, 'length')}, so that enough soil lies on top."
    )


def _narrow(case: Case, r: Refused) -> str:
    wide = said(case, r.figure, "length")
    return f"{case.beds[r.bed].name} is too short for a trench {wide} wide."


def _raw(case: Case, r: Refused) -> str:
    bed, crop = case.beds[r.bed], spoken(r.crop)
    unknown = any(p.crop == r.crop and p.harvest_day is None for p in bed.plantings)
    hint = " Say when its harvest begins, and earlier weeks may open." if unknown else ""
    return (
        f"{bed.name} grows {crop}, which is eaten raw, and the ferment holds meat, fish, egg, "
        f"dairy or plate waste: keep {r.figure:.0f} days between burying and picking. No week that "
        "is free leaves so long, so no ferment goes there; a crop that is cooked suits better."
        f"{hint}"
    )


def _wait(case: Case, r: Refused) -> str:
    name, crop = case.beds[r.bed].name, spoken(r.crop)
    if not np.isfinite(r.figure):
        return f"{name}: the ferment would not have settled before {crop} goes in."
    return (
        f"{name} is never free long enough: {crop} goes in before the {r.figure:.0f} days that "
        "the ferment needs to settle are over."
    )


def _held(case: Case, r: Refused) -> str:
    return (
        f"{case.beds[r.bed].name} comes free only when the ferment would have waited more than "
        f"{r.figure:.0f} days."
    )


def _growing(case: Case, r: Refused) -> str:
    return f"{case.beds[r.bed].name} is full of {spoken(r.crop)} whenever ferment is ready."


def _frozen(case: Case, r: Refused) -> str:
    return (
        f"The ground of {case.beds[r.bed].name} is frozen in every week that "
        "ferment is ready; keep the vessels sealed and frost-free, or use a tub of soil under a "
        "roof."
    )


def _salt(case: Case, refused: Refused) -> str:
    bed, crop = case.beds[refused.bed], spoken(refused.crop)
    kept = case.middle("beds.salt.yield_kept")
    measured = "" if bed.ece_ds_m is not None else " (taken, not measured)"
    return (
        f"{bed.name} is {bed.texture.replace('_', ' ')} and already at {refused.figure:.1f} dS/m "
        f"of salt{measured}: ferment would take {crop} below {kept:.0f} % of its yield. "
        "Let rain or watering wash the salt out first, or grow something that bears salt, "
        "such as beetroot, chard or courgette."
    )


WATERS = {"stream": "a stream, ditch or pond", "well": "a well or spring"}
_HURDLES: dict[str, Callable[[Case, Refused], str]] = {
    "rules": _rules,
    "water": _water,
    "busy": _busy,
    "away": _away,
    "shallow": _shallow,
    "narrow": _narrow,
    "held": _held,
    "frozen": _frozen,
    "growing": _growing,
    "wait": _wait,
    "raw": _raw,
    "salt": _salt,
}


def no_pouring(case: Case) -> Mapping[str, NDArray[np.bool_]]:
    """Weeks in which liquid may not be poured, ``(weeks,)`` by texture: frozen ground, or water
    too near."""
    least = case.middle("beds.workable_chance")
    near = case.place.stream_m is not None and case.place.stream_m < case.middle(
        "beds.distance.stream"
    )
    well = case.place.well_m is not None and case.place.well_m < case.middle("beds.distance.well")
    return {t: (chance < least) | near | well for t, chance in case.workable.items()}


def spans(shut: NDArray[np.bool_], start: date) -> list[tuple[date, date]]:
    """First and last day of each time of shut weeks; times less than a month apart count as one."""
    found: list[tuple[date, date]] = []
    for week in np.flatnonzero(shut):
        first = start + timedelta(days=int(week) * WEEK)
        last = first + timedelta(days=WEEK - 1)
        if found and (first - found[-1][1]).days <= 4 * WEEK:
            found[-1] = (found[-1][0], last)
        else:
            found.append((first, last))
    return found


def winter_sentence(
    case: Case,
    plan: BurialPlan,
    shut: list[tuple[date, date]],
    cold: list[tuple[date, date]],
) -> str:
    """What winter does to the plan: frozen ground, and ground that is only cold; empty if none."""
    told = []
    if shut:
        told.append(f"The ground can't be counted on {_times(shut)}: it may be frozen.")
        told.append(_caught(case, plan))
    if cold:
        told.append(
            f"It is too cold {_times(cold)} for ferment to settle: what is buried shortly before "
            "or in that time rests until it is warmer; the waits below count with it."
        )
    return " ".join(text for text in told if text)


def _times(found: list[tuple[date, date]]) -> str:
    return listed([f"between {day_words(a)} and {day_words(b)}" for a, b in found])


def _caught(case: Case, plan: BurialPlan) -> str:
    """Vessels finished while the ground is shut."""
    finished = {v: -(-vessel.ready_day // WEEK) for v, vessel in enumerate(case.vessels)}
    caught = sorted(
        {r.vessel for r in plan.refused if r.why == "frozen" and r.week == finished[r.vessel]}
    )
    if not caught:
        return ""
    names = vessel_words(case, caught)
    return f"Keep {names} sealed and frost-free meanwhile, or use a tub of soil."
