"""Sections on running the vessels: the case, scraps, vessels, filling and resting, bran, liquid."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import RenderableType
from rich.text import Text

from sourloam.planning.contract import Fill, Plan, Usual, VesselOption
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
from sourloam.report.quantities import amount, odds, one, word
from sourloam.report.strips import week_bars, whole_weeks

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
    yield table(
        ("Season", "Scraps"),
        [(s.season, amount(s.amount, system)) for s in found.by_season],
    )
    yield table(
        ("What they are", "Share by weight"),
        [(class_words(c.name), amount(c.share, system)) for c in found.composition],
    )
    weeks = whole_weeks(found.by_week, plan.site.until)
    medians = [w.amount.median for w in weeks if w.amount.median is not None]
    bars = week_bars(weeks)
    if bars and len(bars) + 2 <= look.width:
        unit = found.by_week[0].amount.unit
        least, most = one(min(medians), unit, system), one(max(medians), unit, system)
        yield drawing([bars, f"week by week from the start: {least} to {most} a week"])


def vessels(plan: Plan, look: Look) -> Iterator[RenderableType]:
    """The chance against the number, for each kind; then the vessels owned."""
    yield heading("Vessels")
    yield paragraph(
        "The chance, in a year, that at some time every vessel is full and there is nowhere to put "
        f"scraps. You accept {odds(plan.site.accepted_risk)}."
    )
    for option in plan.vessels.options:
        yield from _option(plan, option, look)
    together = plan.vessels.owned_together
    if together:
        yield paragraph(sentence(together.verdict))
        yield paragraph(
            f"Chance with them together: {odds(together.chance.chance)} "
            f"({odds_range(together.chance.low, together.chance.high)})."
        )


def odds_range(low: float, high: float) -> str:
    """Both ends of a chance."""
    first, last = odds(low), odds(high)
    if first == last:
        return first
    return f"{first.removesuffix(' in 100')} to {last}"


def _option(plan: Plan, option: VesselOption, look: Look) -> Iterator[RenderableType]:
    system = look.system
    kinds = [k for k in plan.site.vessels if k.name == option.vessel]
    name = Text(plain(option.vessel), style="bold")
    if kinds:
        name.append(
            f": {one(kinds[0].volume, 'L', system)} to the brim, "
            f"{one(kinds[0].usable, 'L', system)} of it for scraps; you own {option.owned}",
            style="not bold",
        )
    yield Text("")
    yield name
    columns = 20 if look.width < 100 else 36
    yield table(
        ("Vessels", "Chance a year of nowhere to put scraps", "No room for, a year"),
        [
            (
                str(p.number) + (" <" if p.number == option.needed else ""),
                f"{bar(p.chance, columns)} {odds(p.chance)}",
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
    for fill in plan.fill:
        yield from _fill(fill, look)
    finish, system = plan.finish, look.system
    yield Text("\nRest after the last layer, sealed", style="bold")
    yield table(
        ("Closed in", "Rest", "In the vessel", "Not sour, of 100"),
        [
            (
                s.season,
                amount(s.days, system),
                amount(s.temperature, system),
                odds(s.not_sour).removesuffix(" in 100"),
            )
            for s in finish.by_season
        ],
    )
    yield usual(finish.usual, finish.why, look)


def _fill(fill: Fill, look: Look) -> Iterator[RenderableType]:
    yield Text(f"\n{plain(fill.vessel)}", style="bold")
    yield table(
        ("Started in", "Full after", "Takes", "Layers", "Bad, of 100"),
        [
            (
                s.season,
                amount(s.days, look.system),
                amount(s.taken, look.system),
                amount(s.layers, look.system).replace(" layers", ""),
                odds(s.poor).removesuffix(" in 100"),
            )
            for s in fill.by_season
        ],
    )
    yield usual(fill.usual, fill.why, look)


def usual(advice: Usual, why: str, look: Look) -> RenderableType:
    """The usual advice with its standing, and why this case is as it is."""
    return paragraph(f"Usual advice: {plain(advice.text)} [{advice.standing}]. {sentence(why)}")


def bran(plan: Plan, look: Look) -> Iterator[RenderableType]:
    """How much for a layer, how much for a month."""
    found, system = plan.bran, look.system
    yield heading("Bran")
    yield paragraph(
        f"{sentence(spaced(found.carrier))[:-1]}, {amount(found.dose, system)} of scraps; "
        f"{amount(found.per_year, system)} a year. Spoons are level, of this kind: "
        f"{spaced(found.spoon)}."
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
    doubled = " Twice the usual dose is counted." if found.doubled else ""
    yield paragraph(sentence(found.why) + doubled)
    yield table(
        ("Month", "Bran"), [(f"{m.month:%B %Y}", amount(m.amount, system)) for m in found.by_month]
    )


def liquid(plan: Plan, look: Look) -> Iterator[RenderableType]:
    """How much drains, how often to drain, how to use it."""
    found, system = plan.liquid, look.system
    yield heading("Liquid")
    days = found.drain_every_days
    every = "every day" if days == 1 else f"every {word(days)} days"
    yield paragraph(
        f"Drain {every}: {amount(found.per_draining, system)} each time from the busiest vessel. "
        f"{amount(found.per_kg, system)} of scraps, {amount(found.per_year, system)} a year."
    )
    until = found.days_until_sump_full
    full = f"it would be full after {amount(until, system)}"
    if until.low is None:
        full = "it would not be full within the time foreseen"
    yield paragraph(
        f"The space under the grid holds {one(found.sump, 'mL', system)}; never drained, {full}."
    )
    yield usual(found.usual, found.why, look)
    yield paragraph(sentence(found.dilution))
    weeks = whole_weeks(found.by_week, plan.site.until)
    bars = week_bars(weeks)
    if bars and len(bars) + 2 <= look.width:
        most = max((w.amount for w in weeks), key=lambda a: a.median or 0.0)
        yield drawing([bars, f"week by week; the most in a week: {amount(most, system)}"])
