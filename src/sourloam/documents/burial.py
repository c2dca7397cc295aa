"""The burial sheet: which vessel into which bed when, with the trench and the beds to scale."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from sourloam.documents import burial_words
from sourloam.documents.ground_drawing import Scaled, bed_from_above, trench_across
from sourloam.documents.names import vessel_name
from sourloam.documents.speech import Speech
from sourloam.documents.typesetting import Printing, typeset
from sourloam.garden.contract import BurialAnswer, GardenPlan

_WHOLE = 0.995  # share from which a vessel counts as whole


def burial_sheet(answer: GardenPlan, printing: Printing) -> bytes:
    """A table of burials to tick off, with drawings; says so where no bed takes any."""
    speech = printing.speech
    plan = answer.burials.plan
    data = {
        "title": speech.say("Burial sheet"),
        "place": f"{answer.site} · {speech.days(answer.start, answer.until)}",
        "steps": [speech.say(step) for step in burial_words.STEPS],
        "steps_title": speech.say("How to bury"),
        "trench": _drawn(trench_across(plan[0], speech)) if plan else None,
        "head": [speech.say(word) for word in burial_words.HEAD],
        "rows": [_row(i, burial, speech) for i, burial in enumerate(plan, start=1)],
        "none": speech.say("No bed can take ferment in this time."),
        "beds_title": speech.say("Where the trenches lie"),
        "beds_note": speech.say(
            "Numbers are those of the table; beside them the middle of each trench, from the "
            "bed's beginning."
        ),
        "beds": list(_beds(answer, speech)),
        "elsewhere_title": speech.say("What goes elsewhere"),
        "elsewhere": list(_elsewhere(answer, speech)),
        "care": burial_words.care(speech, [c.id for c in answer.cautions]),
        "foot": speech.say(
            "Computed from {n} possible years of this garden. Plant days keep the longest usual "
            "wait; the soil must smell of earth. Local rules come first.",
            n=answer.provenance.members,
        ),
    }
    return typeset("burial", data, printing)


def _drawn(drawing: Scaled) -> dict[str, Any]:
    return {
        "svg": drawing.svg,
        "width": drawing.width_mm,
        "height": drawing.height_mm,
        "scale": f"1:{drawing.scale}",
        "alt": drawing.alt,
    }


def _row(place: int, burial: BurialAnswer, speech: Speech) -> list[str]:
    name = vessel_name(burial.vessel, speech)
    if burial.share < _WHOLE:
        name = speech.say(
            "{name}, {percent} % of it", name=name, percent=speech.number(100 * burial.share)
        )
    crop = speech.known(burial.next_crop)
    if burial.plant_from is not None:
        plant = speech.day(burial.plant_from, year=True) + (f": {crop}" if crop else "")
    elif burial.among_rows:
        plant = speech.say("between rows: {crop}", crop=crop)
    else:
        plant = crop or "–"
    return [
        str(place),
        speech.day(burial.week),
        name,
        burial.bed,
        speech.figure(burial.mass.median, "kg"),
        speech.figure(burial.length, "m"),
        plant,
        "",
    ]


def _beds(answer: GardenPlan, speech: Speech) -> Iterator[dict[str, Any]]:
    numbered = list(enumerate(answer.burials.plan, start=1))
    for bed in answer.beds:
        mine = [(place, burial) for place, burial in numbered if burial.bed == bed.name]
        if mine:
            found = {"name": bed.name, **_drawn(bed_from_above(bed, mine, speech))}
            yield {**found, "pieces": "; ".join(_lies(place, b, speech) for place, b in mine)}


def _lies(place: int, burial: BurialAnswer, speech: Speech) -> str:
    """Such as "3: 0.3, 0.9 m": the middle of each piece along the bed."""
    along = [speech.figure(piece.along, "m") for piece in burial.pieces]
    return f"{place}: {', '.join(along)}"


def _elsewhere(answer: GardenPlan, speech: Speech) -> Iterator[str]:
    burials = answer.burials
    for left in burials.left_over:
        yield speech.say(
            "{name}: the other {mass}",
            name=vessel_name(left.vessel, speech),
            mass=speech.figure(left.mass, "kg"),
        )
    for name in burials.stored:
        yield speech.say("{name}: all of it", name=vessel_name(name, speech))
