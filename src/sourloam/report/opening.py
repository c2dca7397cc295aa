"""The answer first: a few sentences to read aloud, then the vessel and the year at a glance."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from math import inf

from rich.console import RenderableType
from rich.padding import Padding
from rich.text import Text

from sourloam.planning.contract import Chance, Fill, Plan, SeasonFill, SeasonRest, VesselOption
from sourloam.report.page import Look, drawing, paragraph, plain, sentence
from sourloam.report.quantities import BEYOND, amount, odds, one, word
from sourloam.report.strips import (
    STATE_SIGNS,
    blocked_row,
    cells_per_month,
    label_width,
    month_head,
    month_starts,
    shortened,
    side_view,
    vessel_rows,
    whole_years,
)

_ROWS = 12


def opening(plan: Plan, look: Look) -> Iterator[RenderableType]:
    """Title, the answer, the two pictures."""
    site = plan.site
    until = day_month_year(site.until)
    title = f"{site.name}, from {day_month_year(site.start)} to {until}"
    yield Text(plain(title), style="bold")
    yield Text("═" * min(look.width, len(plain(title))), style="dim", no_wrap=True)
    for said in (
        vessels_said(plan, look.system),
        turns_said(plan, look.system),
        ground_said(plan, look.system),
    ):
        yield Padding(paragraph(said), (0, 0, 1, 0))
    yield paragraph(
        "Read 26 days (21 to 33) as: 26 is the middle value, and eight of ten simulated cases "
        "lie between 21 and 33.",
        "dim",
    )
    fill = fill_of(plan, plan.vessels.chosen)
    if fill:
        yield drawing(vessel_picture(plan, fill, look))
    yield drawing(year_picture(plan, look))


def day_month_year(day: date) -> str:
    """Such as 1 March 2027."""
    return f"{day.day} {day:%B %Y}"


def fill_of(plan: Plan, vessel: str) -> Fill | None:
    """How one kind of vessel fills, if the plan says."""
    return next((fill for fill in plan.fill if fill.vessel == vessel), None)


def option_of(plan: Plan, vessel: str) -> VesselOption | None:
    """One kind of vessel alone, if the plan says."""
    return next((option for option in plan.vessels.options if option.vessel == vessel), None)


def chance_with(option: VesselOption, number: int) -> Chance | None:
    """The point of the curve for a number of vessels, if it was tried."""
    return next((point for point in option.curve if point.number == number), None)


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
    return (
        f"You need {word(option.needed)} {noun} ({kind}).{owned} {_chances(option, accepted)}"
        + _weighed(plan, option, system)
    )


def _chances(option: VesselOption, accepted: str) -> str:
    number = option.needed or 0
    point, fewer = chance_with(option, number), chance_with(option, number - 1)
    if point is None:
        return ""
    said = (
        f"With {word(number)}, the chance of having nowhere to put scraps at some time in a year "
        f"is {odds(point.chance)} (you accept {accepted})"
    )
    said += f"; with {word(number - 1)}, it is {odds(fewer.chance)}" if fewer else ""
    return f"{said}."


def _weighed(plan: Plan, option: VesselOption, system: str) -> str:
    """What a week at the scales could spare."""
    fewer = option.needed_if_weighed
    if fewer is None or option.needed is None or fewer >= option.needed:
        return ""
    middle = one(plan.scraps.per_day.median, "kg/day", system)
    return (
        " Weigh your scraps for a week or two: if they turn out to be the middle amount, "
        f"{middle}, then {word(fewer)} will do."
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
    said += f" into the ground: {amount(ground.bed_area, system)} of bed"
    if ground.bed_area_given is None:
        return f"{said}."
    have = one(ground.bed_area_given, "m2", system)
    verdict = {True: "which is enough", False: "which is not enough", None: "which may be enough"}
    return f"{said}; you have {have}, {verdict[ground.enough]}."


def vessel_picture(plan: Plan, fill: Fill, look: Look) -> list[str]:
    """The vessel from the side, with days at its heights."""
    known = sorted(fill.by_season, key=lambda s: s.days.median or inf)
    full = amount(known[0].days, look.system) if known else BEYOND
    when = f" in {known[0].season}" if len(known) > 1 else ""
    draining = amount(plan.liquid.per_draining, look.system)
    days = plan.liquid.drain_every_days
    every = "every day" if days == 1 else f"every {days} days"
    return side_view(fill, f"full after {full}{when}", f"{draining} {every}")


def standby(plan: Plan) -> str:
    """The vessels that the middle case never needs, in words; empty if it needs them all."""
    idle = plan.vessels.chosen_number - len({span.vessel for span in plan.vessels.year})
    if idle <= 0:
        return ""
    verb = "stands" if idle == 1 else "stand"
    return f"{word(idle)} more {verb} by, for years less lucky than this one"


def year_picture(plan: Plan, look: Look) -> list[str]:
    """The year as strips: a row for each vessel, then ground, beds and closed days."""
    lines: list[str] = []
    months = month_starts(plan.site.start, plan.site.until)
    for year in whole_years(months, plan.site.until):
        lines += [*_one_year(plan, year, look), ""]
    shown = {span.state for span in plan.vessels.year} | {"empty"}
    signs = [f"{sign} {state}" for state, sign in STATE_SIGNS.items() if state in shown]
    lines.append("  ".join(signs))
    if plan.vessels.blocked:
        lines.append("x in the rows below the vessels: not possible, or closed")
    return lines


def _one_year(plan: Plan, months: Sequence[date], look: Look) -> list[str]:
    names = {"ground": "ground too cold", "beds": "beds busy", "closed": "kitchen closed"}
    present = [kind for kind in names if any(b.kind == kind for b in plan.vessels.blocked)]
    labels = [shortened(s.vessel) for s in plan.vessels.year] + [names[k] for k in present]
    cells, wide = cells_per_month(look.width, labels), label_width(labels)
    rows = vessel_rows(plan.vessels.year, months, cells)
    left_out = len(rows) - _ROWS
    lines = [f"{'':{wide}}  {month_head(months, cells)}"]
    lines += [f"{shortened(name):{wide}}  {strip}" for name, strip in rows[:_ROWS]]
    if left_out > 0:
        lines.append(f"{'':{wide}}  and {left_out} more that take turns in the same way")
    if standby(plan):
        lines.append(f"{'':{wide}}  and {standby(plan)}")
    for kind in present:
        strip = blocked_row(plan.vessels.blocked, kind, months, cells)
        lines.append(f"{names[kind]:{wide}}  {strip}")
    return lines
