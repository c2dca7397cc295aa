"""The garden plan as text: burials, what beds bear, cautions; the rest is put in its place."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import RenderableType

from sourloam.garden import GardenPlan
from sourloam.garden.contract import BedAnswer, BurialAnswer
from sourloam.report.garden_feeding_text import feeding_sections
from sourloam.report.garden_tubs_text import tub_section, tubs_section, wait_days
from sourloam.report.page import Look, Page, heading, listing, paragraph, table
from sourloam.report.quantities import amount, one
from sourloam.units import check_system, percent

_HELD_BY = {
    "acids": "acids",
    "oxygen": "want of air",
    "ammonia": "free ammonia",
    "salt": "salt",
}
_CENTI = 100
_FEW = 6


def garden_text(plan: GardenPlan, system: str = "metric") -> Page:
    """The whole garden plan to print with Rich, in "metric" or "us" units.

    ValueError for an unknown system.
    """
    check_system(system)

    def parts(look: Look) -> Iterator[RenderableType]:
        yield from _burials(plan, look)
        if plan.beds:
            yield from _beds(plan, look)
        if plan.feeding is not None:
            yield from feeding_sections(plan.feeding, look)
        if plan.tubs is not None:
            yield from tubs_section(plan.tubs, look)
        if plan.tub is not None:
            yield from tub_section(plan.tub, look, told=plan.tubs is None)
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
        rows.append(("Wait before planting", wait_days(burial.wait, system) + longest))
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


def _how(plan: GardenPlan) -> Iterator[RenderableType]:
    made = plan.provenance
    yield heading("How this was computed")
    yield paragraph(
        f"{made.members} possible worlds, seed {made.seed}, {len(made.evidence)} sourced values; "
        "see sourloam sources crops, beds, feeding, soil. " + " ".join(made.notes)
    )
