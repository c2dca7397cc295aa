"""Why a bed or a time takes nothing, in one plain sentence each."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from sourloam.garden.burial import BurialPlan
from sourloam.garden.crops import spoken
from sourloam.garden.options import CHECKS, WEEK, Case, Refused
from sourloam.garden.wording import day_words, listed, said, vessel_words


def short(why: str, crop: str) -> str:
    """A refusal in a few words."""
    return {
        "shallow": "too shallow",
        "narrow": "too short for a trench",
        "held": "finished too long before",
        "frozen": "frozen or too cold to dig",
        "growing": f"{spoken(crop)} is growing",
        "wait": f"{spoken(crop)} goes in too soon after",
        "salt": "too salty already" + (f" for {spoken(crop)}" if crop else ""),
        "raw": f"{spoken(crop)} is eaten raw",
    }[why]


def closed_beds(case: Case, plan: BurialPlan) -> dict[int, str]:
    """Beds that no vessel can use in any week, with the sentence that says why."""
    refused: dict[int, list[Refused]] = {}
    for r in plan.refused:
        refused.setdefault(r.bed, []).append(r)
    return {b: _closed(case, rs) for b, rs in sorted(refused.items()) if b not in plan.open_beds}


def _closed(case: Case, refused: list[Refused]) -> str:
    """The last hurdle: the check that the most promising week failed."""
    last = max(refused, key=lambda r: (CHECKS.index(r.why), -r.week))
    return _HURDLES[last.why](case, last)


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
        f"The ground of {case.beds[r.bed].name} is frozen or too cold to dig in every week that "
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


_HURDLES: dict[str, Callable[[Case, Refused], str]] = {
    "shallow": _shallow,
    "narrow": _narrow,
    "held": _held,
    "frozen": _frozen,
    "growing": _growing,
    "wait": _wait,
    "raw": _raw,
    "salt": _salt,
}


def frozen_spans(chance: NDArray[np.float64], least: float, start: date) -> list[tuple[date, date]]:
    """First and last day of each time in which the ground can't be counted on.

    Times less than a month apart count as one.
    """
    spans: list[tuple[date, date]] = []
    for week in np.flatnonzero(chance < least):
        first = start + timedelta(days=int(week) * WEEK)
        last = first + timedelta(days=WEEK - 1)
        if spans and (first - spans[-1][1]).days <= 4 * WEEK:
            spans[-1] = (spans[-1][0], last)
        else:
            spans.append((first, last))
    return spans


def frozen_sentence(case: Case, plan: BurialPlan, spans: list[tuple[date, date]]) -> str:
    """What winter does to the plan; empty if nothing."""
    if not spans:
        return ""
    times = listed([f"between {day_words(a)} and {day_words(b)}" for a, b in spans])
    finished = {v: -(-vessel.ready_day // WEEK) for v, vessel in enumerate(case.vessels)}
    caught = sorted(
        {r.vessel for r in plan.refused if r.why == "frozen" and r.week == finished[r.vessel]}
    )
    text = f"The ground can't be counted on {times}: frozen, or too cold for ferment to settle."
    if caught:
        names = vessel_words(case, caught)
        text += f" Keep {names} sealed and frost-free meanwhile, or use a tub of soil."
    return text
