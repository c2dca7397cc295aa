"""The feeding table: how much drained liquid in how much water, bed by bed and month by month."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Any

from sourloam.documents.speech import Speech
from sourloam.documents.typesetting import DocumentError, Printing, typeset
from sourloam.garden.contract import Feeding, FeedingMonth, GardenPlan, ThinningLine

RULES = (
    "Drain, thin, pour, all on the same day.",
    "On moist soil at the foot of the plants; never on leaves or fruit.",
    "First try it on a few plants and wait a week.",
    "Stop where the table says so: harvest is near.",
    "Gloves; shield your eyes; label the can; keep it from children.",
    "Never into a stream, ditch or storm drain; never with bleach.",
)
_LEAST_ML = 1.0  # a week's liquid that can be measured out
THINNING = ("Crop", "Grown plants", "Seedlings, pots")
HEAD = ("Month", "Bed", "Crop", "Liquid a week", "Water a week", "Weeks")


def feeding_table(answer: GardenPlan, printing: Printing) -> bytes:
    """What to pour where; DocumentError where there is no bed or no liquid drains."""
    if not answer.beds:
        raise DocumentError("no bed is described: there is nothing to feed with the liquid")
    if answer.feeding is None:
        raise DocumentError("no liquid drains at this place: there is nothing to feed with")
    speech, feeding = printing.speech, answer.feeding
    data = {
        "title": speech.say("Feeding with drained liquid"),
        "place": f"{answer.site} · {speech.days(answer.start, answer.until)}",
        "head": [speech.say(word) for word in HEAD],
        "rows": list(_rows(feeding.months, speech)),
        "thinning_title": speech.say("Parts of water to one of liquid"),
        "thinning_head": [speech.say(w) for w in THINNING],
        "thinning": [_thinned(line, speech) for line in feeding.thinning],
        "thinning_note": speech.say(
            "Enough in nine cases of ten. The middle estimate is lower; it is often said that "
            "one part in 100 will do."
        ),
        "rules": {
            "title": speech.say("Mind"),
            "lines": [speech.say(rule) for rule in RULES],
        },
        "sum": _sum(feeding, speech),
        "foot": speech.say(
            "Computed from {n} possible years of this garden. Weak feed, not a fertiliser. Local "
            "rules come first.",
            n=answer.provenance.members,
        ),
    }
    return typeset("feeding", data, printing)


def _rows(months: Sequence[FeedingMonth], speech: Speech) -> Iterator[list[str]]:
    def start(line: FeedingMonth) -> dt.date:
        return line.month

    for month, lines in groupby(sorted(months, key=start), key=start):
        poured = (line for line in lines if 1000 * line.liquid >= _LEAST_ML)
        for place, line in enumerate(poured):
            yield _row(line, speech.month(month) if place == 0 else "", speech)


def _row(line: FeedingMonth, month: str, speech: Speech) -> list[str]:
    weeks = speech.number(line.weeks)
    if line.stop is not None:
        weeks = speech.say("{weeks}; stop on {day}", weeks=weeks, day=speech.day(line.stop))
    liquid = speech.figure(1000 * line.liquid, "mL")
    return [
        month,
        line.bed,
        speech.known(line.crop),
        liquid,
        speech.figure(line.water, "L"),
        weeks,
    ]


def _thinned(line: ThinningLine, speech: Speech) -> list[str]:
    def parts(number: int | None) -> str:
        return speech.say("none") if number is None else speech.number(number)

    return [speech.known(line.crop), parts(line.established), parts(line.seedlings)]


def _sum(feeding: Feeding, speech: Speech) -> str:
    drained = speech.figure(feeding.supply.median, "L")
    left: Any = speech.figure(feeding.surplus.median, "L")
    return speech.say(
        "About {drained} drain in this time ({ends}); about {left} find no bed. Where your rules "
        "allow, send that down a household drain with plenty of water.",
        drained=drained,
        ends=speech.ends(feeding.supply),
        left=left,
    )
