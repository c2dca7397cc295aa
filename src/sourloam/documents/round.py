"""The sheet of a round: a map, every stop in its order with room to write, and what to mind."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from sourloam import drawing
from sourloam.documents.speech import Speech
from sourloam.documents.typesetting import Printing, for_print, typeset
from sourloam.programme import Round, Stop

HEAD = ("Stop", "Time", "Place", "Fetch", "Leave", "Weighed", "Done")
CARE = (
    "Two people lift what is heavy, from the knees, or roll it. Vessels stand upright, strapped.",
    "A tight lid may hold gas: outdoors, slowly, face turned away. Keep the van aired.",
    "Raw food: gloves, washed hands, never taste. What smells rotten stays closed; mark it.",
    "Carrying food waste of others may need a licence: local rules come first.",
)
_MAP = (640.0, 430.0)


def round_sheet(
    name: str, found: Round, picture: drawing.RoundPicture, day: dt.date, printing: Printing
) -> bytes:
    """A round to take along: one sheet, more where it is long."""
    speech = printing.speech
    title = speech.say("The round")
    told = replace(picture, title=title, desc=speech.say("Stops in their order"), scale="{km} km")
    data = {
        "title": title,
        "place": f"{name} · {speech.day(day, year=True)}",
        "facts": _facts(found, speech),
        "map": for_print(drawing.draw_round(told, _MAP, standalone=True)),
        "head": [speech.say(word) for word in HEAD],
        "rows": [_row(number, stop, speech) for number, stop in enumerate(found.stops, 1)],
        "care": {"title": speech.say("Take care"), "lines": [speech.say(one) for one in CARE]},
        "left_title": speech.say("Not on this round"),
        "left": [call.name for call, _why in found.left_out[:20]],
        "foot": speech.say(
            "Ways are as the crow flies times a detour; drivers know better. Times are planned, "
            "not promised."
        ),
    }
    return typeset("round", data, printing)


def _facts(found: Round, speech: Speech) -> str:
    low, middle, high = found.hours
    way = found.way_km
    said = speech.say(
        "Load {clean} clean vessels. From {starts}, back about {back}: {hours} h ({low} to "
        "{high}), {km} km ({near} to {far}). About {kg} comes home.",
        clean=found.clean,
        starts=clock(found.sets_out_s),
        back=clock(found.back_s),
        hours=speech.number(middle, 1),
        low=speech.number(low, 1),
        high=speech.number(high, 1),
        km=speech.number(way[1]),
        near=speech.number(way[0]),
        far=speech.number(way[2]),
        kg=speech.figure(found.kg, "kg"),
    )
    if not found.bran_kg:
        return said
    bran = speech.figure(found.bran_kg, "kg")
    return f"{said} {speech.say('Take {kg} of bran along.', kg=bran)}"


def _row(number: int, stop: Stop, speech: Speech) -> list[str]:
    how = f" ({stop.call.how})" if stop.call.how else ""
    return [
        str(number),
        clock(stop.arrive_s),
        f"{stop.call.name}{how}",
        str(stop.call.full),
        _left(stop, speech),
        f"≈ {speech.figure(stop.call.kg, 'kg')}",
        "",
    ]


def _left(stop: Stop, speech: Speech) -> str:
    clean = str(stop.call.clean)
    if not stop.call.bran_kg:
        return clean
    bran = speech.figure(stop.call.bran_kg, "kg")
    return speech.say("{number}, bran {kg}", number=clean, kg=bran)


def clock(seconds: int) -> str:
    """Seconds of a day as a time on a clock."""
    minutes = round(seconds / 60)
    return f"{minutes // 60 % 24}:{minutes % 60:02d}"


def sentences() -> set[str]:
    """Every text of this file, for the list of translations."""
    return {*HEAD, *CARE}
