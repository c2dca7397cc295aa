"""The plan in plain sentences: verdicts, reasons, ways out. Words only, no sums."""

from __future__ import annotations

import numpy as np

from sourloam.garden.burial import BurialPlan, WaysOut
from sourloam.garden.case import WEEK, Case
from sourloam.garden.crops import spoken
from sourloam.garden.hurdles import SLACK, Look
from sourloam.garden.lighter import preferred_load_kg_m
from sourloam.garden.options import Buried
from sourloam.garden.problem import Family
from sourloam.garden.refusals import WATERS, reasons_of, short
from sourloam.garden.wording import count_words, listed, number_word, said, settling, vessel_words
from sourloam.units import factor, percent, show_on_bed

_FAMILY: dict[Family, str] = {
    "nitrogen": "nitrogen",
    "phosphorus": "phosphorus",
    "room": "room for trenches",
    "hours": "people's time",
}
_MOST = 0.95  # method: beyond it, nearly all
_NOT_ALL = 0.99  # method: told where some is left, however little
_WORTH_NAMING = 0.1  # method: share of the rest below which further ground is no answer


def answer(case: Case, plan: BurialPlan) -> str:
    """The verdict of the burial plan in a few sentences."""
    count = len(case.vessels)
    if count == 0:
        return "No vessel is finished in this time, so there is nothing to bury."
    shut = barred(case)
    if shut:
        return shut
    unproven = "" if plan.proven else _how_far(case, plan)
    if plan.ways_out is None:
        return f"{_all_placed(case, plan, count)} {unproven}".strip()
    parted = any(kg > 0 for v, kg in enumerate(plan.left_kg) if v not in plan.stored)
    rest = (
        "An opened vessel does not keep: where only part of one goes in, take the rest where the "
        "others go, or mix the rest into a tub of soil, the same day."
    )
    lines = (_lead(case, plan), _what_binds(case, plan), rest if parted else "", unproven)
    return " ".join(line for line in lines if line)


def later(count: int) -> str:
    """Vessels that wait for the next year's plan."""
    if not count:
        return ""
    who = count_words(count, "vessel").capitalize()
    if count == 1:
        return (
            f"{who} is finished when no week is left in this year in which anybody digs: keep it "
            "sealed for next year's plan."
        )
    return (
        f"{who} are finished when no week is left in this year in which anybody digs: keep them "
        "sealed for next year's plan."
    )


def barred(case: Case) -> str:
    """Why nothing at all is buried in these beds; empty where something may be."""
    mass = said(case, sum(vessel.fresh_kg for vessel in case.vessels), "mass")
    elsewhere = (
        f"All {mass} of ferment must go elsewhere: into tubs of soil, to other ground where it is "
        "allowed, or to people who may bury it."
    )
    if case.place.burial_allowed == "no":
        return f"Bury nothing here: your rules say that burying is not allowed. {elsewhere}"
    for what, here in (("stream", case.place.stream_m), ("well", case.place.well_m)):
        least = case.middle(f"beds.distance.{what}")
        if here is not None and here < least:
            return (
                f"Bury nothing in these beds: {WATERS[what]} is {said(case, here, 'length')} "
                f"away, and {said(case, least, 'length')} is the least. {elsewhere}"
            )
    return ""


def _lead(case: Case, plan: BurialPlan) -> str:
    """What share finds a place, and what becomes of the rest."""
    every = sum(vessel.fresh_kg for vessel in case.vessels)
    left = float(plan.left_kg.sum())
    share = percent(min((every - left) / every, _NOT_ALL))
    lead = (
        f"Not all of it finds a place: the beds can take {said(case, every - left, 'mass')} of the "
        f"{said(case, every, 'mass')} of ferment finished in this time, {share}. The "
        f"other {said(case, left, 'mass')}"
        if left < every
        else f"None of it finds a place in these beds: all {said(case, every, 'mass')}"
    )
    text = (
        f"{lead} must go elsewhere: to other ground, into tubs of soil, or to people with ground "
        "who want it, as far as your local rules allow."
    )
    return f"{text} {_further(case, left)}".strip()


def _further(case: Case, left_kg: float) -> str:
    """What the rest of the site's ground could take."""
    nitrogen = sum(v.nitrogen_kg for v in case.vessels) / sum(v.fresh_kg for v in case.vessels)
    takes = case.further.area_m2 * case.further.nitrogen_kg_m2 / nitrogen
    if takes < _WORTH_NAMING * left_kg:
        return ""
    enough = "enough for the rest" if takes >= left_kg else "not enough for the rest"
    return (
        f"The site has {said(case, case.further.area_m2, 'area')} of ground besides these beds; by "
        f"nitrogen it takes up to {said(case, takes, 'mass')} a year, {enough}: describe it as a "
        "[[bed]] too, and plan again."
    )


def _how_far(case: Case, plan: BurialPlan) -> str:
    """How far from the best a plan may be whose search was stopped."""
    if not np.isfinite(plan.dearer):
        return "The search was stopped before the best plan was known; a better one may exist."
    kg, weeks = plan.more_kg, plan.dearer
    left = f"bury {said(case, kg, 'mass')} more" if kg >= 1 else ""
    held = f"spare what {weeks:.1f} weeks of holding a vessel weigh" if weeks >= 0.1 else ""
    gains = [gain for gain in (left, held) if gain] or ["share fewer vessels over two beds"]
    return f"The search was stopped; the best plan there is could at most {listed(gains)}."


def _all_placed(case: Case, plan: BurialPlan, count: int) -> str:
    beds = {b.offer.option.bed for b in plan.buried}
    names = [case.beds[b].name for b in sorted(beds)]
    every = "The one vessel finds" if count == 1 else f"All {count_words(count, 'vessel')} find"
    return f"{every} a place in {listed(names)}."


def _what_binds(case: Case, plan: BurialPlan) -> str:
    found = []
    if plan.nowhere:
        names = vessel_words(case, plan.nowhere)
        found.append(f"No bed can take {names} in any week: {_main_reasons(case, plan)}.")
    if plan.binding:
        what = listed([_FAMILY[f] for f in plan.binding])
        figures = "; ".join(_figures(case, plan, family) for family in plan.binding)
        verb = "set" if len(plan.binding) > 1 else "sets"
        found.append(f"{what[0].upper()}{what[1:]} {verb} the limit: {figures}.")
    return " ".join(found)


def _figures(case: Case, plan: BurialPlan, family: Family) -> str:
    if family == "hours":
        most = case.hands.week_h
        return f"people have about {most:.1f} hours a week for burying, and vessels come in bunches"
    most = float(np.sum(plan.limits[family], where=np.isfinite(plan.limits[family])))
    if family == "room":
        return f"the beds have {said(case, most, 'length')} for trenches a year"
    held = sum(getattr(v, f"{family}_kg") for v in case.vessels)
    text = (
        f"the beds may take {said(case, most, 'small_mass')} of {family} a year and the vessels "
        f"hold {said(case, held, 'small_mass')}"
    )
    free = ", and not every bed is free when one is finished" if held <= most else ""
    return text + free + (_ceiling(case, held) if family == "nitrogen" else "")


def _ceiling(case: Case, held_kg: float) -> str:
    """Where the usual ceiling on nitrogen comes from, and what the highest one would let in."""
    usual_m2 = sum(bed.area_m2 for bed in case.beds if bed.nitrogen_limit_kg_m2 is None)
    if not usual_m2:
        return ", by the nitrogen_limit that you wrote"
    usual, highest = (case.middle(f"ground.nitrogen.{key}") / 1000 for key in ("usual", "highest"))
    every = sum(bed.area_m2 for bed in case.beds)
    share = usual_m2 * highest / held_kg
    takes = "all" if share >= 1 else f"up to {percent(share)}"
    more = (
        f", and with it these beds would take {takes} of the ferment" if every == usual_m2 else ""
    )
    return (
        f". That is {show_on_bed(usual, case.system)}, European law's ceiling for manure on "
        "fields. No rule we know sets one for a garden's own scraps: it is a prudent choice, for "
        "what crops leave washes into the groundwater. The highest met in rules is "
        f"{show_on_bed(highest, case.system)}{more}; write nitrogen_limit under [ground] or a "
        "[[bed]] if yours differs"
    )


def _main_reasons(case: Case, plan: BurialPlan) -> str:
    """The reason of each bed, beds with the same one together."""
    found = reasons_of(plan.refused, plan.nowhere)
    worst = {bed: short(r.why, r.crop) for bed, r in found.items()}
    if not worst:
        return "too late in the time planned"
    alike: dict[str, list[str]] = {}
    for bed, reason_ in sorted(worst.items()):
        alike.setdefault(reason_, []).append(case.beds[bed].name)
    if len(alike) == 1 and len(worst) == len(case.beds) > 1:
        return f"every bed is out ({next(iter(alike))})"
    return "; ".join(f"{listed(names)} ({why})" for why, names in alike.items())


def ways_out(case: Case, ways: WaysOut) -> list[tuple[str, float, str, str]]:
    """Kind, amount, unit and sentence of each way out."""
    found = []
    if ways.added_m2 is not None and sum(ways.added_m2) > 0:
        total, text = _more_bed(case, ways.added_m2)
        found.append(("more bed", total, "m2", text))
    if ways.fewer_kg > 0:
        kg = ways.fewer_kg
        text = (
            f"It would fit with {said(case, kg, 'mass')} less ferment to bury; give it away or "
            "make less."
        )
        found.append(("less ferment", kg, "kg", text))
    if ways.store:
        found.append(("store", float(ways.store), "vessels", _stored(case, ways.store)))
    return found


def _stored(case: Case, count: int) -> str:
    """Vessels to keep; where they are most of all, no answer for long."""
    every = len(case.vessels)
    if 2 * count <= every:
        return (
            f"It would fit if {count_words(count, 'vessel')} stayed sealed beyond this time, or "
            "went into a tub of soil."
        )
    return (
        f"It would fit only if {number_word(count)} of the {count_words(every, 'vessel')} stayed "
        "sealed beyond this time or went into tubs of soil: no answer for a second year."
    )


def _more_bed(case: Case, added_m2: tuple[float, ...]) -> tuple[float, str]:
    extra = [(up(m2), case.beds[b].name) for b, m2 in enumerate(added_m2) if m2 > 0]
    total = sum(m2 for m2, _ in extra)
    largest, name = max(extra)
    if len(extra) > 1 and largest > _MOST * total:
        much = said(case, total, "area")
        return total, f"It would fit with {much} more of bed, nearly all of it like {name}."
    where = listed([f"{said(case, m2, 'area')} like {bed}" for m2, bed in extra])
    return total, f"It would fit with {where} more."


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
    lines = [f"The ground can be dug that week and {vessel.name} goes in {when}."]
    if offer.among_rows and offer.next_crop:
        crop = spoken(offer.next_crop.crop)
        lines.append(
            f"The trench runs midway between the rows of {crop}, clear of their roots, which find "
            "it when it has settled."
        )
        lines.append(_need(case, buried))
    elif offer.next_crop:
        spare = offer.next_crop.start_day - offer.day
        lines.append(
            f"{bed.name} is free for {count_words(spare, 'day')} until its next crop goes in, "
            f"{spoken(offer.next_crop.crop)}; the ferment needs {settling(low, high)}."
        )
        lines.append(_need(case, buried))
    else:
        lines.append(f"Nothing is planned in {bed.name} afterwards; wait {settling(low, high)}.")
    lines.append(_laid(case, buried))
    return " ".join(line for line in lines if line)


def _a_length(case: Case, kg_m: float) -> str:
    """A load in the reader's units of mass and length."""
    if case.system == "metric":
        return f"{said(case, kg_m, 'mass')} on a metre"
    return f"{said(case, kg_m * factor('ft', 'length'), 'mass')} on a foot"


def _laid(case: Case, buried: Buried) -> str:
    """How thick the ferment lies, and why."""
    offer = buried.offer
    look = Look(case, offer.option.vessel, offer.option.bed, offer.option.week)
    most, load = look.loads[0], _a_length(case, offer.load_kg_m)
    if offer.load_kg_m >= most * (1 - SLACK):
        return (
            f"It lies as thick as gets air enough, {load}, for want of room or of hands "
            "to dig further."
        )
    if offer.load_kg_m >= preferred_load_kg_m(look) * (1 - SLACK):
        return (
            f"It is laid thinner, {load}, than air would allow ({_a_length(case, most)}): so it "
            "settles sooner and feeds a wider strip."
        )
    return f"It is laid thin, {load}, so that it settles in time and no salt harms what follows."


def _need(case: Case, buried: Buried) -> str:
    offer = buried.offer
    given = said(case, offer.option.available_kg * buried.parts, "small_mass")
    crop = spoken(offer.next_crop.crop) if offer.next_crop else ""
    return f"About {given} of nitrogen comes free for the {crop}."


def elsewhere(case: Case, plan: BurialPlan, buried: Buried) -> tuple[str, ...]:
    """Why the other beds don't take this vessel that week, one line a bed."""
    option = buried.offer.option
    return tuple(
        f"{case.beds[r.bed].name}: {short(r.why, r.crop)}"
        for r in plan.refused
        if r.vessel == option.vessel and r.week == option.week
    )
