"""The plan in plain sentences: verdicts, reasons, refusals. Words only, no sums."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from sourloam.garden.burial import BurialPlan, Buried, WaysOut
from sourloam.garden.crops import spoken
from sourloam.garden.options import CHECKS, WEEK, Case, Refused

_FAMILY = {
    "nitrogen": "nitrogen",
    "phosphorus": "phosphorus",
    "room": "room for trenches",
}


def day_words(day: date) -> str:
    """A date as people say it: 4 May 2026."""
    return f"{day.day} {day:%B %Y}"


def count_words(count: int, word: str) -> str:
    """One vessel, two vessels ... as digits from ten on."""
    small = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
    said = small[count] if count < len(small) else str(count)
    return f"{said} {word}{'' if count == 1 else 's'}"


def answer(case: Case, plan: BurialPlan) -> str:
    """The verdict of the burial plan in two or three sentences."""
    count = len(case.vessels)
    if count == 0:
        return "No vessel is finished in this time, so there is nothing to bury."
    unproven = "" if plan.proven else _how_far(plan)
    if plan.ways_out is None:
        return f"{_all_placed(case, plan, count)} {unproven}".strip()
    every = sum(vessel.fresh_kg for vessel in case.vessels)
    placed = every - float(plan.left_kg.sum())
    lead = f"Not all of it finds a place: {placed:.0f} of {every:.0f} kg can go into the beds."
    parted = any(kg > 0 for v, kg in enumerate(plan.left_kg) if v not in plan.stored)
    rest = "Where part of a vessel goes in, put the rest into a tub of soil the same day."
    return " ".join(
        s for s in (lead, _what_binds(case, plan), rest if parted else "", unproven) if s
    )


def _how_far(plan: BurialPlan) -> str:
    """How far from the best a plan may be whose search was stopped."""
    if not np.isfinite(plan.dearer):
        return "The search was stopped before the best plan was known; a better one may exist."
    kg, weeks = plan.more_kg, plan.dearer
    left = f"bury {kg:.0f} kg more" if kg >= 1 else ""
    held = f"spare {weeks:.1f} weeks of holding a vessel" if weeks >= 0.1 else ""
    gains = [gain for gain in (left, held) if gain] or ["share fewer vessels over two beds"]
    return f"The search was stopped; the best plan there is could at most {_listed(gains)}."


def _all_placed(case: Case, plan: BurialPlan, count: int) -> str:
    beds = {b.offer.option.bed for b in plan.buried}
    names = [case.beds[b].name for b in sorted(beds)]
    every = "The one vessel finds" if count == 1 else f"All {count_words(count, 'vessel')} find"
    return f"{every} a place in {_listed(names)}."


def _what_binds(case: Case, plan: BurialPlan) -> str:
    said = []
    if plan.nowhere:
        names = _listed([case.vessels[v].name for v in plan.nowhere])
        said.append(f"No bed can take {names} in any week: {_main_reasons(case, plan)}.")
    if plan.binding:
        what = _listed([_FAMILY[f] for f in plan.binding])
        figures = "; ".join(_figures(case, plan, family) for family in plan.binding)
        verb = "set" if len(plan.binding) > 1 else "sets"
        said.append(f"{what[0].upper()}{what[1:]} {verb} the limit: {figures}.")
    return " ".join(said)


def _figures(case: Case, plan: BurialPlan, family: str) -> str:
    most = float(plan.limits[family].sum())  # type: ignore[index]
    if family == "room":
        return f"the beds have {most:.0f} m for trenches a year"
    held = sum(getattr(v, f"{family}_kg") for v in case.vessels) * 1000
    return (
        f"the beds may take {most * 1000:.0f} g of {family} a year and the vessels hold "
        f"{held:.0f} g, and not every bed is free when one is finished"
        if held <= most * 1000
        else f"the beds may take {most * 1000:.0f} g of {family} a year and the vessels hold "
        f"{held:.0f} g"
    )


def _main_reasons(case: Case, plan: BurialPlan) -> str:
    reasons = Counter((r.bed, r.why, r.crop) for r in plan.refused if r.vessel in plan.nowhere)
    worst: dict[int, tuple[str, str]] = {}
    for (bed, why, crop), _ in reasons.most_common():
        worst.setdefault(bed, (why, crop))
    parts = [
        f"{case.beds[b].name} ({_short(why, crop)})" for b, (why, crop) in sorted(worst.items())
    ]
    return "; ".join(parts) if parts else "they are finished too late"


def _short(why: str, crop: str) -> str:
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


def ways_out(case: Case, ways: WaysOut) -> list[tuple[str, float, str, str]]:
    """Kind, amount, unit and sentence of each way out."""
    found = []
    if ways.added_m2 is not None and sum(ways.added_m2) > 0:
        extra = [(case.beds[b].name, m2) for b, m2 in enumerate(ways.added_m2) if m2 > 0]
        where = _listed([f"{up(m2):g} m² like {name}" for name, m2 in extra])
        total = sum(up(m2) for _, m2 in extra)
        found.append(("more bed", total, "m2", f"It would fit with {where} more."))
    if ways.fewer_kg > 0:
        kg = ways.fewer_kg
        text = f"It would fit with {kg:.0f} kg less ferment to bury; give it away or make less."
        found.append(("less ferment", kg, "kg", text))
    if ways.store:
        text = (
            f"It would fit if {count_words(ways.store, 'vessel')} stayed sealed beyond this time, "
            "or went into a tub of soil."
        )
        found.append(("store", float(ways.store), "vessels", text))
    return found


def up(m2: float) -> float:
    """Area rounded up to tenths, so that the promise holds."""
    return float(np.ceil(m2 * 10 - 1e-6) / 10)


def reason(case: Case, buried: Buried) -> str:
    """Why this vessel goes here, then."""
    offer = buried.offer
    vessel, bed = case.vessels[offer.option.vessel], case.beds[offer.option.bed]
    held = offer.day - vessel.ready_day
    when = "as soon as it is finished" if held < WEEK else f"after {held} days held sealed"
    low, high = offer.wait_range
    said = [f"The ground can be dug that week and {vessel.name} goes in {when}."]
    if offer.among_rows and offer.next_crop:
        said.append(f"The trench runs between the rows of {spoken(offer.next_crop.crop)}.")
    elif offer.next_crop:
        spare = offer.next_crop.start_day - offer.day
        said.append(
            f"{bed.name} is free until {spoken(offer.next_crop.crop)} goes in {spare} days later; "
            f"the ferment needs {_days(low, high)}."
        )
        said.append(_need(case, buried))
    else:
        said.append(f"Nothing is planned in {bed.name} afterwards; wait {_days(low, high)}.")
    return " ".join(s for s in said if s)


def _need(case: Case, buried: Buried) -> str:
    offer = buried.offer
    given = offer.option.available_kg * buried.parts * 1000
    crop = spoken(offer.next_crop.crop) if offer.next_crop else ""
    return f"About {given:.0f} g of nitrogen comes free for the {crop}."


def elsewhere(case: Case, plan: BurialPlan, buried: Buried) -> tuple[str, ...]:
    """Why the other beds don't take this vessel that week, one line a bed."""
    option = buried.offer.option
    return tuple(
        f"{case.beds[r.bed].name}: {_short(r.why, r.crop)}"
        for r in plan.refused
        if r.vessel == option.vessel and r.week == option.week
    )


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
        f"{bed.name} has {bed.depth_m * 100:.0f} cm of loose soil; a trench needs "
        f"{r.figure * 100:.0f} cm, so that enough soil lies on top."
    )


def _narrow(case: Case, r: Refused) -> str:
    return f"{case.beds[r.bed].name} is too short for a trench {r.figure * 100:.0f} cm wide."


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
    times = _listed([f"between {day_words(a)} and {day_words(b)}" for a, b in spans])
    finished = {v: -(-vessel.ready_day // WEEK) for v, vessel in enumerate(case.vessels)}
    caught = sorted(
        {r.vessel for r in plan.refused if r.why == "frozen" and r.week == finished[r.vessel]}
    )
    text = f"The ground can't be counted on {times}: frozen, or too cold for ferment to settle."
    if caught:
        names = _listed([case.vessels[v].name for v in caught])
        text += f" Keep {names} sealed and frost-free meanwhile, or use a tub of soil."
    return text


def _days(low: float, high: float) -> str:
    if not np.isfinite(high):
        return "longer than this time to settle"
    return f"{low:.0f} to {high:.0f} days to settle" if low < high else f"{low:.0f} days to settle"


def _listed(words: list[str]) -> str:
    if len(words) < 2:
        return "".join(words)
    return ", ".join(words[:-1]) + " and " + words[-1]
