"""The garden plan as text."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from rich.console import RenderableType

from sourloam.garden import GardenPlan
from sourloam.garden.contract import (
    BedAnswer,
    BurialAnswer,
    Feeding,
    Range,
    ThinningLine,
    TubAnswer,
    TubBatch,
    TubPlan,
)
from sourloam.report.page import Look, Page, heading, listing, paragraph, sentence, table
from sourloam.report.quantities import amount, one
from sourloam.units import SYSTEMS, percent

_HELD_BY = {
    "acids": "acids",
    "oxygen": "want of air",
    "ammonia": "free ammonia",
    "salt": "salt",
}
_CENTI = 100
_FEW = 6
_MILLI = 1000
_EVEN = 0.1  # method: within a tenth, supply and demand are even
_HARDLY_L = 0.005  # method: less than a teaspoon a week is not worth a row


def garden_text(plan: GardenPlan, system: str = "metric") -> Page:
    """The whole garden plan to print with Rich, in "metric" or "us" units.

    ValueError for an unknown system.
    """
    if system not in SYSTEMS:
        raise ValueError(f"units {system!r}: expected one of {', '.join(SYSTEMS)}")

    def parts(look: Look) -> Iterator[RenderableType]:
        yield from _burials(plan, look)
        if plan.beds:
            yield from _beds(plan, look)
        if plan.feeding is not None:
            yield from _feeding(plan.feeding, look)
        if plan.tubs is not None:
            yield from _batches(plan.tubs, look)
        if plan.tub is not None:
            yield from _tub(plan.tub, look, told=plan.tubs is None)
        yield heading("Cautions")
        for caution in plan.cautions:
            source = f" Source: {caution.source}." if caution.source else ""
            yield paragraph(f"- {caution.text}{source}")
        yield from _how(plan)

    return Page(parts, system)


def _burials(plan: GardenPlan, look: Look) -> Iterator[RenderableType]:
    found = plan.burials
    yield heading(f"{plan.site}: where the ferment goes")
    yield paragraph(found.answer)
    for text in (*found.refusals, *(f"Way out: {way.text}" for way in found.ways_out)):
        yield paragraph(text)
    told: set[tuple[str, str]] = set()
    for together in _together(found.plan):
        first = together[0]
        known = (first.bed, first.next_crop) in told
        told.add((first.bed, first.next_crop))
        yield from _burial(together, known, look.system)
    if found.stored:
        yield paragraph(f"No place in this year: {_stored(found.stored)}.")
    if found.left_over:
        rests = (f"{one(x.mass, 'kg', look.system)} of {x.vessel}" for x in found.left_over)
        yield paragraph(f"Left over of opened vessels: {', '.join(rests)}.")


def _stored(names: tuple[str, ...]) -> str:
    """All names where they are few."""
    if len(names) <= _FEW:
        return ", ".join(names)
    return f"{len(names)} vessels, from {names[0]} to {names[-1]}; --json lists them all"


def _together(plan: tuple[BurialAnswer, ...]) -> list[list[BurialAnswer]]:
    """Burials of one week into one bed, for one crop, laid alike."""
    groups: dict[tuple[object, ...], list[BurialAnswer]] = {}
    for burial in plan:
        alike = (burial.week, burial.bed, burial.next_crop, burial.depth, round(burial.load, 2))
        groups.setdefault(alike, []).append(burial)
    return list(groups.values())


def _burial(together: list[BurialAnswer], known: bool, system: str) -> Iterator[RenderableType]:
    """One trench and all that goes into it; ``known`` leaves out why, told for this bed before."""
    burial = together[0]
    yield heading(f"{_day(burial)}: into {burial.bed}")
    depth, width, cover = (one(x, "m", system) for x in (burial.depth, burial.width, burial.cover))
    length = one(sum(b.length for b in together), "m", system)
    rows = [("Ferment", f"{amount(b.mass, system)}, {_part(b)}") for b in together]
    rows += [
        ("Trench", f"{length} long, {depth} deep, {width} wide"),
        ("Soil on top", f"{cover}, heaped {_heap(burial, system)} higher because it sinks"),
    ]
    if not burial.among_rows:
        longest = f"; at its longest for {_HELD_BY[why]}" if (why := burial.wait_held_by) else ""
        rows.append(("Wait before planting", _wait(burial.wait, system) + longest))
    if burial.plant_from is not None and not burial.among_rows:
        rows.append(("Plant from", f"{burial.plant_from.day} {burial.plant_from:%B %Y}"))
    if burial.next_crop:
        rows.append(("Between rows of" if burial.among_rows else "Next crop", burial.next_crop))
    yield listing(rows, (20,))
    if not known:
        yield paragraph(burial.reason)
        if burial.elsewhere:
            yield paragraph("Not elsewhere that week: " + "; ".join(burial.elsewhere) + ".")


def _part(burial: BurialAnswer) -> str:
    return burial.vessel if burial.share == 1 else f"{percent(burial.share)} of {burial.vessel}"


def _wait(wait: Range, system: str) -> str:
    """The wait in days; in words where its long end lies beyond half a year."""
    if wait.high is not None or wait.low is None:
        return amount(wait, system)
    middle = "" if wait.median is None else f"{wait.median:.0f} days in the middle, "
    return f"{middle}{wait.low:.0f} days at the earliest, at worst over half a year"


def _day(burial: BurialAnswer) -> str:
    return f"Week of {burial.week.day} {burial.week:%B %Y}"


def _heap(burial: BurialAnswer, system: str) -> str:
    middle = burial.mound.median
    return one(None if middle is None else middle / _CENTI, "m", system)


def _beds(plan: GardenPlan, look: Look) -> Iterator[RenderableType]:
    yield heading("The beds")
    head = ("Bed", "Nitrogen buried", "of at most", "Phosphorus", "Harvests take", "Trench")
    yield table(head, [_bed(bed, look.system) for bed in plan.beds], right=(1, 2, 3, 4, 5))
    rows = [
        (
            bed.name,
            crop.crop,
            f"{crop.start:%d %b} to {crop.end:%d %b %Y}",
            one(crop.nitrogen_wanted.median, "g", look.system),
            one(crop.nitrogen_given.median, "g", look.system),
        )
        for bed in plan.beds
        for crop in bed.plantings
        if crop.end >= plan.start and (crop.start <= plan.until or crop.nitrogen_given.median)
    ]
    if rows:
        yield table(("Bed", "Crop", "Time", "N wanted", "N from ferment"), rows, right=(3, 4))


def _bed(bed: BedAnswer, system: str) -> tuple[str, ...]:
    return (
        bed.name,
        one(bed.nitrogen_buried.median, "g", system),
        one(bed.nitrogen_limit, "g", system),
        one(bed.phosphorus_buried.median, "g", system),
        _beside(bed, system),
        one(bed.trench_used, "m", system),
    )


def _beside(bed: BedAnswer, system: str) -> str:
    """What the phosphorus is held against: the site's own ceiling, else what harvests take."""
    if bed.phosphorus_limit is not None:
        return f"limit {one(bed.phosphorus_limit, 'g', system)}"
    return one(bed.phosphorus_carried, "g", system)


def _feeding(feeding: Feeding, look: Look) -> Iterator[RenderableType]:
    yield heading("Feeding with the drained liquid")
    yield paragraph(feeding.answer)
    yield paragraph(feeding.usual)
    yield from _pouring(feeding, look)
    yield from _supplied(feeding, look)
    yield from _thinning(feeding)
    yield from _ageing(feeding)


def _thinning(feeding: Feeding) -> Iterator[RenderableType]:
    rows = [(line.crop, *_parts(line), line.limited_by) for line in feeding.thinning]
    head = ("Crop", "Established", "middle", "Seedlings", "middle", "Set by")
    yield paragraph("Parts of water to one of liquid, enough in nine cases of ten:")
    yield table(head, rows, right=(1, 2, 3, 4))
    if any("none" in cell for row in rows for cell in row):
        yield paragraph(
            "None: the water itself is about as salty as this crop bears, so that no thinning "
            "helps; water it with rain water and give it no liquid."
        )


def _pouring(feeding: Feeding, look: Look) -> Iterator[RenderableType]:
    """One row a bed and month: what to pour in each week."""
    rows = [
        (
            m.bed,
            f"{m.month:%b %Y}",
            m.crop,
            _little(m.liquid, look.system),
            _little(m.water, look.system),
            str(m.weeks),
            "" if m.stop is None else f"stop on {m.stop.day} {m.stop:%b}",
        )
        for m in feeding.months
        if m.liquid > _HARDLY_L
    ]
    if rows:
        measures = " (US measures)" if look.system == "us" else ""
        yield paragraph(
            f"What to pour on each bed, each week that liquid drains, on moist soil{measures}:"
        )
        head = ("Bed", "Month", "Crop", "Liquid", "in water", "Weeks", "")
        yield table(head, rows, right=(3, 4, 5))


def _little(litres: float, system: str) -> str:
    """A volume that may be a spoonful or a can: mL or L, fluid ounces or gallons; short, for the
    table says once whose ounces they are."""
    return one(litres * _MILLI, "mL", system).replace("US ", "")


def _supplied(feeding: Feeding, look: Look) -> Iterator[RenderableType]:
    """Nitrogen wanted beside what ferment and liquid bring, a line a bed."""
    rows = []
    for bed in feeding.beds:
        liquid = bed.nitrogen.median or 0.0
        rest = bed.nitrogen_wanted - bed.nitrogen_from_ferment - liquid
        told = one(abs(rest), "g", look.system)
        rows.append(
            (
                bed.bed,
                one(bed.nitrogen_wanted, "g", look.system),
                one(bed.nitrogen_from_ferment, "g", look.system),
                one(liquid, "g", look.system),
                _left(rest, told, bed.nitrogen_wanted),
                one(bed.phosphorus.median, "g", look.system),
                one(bed.potassium.median, "g", look.system),
            )
        )
    yield paragraph(
        "Nitrogen that a year's crops want beyond the soil's own, what comes free from ferment, "
        "what the liquid brings, and the phosphorus and potassium in that liquid:"
    )
    head = ("Bed", "N wanted", "ferment", "liquid", "left", "P", "K")
    yield table(head, rows, right=(1, 2, 3, 4, 5, 6))
    supply, left = (amount(x, look.system) for x in (feeding.supply, feeding.surplus))
    yield paragraph(f"Drained in this time: {supply}. Surplus: {left}.")


def _left(rest_g: float, told: str, wanted_g: float) -> str:
    if abs(rest_g) < _EVEN * wanted_g:
        return "about even"
    return f"{told} short" if rest_g > 0 else f"{told} over"


def _batches(tubs: TubPlan, look: Look) -> Iterator[RenderableType]:
    """A line a month: what is mixed, and when it is ready."""
    yield heading("Month by month")
    months: dict[date, list[TubBatch]] = {}
    for batch in tubs.batches:
        months.setdefault(batch.mixed.replace(day=1), []).append(batch)
    rows = [
        (
            f"{month:%b %Y}",
            str(len(here)),
            str(sum(b.tubs for b in here)),
            one(sum(b.soil.median or 0.0 for b in here), "L", look.system),
            _by([b.ready_from for b in here]),
            _by([b.outside_from for b in here]),
        )
        for month, here in months.items()
    ]
    head = ("Mixed in", "Vessels", "Tubs", "Old soil", "Ready by", "Outside by")
    yield table(head, rows, right=(1, 2, 3))
    yield paragraph(
        "Ready by: in nine cases of ten, where the vessels stand; outside: in the open air, under "
        "a roof."
    )


def _by(days: list[date | None]) -> str:
    """The last of some days, or that one lies too far ahead."""
    known = [day for day in days if day is not None]
    return f"{max(known):%d %b %Y}" if len(known) == len(days) else "not for sure"


def _tub(tub: TubAnswer, look: Look, told: bool) -> Iterator[RenderableType]:
    yield heading("A tub of soil")
    if told:
        yield paragraph(tub.answer)
    rows = [
        (
            one(line.soil.median, "L", look.system),
            _wait(line.ready, look.system),
            "any" if (line.share.median or 0.0) >= 1 else percent(line.share.median or 0.0),
        )
        for line in tub.lines
    ]
    yield table(("Old soil", "Ready to spread after", "Share of a bed's soil"), rows, right=(0, 2))


def _ageing(feeding: Feeding) -> Iterator[RenderableType]:
    yield paragraph(
        sentence(
            "In an open jar it changes from day to day, by our judgement, for no record was found; "
            "use it on the day it drains, on moist soil, never on leaves of crops that are eaten "
            "raw, and keep it off ditches and streams"
        )
    )
    yield table(
        ("Day", "pH", "Acids, mmol/L", "Conductivity, dS/m", "Ammonium, g N/L"),
        [
            (
                str(day.day),
                _plain(day.ph.median, 1),
                _plain(day.acids.median, 0),
                _plain(day.conductivity.median, 1),
                _plain(day.ammonium.median, 2),
            )
            for day in feeding.strength
        ],
        right=(0, 1, 2, 3, 4),
    )


def _parts(line: ThinningLine) -> tuple[str, str, str, str]:
    found = (
        line.established,
        line.established_middle,
        line.seedlings,
        line.seedlings_middle,
    )
    a, b, c, d = ("none" if n is None else str(n) for n in found)
    return a, b, c, d


def _plain(value: float | None, places: int) -> str:
    return "-" if value is None else f"{value:.{places}f}"


def _how(plan: GardenPlan) -> Iterator[RenderableType]:
    made = plan.provenance
    yield heading("How this was computed")
    yield paragraph(
        f"{made.members} possible worlds, seed {made.seed}, {len(made.evidence)} sourced values; "
        "see sourloam sources crops, beds, feeding, soil. " + " ".join(made.notes)
    )
