"""Sections on running the vessels: the case, scraps, vessels, filling and resting, bran, liquid."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date

from rich.console import RenderableType
from rich.text import Text

from sourloam.planning.contract import (
    Fill,
    Liquid,
    MonthAmount,
    Plan,
    Range,
    Usual,
    VesselKind,
    VesselOption,
)
from sourloam.report.page import (
    Look,
    bar,
    drawing,
    heading,
    paragraph,
    plain,
    sentence,
    spaced,
    table,
)
from sourloam.report.quantities import amount, odds, one, span, word
from sourloam.report.saying import simulated_years
from sourloam.report.strips import week_bars, whole_weeks
from sourloam.units import spoon_words

_ALIKE = 1.05  # months whose middle amounts differ by less are told in one line
_CLASSES = {
    "fruit_veg": "fruit and vegetables",
    "citrus": "citrus fruit",
    "starchy": "rice, pasta, potatoes",
    "meat_fish": "meat and fish",
    "dairy_egg": "dairy and egg",
    "coffee_tea": "coffee and tea",
    "shells_bones": "egg shells and bones",
    "plate_waste": "plate leftovers",
}


def class_words(name: str) -> str:
    """A class of scraps in words; the name itself, spaced, where it has none."""
    return _CLASSES.get(name, spaced(name))


def case(plan: Plan, look: Look) -> Iterator[RenderableType]:
    """What the plan was made for, as the site file says it."""
    site = plan.site
    yield heading("Your case")
    for line in (*site.scraps, f"climate: {site.climate}", f"room: {site.room}"):
        yield paragraph(sentence(line))


def scraps(plan: Plan, look: Look) -> Iterator[RenderableType]:
    """How much comes, of what, when."""
    found, system = plan.scraps, look.system
    yield heading("Scraps")
    yield paragraph(
        f"On average {amount(found.per_day, system)}, together {amount(found.per_year, system)} a "
        f"year. {amount(found.dry_matter, system)} of that weight is dry matter; the rest is water."
    )
    yield from _by_month(plan, system)
    yield table(
        ("What they are", "Share by weight"),
        [(class_words(c.name), amount(c.share, system)) for c in found.composition],
    )
    weeks = whole_weeks(found.by_week, plan.site.until)
    medians = [w.amount.median for w in weeks if w.amount.median is not None]
    bars = week_bars(weeks)
    if bars and len(bars) + 2 <= look.width:
        unit = found.by_week[0].amount.unit
        ends = Range(median=None, low=min(medians), high=max(medians), unit=unit)
        yield drawing([bars, f"week by week from the start: {span(ends, system)} a week"])


def _by_month(plan: Plan, system: str) -> Iterator[RenderableType]:
    """The scraps of a week, month by month; one sentence where months hardly differ."""
    rows = [
        (f"{m.month:%B %Y}", amount(m.amount, system), _closed_in(plan, m.month))
        for m in plan.scraps.by_month
    ]
    medians = [m.amount.median or 0.0 for m in plan.scraps.by_month]
    if not rows:
        return
    if not any(closed for *_, closed in rows) and max(medians) <= _ALIKE * min(medians):
        yield paragraph(f"In a week, much the same in every month: {rows[0][1]}.")
    elif any(closed for _, _, closed in rows):
        yield table(("Month", "Scraps in a week", "Closed"), rows)
    else:
        yield table(("Month", "Scraps in a week"), [row[:2] for row in rows])


def _closed_in(plan: Plan, month: date) -> str:
    """Names of the closures in the weeks that begin in a month."""
    mine = (w for w in plan.scraps.by_week if (w.start.year, w.start.month) == month_of(month))
    return ", ".join(dict.fromkeys(week.closed for week in mine if week.closed))


def month_of(day: date) -> tuple[int, int]:
    """Year and month of a day."""
    return day.year, day.month


def vessels(plan: Plan, look: Look) -> Iterator[RenderableType]:
    """The chance against the number, for each kind; then the vessels owned."""
    system = look.system
    yield heading("Vessels")
    yield paragraph(
        "The chance, in a year, that at some time every vessel is full and there is nowhere to put "
        f"scraps. You accept {odds(plan.site.accepted_risk)}."
    )
    for option in plan.vessels.options:
        yield from _option(plan, option, look)
    for small in plan.vessels.ruled_out:
        yield from _head(plan, small.vessel, small.owned, system)
        yield paragraph(sentence(small.why))
    together = plan.vessels.owned_together
    if together:
        yield Text("")
        yield paragraph(sentence(together.verdict))


def _head(plan: Plan, vessel: str, owned: int, system: str) -> Iterator[RenderableType]:
    """The name of a kind with its size and how many are owned."""
    kinds = [k for k in plan.site.vessels if k.name == vessel]
    name = Text(plain(vessel), style="bold")
    if kinds:
        name.append(f": {size_words(kinds[0], system)}; you own {owned}", style="not bold")
    yield Text("")
    yield name


def size_words(kind: VesselKind, system: str) -> str:
    """The volume as sold, and what is left between grid and headroom."""
    sold, usable = (one(litres, "L", system) for litres in (kind.volume, kind.usable))
    if sold == usable:
        return f"sold as {sold}; it holds more to the brim, and takes about {usable} of scraps"
    return f"of {sold}, with room for {usable} of scraps"


def _option(plan: Plan, option: VesselOption, look: Look) -> Iterator[RenderableType]:
    system = look.system
    yield from _head(plan, option.vessel, option.owned, system)
    columns = 20 if look.width < 100 else 36
    cases = simulated_years(plan)
    yield table(
        ("Vessels", "Chance a year of nowhere to put scraps", "No room for, a year"),
        [
            (
                str(p.number) + (" <" if p.number == option.needed else ""),
                f"{bar(p.chance, columns)} {odds(p.chance, cases)}",
                amount(p.refused, system),
            )
            for p in option.curve
        ],
    )
    yield paragraph(sentence(option.verdict))
    if option.way_out:
        yield paragraph(f"What would help: {sentence(option.way_out)}")


def filling_and_resting(plan: Plan, look: Look) -> Iterator[RenderableType]:
    """Days to fill and days of rest by season, with the usual advice beside them."""
    yield heading("Filling and resting, by season")
    told: set[str] = set()
    for fill in plan.fill:
        yield from _fill(plan, fill, look, fill.usual.text in told)
        told.add(fill.usual.text)
    finish, system = plan.finish, look.system
    yield Text(
        "\nRest after the last layer, sealed, until the newest layer is sour and steady",
        style="bold",
    )
    yield table(
        ("Closed in", "Rest", "In the vessel", "Not sour, of 100"),
        [
            (
                s.season,
                amount(s.days, system),
                amount(s.temperature, system),
                _of_100(s.not_sour, plan),
            )
            for s in finish.by_season
        ],
    )
    yield usual(finish.usual, finish.why, look)


def _of_100(share: float, plan: Plan) -> str:
    """How many of a hundred simulated cases, for a column."""
    return odds(share, plan.provenance.members).removesuffix(" in 100").replace("fewer than ", "< ")


def _fill(plan: Plan, fill: Fill, look: Look, told: bool) -> Iterator[RenderableType]:
    yield Text(f"\n{plain(fill.vessel)}", style="bold")
    yield table(
        ("Started in", "Days to fill", "Takes", "Layers", "Bad, of 100"),
        [
            (
                s.season,
                re.sub(" days?", "", amount(s.days, look.system)),
                amount(s.taken, look.system),
                amount(s.layers, look.system).replace(" layers", ""),
                _of_100(s.poor, plan),
            )
            for s in fill.by_season
        ],
    )
    # The same advice need not be read out for each kind of vessel.
    yield (
        paragraph(f"By the same advice: {fill.why}") if told else usual(fill.usual, fill.why, look)
    )


def usual(advice: Usual, why: str, look: Look) -> RenderableType:
    """The usual advice with its standing, and why this case is as it is."""
    return paragraph(f"Usual advice: {plain(advice.text)} [{advice.standing}]. {sentence(why)}")


def bran(plan: Plan, look: Look) -> Iterator[RenderableType]:
    """How much for a layer, how much for a month."""
    found, system = plan.bran, look.system
    yield heading("Bran")
    yield paragraph(
        f"{sentence(spaced(found.carrier))[:-1]}, {amount(found.dose, system)} of scraps; "
        f"{amount(found.per_year, system)} a year. Spoons are level: "
        f"{spoon_words(found.spoon)}s."
    )
    yield table(
        ("For one layer in", "Bran", "Spoons", "On the surface"),
        [
            (
                layer.vessel,
                amount(layer.mass, system),
                amount(layer.spoons, system).replace(" spoons", ""),
                amount(layer.per_surface, system),
            )
            for layer in found.per_layer
        ],
    )
    yield paragraph(sentence(found.why))
    yield table(
        ("Month", "Bran"),
        [(f"{m.month:%B %Y}", amount(m.amount, system)) for m in _whole_enough(plan)],
    )


def _whole_enough(plan: Plan) -> list[MonthAmount]:
    """Bran of the months of which the plan holds a week or more."""
    months = {m.month for m in plan.scraps.by_month}
    return [m for m in plan.bran.by_month if m.month in months]


def _never_drained(found: Liquid, system: str) -> str:
    """When the space under the grid would be full."""
    said = f"That space holds {one(found.sump, 'mL', system)}; never drained, it would"
    until = found.days_until_sump_full
    if until.median is not None:
        return f"{said} be full after {amount(until, system)}."
    if until.low is None:
        return f"{said} not be full within the time foreseen."
    wettest = one(until.low, "days", system)
    return f"{said} mostly not be full at all, in the wettest tenth after {wettest}."


def liquid(plan: Plan, look: Look) -> Iterator[RenderableType]:
    """How much drains, how often to drain, how to use it."""
    found, system = plan.liquid, look.system
    yield heading("Liquid")
    days = found.drain_every_days
    every = "every day" if days == 1 else f"every {word(days)} days"
    yield paragraph(
        f"Drain {every}: {amount(found.per_draining, system)} each time from the busiest vessel. "
        f"All together that is {amount(found.per_kg, system)} of scraps, or "
        f"{amount(found.per_year, system)} a year."
    )
    rhythm = found.usual_rhythm
    yield paragraph(
        f"Usual: {plain(rhythm.text)} [{rhythm.standing}]. {sentence(found.why)} "
        f"{_never_drained(found, system)}"
    )
    yield paragraph(f"Usual amount: {plain(found.usual.text)} [{found.usual.standing}].")
    yield paragraph(sentence(found.dilution))
    weeks = whole_weeks(found.by_week, plan.site.until)
    bars = week_bars(weeks)
    if bars and len(bars) + 2 <= look.width:
        most = max((w.amount for w in weeks), key=lambda a: a.median or 0.0)
        yield drawing([bars, f"week by week; the most in a week: {amount(most, system)}"])
