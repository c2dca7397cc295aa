"""The season report: what went in, what came of it, where it lies, what comes next."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from typing import Any

from sourloam.documents import season_words as w
from sourloam.documents.season_account import Account, account, share_by
from sourloam.documents.season_drawing import SHADES, bed_plan, strips, weeks
from sourloam.documents.speech import Speech
from sourloam.documents.typesetting import Printing, typeset
from sourloam.ledger import Foreseen, PlaceState, due

_AHEAD_DAYS, _MOST_NEXT, _MOST_ROWS = 42, 14, 60


def season_report(
    name: str,
    state: PlaceState,
    today: dt.date,
    printing: Printing,
    foreseen: Mapping[str, Foreseen] | None = None,
) -> bytes:
    """A place's season from its log, a year at most up to ``today``.

    ``foreseen`` by vessel tells what comes next; without it the rules of thumb do.
    """
    speech, found = printing.speech, account(state, today)
    data = {
        "title": speech.say("Season report"),
        "place": f"{name} · {speech.days(found.first, found.last)}",
        "facts": list(_facts(found, speech)),
        "weeks_title": speech.say("What went in, week by week"),
        "weeks": _weeks(found, speech),
        "weeks_note": _known(found, speech) if found.weighed else "",
        "none": speech.say("The log holds no layer yet."),
        "strips_title": speech.say("The vessels' year"),
        "strips": _strips(found, speech),
        "legend": [[speech.say(w.STATES[s]), shade] for s, shade in SHADES.items()],
        "liquid_title": speech.say("Where the liquid went"),
        "liquid": [
            [speech.say(w.USES[use]), speech.figure(ml, "mL")]
            for use, ml in share_by(found.drains).items()
        ],
        "burials_title": speech.say("Where it was buried"),
        "burials_head": [speech.say(word) for word in w.BURIALS],
        "burials": list(_burials(found, speech)),
        "beds": list(_beds(found, speech)),
        "trouble_title": speech.say("What went wrong, and what helped"),
        "failed": list(_failed(found, speech)),
        "help_head": [speech.say(word) for word in w.HELP],
        "help": list(_help(found, speech)),
        "well": speech.say("Nothing that the log tells of."),
        "next_title": speech.say("What comes next"),
        "next_head": [speech.say(word) for word in w.NEXT],
        "next": list(_next(found, foreseen or {}, speech)),
        "care_title": speech.say("Take care"),
        "care": [speech.say(text) for text in w.CARE],
        "foot": speech.say(
            "From the log alone, {n} entries of layers; ranges hold eight of ten possible cases. "
            "{day}.",
            n=len(found.layers),
            day=speech.day(today, year=True),
        ),
    }
    return typeset("season", data, printing)


def _facts(found: Account, speech: Speech) -> Iterator[list[str]]:
    total = found.total
    if found.weighed:
        yield [
            speech.say("kept from the bin"),
            speech.figure(total.median, "kg"),
            speech.ends(total),
        ]
    done = [turn for _vessel, turn in found.turns if turn.ended is not None]
    yield [
        speech.say("fillings begun"),
        str(len(found.turns)),
        speech.say("{n} of them ended", n=len(done)),
    ]
    if found.bran_kg:
        yield [speech.say("bran on the layers"), speech.figure(found.bran_kg, "kg"), ""]
    liquid = sum(drain.body.volume_ml for drain in found.drains)
    yield [
        speech.say("liquid drained"),
        speech.figure(liquid, "mL") if liquid else "0",
        speech.many("{n} time", "{n} times", len(found.drains)),
    ]
    yield [speech.say("burials"), str(len(found.burials)), ""]


def _known(found: Account, speech: Speech) -> str:
    """How the masses are known, and what their range comes from most."""
    ways = ", ".join(f"{n} {speech.say(w.WAYS[way])}" for way, n in found.ways.most_common())
    untold = len(found.layers) - len(found.weighed)
    left = speech.say(" {n} in bowls never weighed are left out.", n=untold) if untold else ""
    told = speech.say(
        "Layers: {ways}. The line on each bar holds eight of ten possible cases; most of it comes "
        "from those {widest}.",
        ways=ways,
        widest=speech.say(w.WAYS[found.widest_way]),
    )
    rough = found.widest_way != "weighed"
    return told + (speech.say(" Weighing one bowlful narrows it.") if rough else "") + left


def _weeks(found: Account, speech: Speech) -> dict[str, str] | None:
    if not found.weighed:
        return None
    rows = list(found.by_week())
    best = max(rows, key=lambda row: row[1].median or 0.0)
    alt = speech.say(
        "Bars by week; the most, {mass}, in the week of {day}.",
        mass=speech.figure(best[1].median, "kg"),
        day=speech.day(best[0], year=True),
    )
    return {"svg": weeks(rows, speech, alt), "alt": alt}


def _strips(found: Account, speech: Speech) -> dict[str, str] | None:
    alt = speech.say(
        "A strip for each vessel, {n} fillings, as the log tells them.", n=len(found.turns)
    )
    svg = strips(found, speech, alt)
    return None if svg is None else {"svg": svg, "alt": alt}


def _burials(found: Account, speech: Speech) -> Iterator[list[str]]:
    vessels = {vessel.id: vessel.name for vessel in found.state.vessels}
    beds = {bed.id: bed.name for bed in found.state.beds}
    for number, record in enumerate(found.burials[:_MOST_ROWS], start=1):
        body = record.body
        yield [
            str(number),
            speech.day(record.day),
            vessels.get(body.vessel, body.vessel),
            beds.get(body.bed, body.bed),
            f"{speech.figure(body.length_m, 'm')} × {speech.figure(body.width_m, 'm')}",
            speech.figure(body.depth_m, "m"),
            "–" if body.mass_kg is None else speech.figure(body.mass_kg, "kg"),
        ]


def _beds(found: Account, speech: Speech) -> Iterator[dict[str, Any]]:
    numbered = list(enumerate(found.burials[:_MOST_ROWS], start=1))
    for bed in found.state.beds:
        mine = [(number, record) for number, record in numbered if record.body.bed == bed.id]
        drawn = bed_plan(bed, mine, speech) if mine else None
        if drawn is not None:
            untold = [str(number) for number, record in mine if record.body.along_m is None]
            yield {
                "name": bed.name,
                "svg": drawn.svg,
                "width": drawn.width_mm,
                "height": drawn.height_mm,
                "scale": f"1:{drawn.scale}",
                "alt": drawn.alt,
                "untold": speech.say("Where it lies was not written down: {n}", n=", ".join(untold))
                if untold
                else "",
            }


def _failed(found: Account, speech: Speech) -> Iterator[str]:
    for vessel, turn in found.failed:
        judged = turn.judgements[-1]
        yield speech.say(
            "{vessel}, begun {begun}: judged failed {day}; {cause}.",
            vessel=vessel.name,
            begun=speech.day(turn.began.day),
            day=speech.day(judged.day),
            cause=w.cause(judged.body.cause, speech),
        )


def _help(found: Account, speech: Speech) -> Iterator[list[str]]:
    for name, record in found.rescues[:_MOST_ROWS]:
        outcome = record.body.outcome or "unknown"
        yield [
            speech.day(record.day),
            name,
            w.cause(record.body.cause, speech),
            speech.say(w.OUTCOMES.get(outcome, w.OUTCOMES["unknown"])),
        ]


def _next(found: Account, foreseen: Mapping[str, Foreseen], speech: Speech) -> Iterator[list[str]]:
    """Work of the coming six weeks; what is late stands on today."""
    dues = due(found.state, foreseen, found.state.site(), found.last, _AHEAD_DAYS)
    for one in sorted(dues, key=lambda d: max(d.on, found.last))[:_MOST_NEXT]:
        yield [speech.day(max(one.on, found.last)), w.work(one, speech)]
