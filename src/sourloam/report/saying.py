"""The answer in sentences: how many vessels, how they take turns, what the ground must take."""

from __future__ import annotations

from collections.abc import Sequence

from sourloam.planning.contract import (
    Chance,
    Fill,
    Ground,
    Plan,
    SeasonFill,
    SeasonRest,
    VesselOption,
)
from sourloam.report.page import sentence
from sourloam.report.quantities import amount, odds, one, word


def fill_of(plan: Plan, vessel: str) -> Fill | None:
    """How one kind of vessel fills, if the plan says."""
    return next((fill for fill in plan.fill if fill.vessel == vessel), None)


def option_of(plan: Plan, vessel: str) -> VesselOption | None:
    """One kind of vessel alone, if the plan says."""
    return next((option for option in plan.vessels.options if option.vessel == vessel), None)


def chance_with(option: VesselOption, number: int) -> Chance | None:
    """The point of the curve for a number of vessels, if it was tried."""
    return next((point for point in option.curve if point.number == number), None)


def simulated_years(plan: Plan) -> int:
    """The years that a chance of the plan is a share of."""
    return plan.provenance.members * plan.provenance.years


def volume_of(plan: Plan, vessel: str, system: str) -> str:
    """Brim volume of one kind of vessel in the reader's units; empty if not stated."""
    kinds = [kind for kind in plan.site.vessels if kind.name == vessel]
    return one(kinds[0].volume, "L", system) if kinds else ""


def vessels_said(plan: Plan, system: str) -> str:
    """How many vessels, and what the chance is with them and with one fewer."""
    chosen = plan.vessels.chosen
    option = option_of(plan, chosen)
    # A name such as "19 L pail" says its size already.
    named = any(sign.isdigit() for sign in chosen)
    kind = chosen if named else f"{chosen}, {volume_of(plan, chosen, system)}".rstrip(", ")
    if option is None:
        return sentence(plan.vessels.answer)
    accepted = odds(plan.site.accepted_risk)
    if option.needed is None:
        return (
            f"Up to {word(option.most_tried)} vessels ({kind}) are not enough: the chance of "
            f"having nowhere to put scraps at some time in a year stays above the {accepted} that "
            f"you accept. {sentence(option.way_out)}"
        ).rstrip()
    owned = f" You own {word(option.owned) if option.owned else 'none'}." if option.needed else ""
    noun = "vessel" if option.needed == 1 else "vessels"
    chances = _chances(option, accepted, simulated_years(plan))
    return f"You need {word(option.needed)} {noun} ({kind}).{owned} {chances}" + _weighed(
        plan, option, system
    )


def _chances(option: VesselOption, accepted: str, cases: int) -> str:
    number = option.needed or 0
    point, fewer = chance_with(option, number), chance_with(option, number - 1)
    if point is None:
        return ""
    said = (
        f"With {word(number)}, the chance of having nowhere to put scraps at some time in a year "
        f"is {odds(point.chance, cases)} (you accept {accepted})"
    )
    if fewer:
        same = odds(fewer.chance, cases) == odds(point.chance, cases)
        how = "it is a little above that" if same else f"it is {odds(fewer.chance, cases)}"
        said += f"; with {word(number - 1)}, {how}"
    return f"{said}."


def _weighed(plan: Plan, option: VesselOption, system: str) -> str:
    """What a week at the scales could spare."""
    fewer = option.needed_if_weighed
    if fewer is None or option.needed is None or fewer >= option.needed:
        return ""
    middle = one(plan.scraps.per_day.median, "kg/day", system)
    said = (
        " Weigh your scraps for a week or two: if they turn out to be the middle amount, "
        f"{middle}, then {word(fewer)} will do."
    )
    high = plan.scraps.per_day.high
    if high is None:
        return said
    spared = option.needed - fewer
    verb = "is" if spared == 1 else "are"
    return (
        f"{said} The other {word(spared) if spared > 1 else 'one'} {verb} there because, until you "
        f"weigh, yours may as well be a kitchen that makes {one(high, 'kg/day', system)}."
    )


def turns_said(plan: Plan, system: str) -> str:
    """How long one fills and rests; the seasons in which it does not are named."""
    fill = fill_of(plan, plan.vessels.chosen)
    fills, rests = (
        _over_seasons(part.by_season, system) if part else "" for part in (fill, plan.finish)
    )
    said = f"One vessel fills in {fills}" if fills else "Once a vessel is closed, it"
    if rests:
        said += f"{', then' if fills else ''} rests sealed for {rests}"
    said += "." if fills or rests else " does not turn sour within the time foreseen."
    slow = never(fill.by_season) if fill else ""
    if slow:
        said += f" Begun in {slow}, it does not fill within the time foreseen."
    cold = never(plan.finish.by_season)
    if cold and rests:
        said += (
            f" Closed in {cold}, it does not turn sour within the time foreseen: a warmer place "
            "for the resting vessels is the first remedy."
        )
    return said


def never(seasons: Sequence[SeasonFill | SeasonRest]) -> str:
    """The seasons in which the middle case does not get there, in words; empty if none."""
    return " and ".join(s.season for s in seasons if s.days.median is None)


def _over_seasons(seasons: Sequence[SeasonFill | SeasonRest], system: str) -> str:
    """One figure where seasons agree, else the quickest and the slowest by name; or nothing."""
    known = sorted(
        (s for s in seasons if s.days.median is not None), key=lambda s: s.days.median or 0.0
    )
    if not known:
        return ""
    quick, slow = known[0], known[-1]
    if one(quick.days.median, "days", system) != one(slow.days.median, "days", system):
        both = f"{amount(quick.days, system)} in {quick.season}"
        return f"{both} and {amount(slow.days, system)} in {slow.season}"
    if len(known) < len(seasons):
        return f"{amount(quick.days, system)} in {quick.season}"
    return amount(slow.days, system)


def ground_said(plan: Plan, system: str) -> str:
    """How much must go back to soil, and whether the site has it."""
    ground = plan.ground
    said = f"About {amount(ground.vessels_per_year, system)} a year want emptying"
    if ground.way == "tub" or ground.bed_area is None:
        soil = (
            f": each into a soil tub with {amount(ground.tub_soil, system)} of soil"
            if (ground.tub_soil)
            else ""
        )
        return f"{said}{soil}."
    if ground.bed_area_given is None:
        return f"{said} into the ground: {amount(ground.bed_area, system)} of bed."
    have = one(ground.bed_area_given, "m2", system)
    if ground.enough:
        return f"{said}; your {have} of beds take all of it."
    share = amount(ground.taken, system) if ground.taken else "a part"
    rest = "into a tub of old soil" if ground.rest_goes == "tub" else "elsewhere"
    fates = [f"{_many(ground.buried)} buried{' whole' if ground.parted else ''}"]
    if ground.parted:
        fates.append(f"{_many(ground.parted)} buried in part")
    if ground.passed_on:
        fates.append(f"{word(ground.passed_on)} {'goes' if ground.passed_on == 1 else 'go'} {rest}")
    return (
        f"{said}. Your {have} of beds take {share} of that: in the calendar below "
        f"{', '.join(fates[:-1])} and {fates[-1]}. {_enough(ground, system)}"
    )


def _many(number: int) -> str:
    return f"{word(number) if number else 'none'} {'are' if number > 1 else 'is'}"


def _enough(ground: Ground, system: str) -> str:
    """What sets the limit, and the bed that would take all."""
    if ground.bed_area is None or ground.bed_area.median is None:
        return ""
    if ground.bed_area.median <= (ground.bed_area_given or 0):
        return "The beds would be large enough, were they free when vessels are ready."
    limit = {"oxygen": "Air in the soil", "geometry": "Room for trenches"}.get(
        ground.limited_by, ground.limited_by.capitalize()
    )
    area = amount(ground.bed_area, system)
    return f"{limit} sets the limit: {area} of bed like yours would take all of it."
