"""The sheet of a week: what to do on each day at which vessel, how, and what if something is odd.

For somebody who has never done it and has nobody to ask.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from statistics import median

from sourloam.documents import season_words
from sourloam.documents import week_words as w
from sourloam.documents.speech import Speech
from sourloam.documents.typesetting import Printing, typeset
from sourloam.documents.usual import drain_rhythm
from sourloam.evidence import book
from sourloam.ledger import Foreseen, PlaceState, due
from sourloam.ledger.state import VesselState
from sourloam.ledger.work import WORK, Due, Question
from sourloam.site.ordering import in_order

_DAYS = 7
_RECENT = 10  # layers that tell what is usual
_MOST_ROWS = 40
_ALIKE = ("fed", "drained", "looked", "washed", "set_aside")


@dataclass(frozen=True)
class Task:
    """A piece of work on one day of the week."""

    day: dt.date
    due: Due


def week_sheet(
    name: str,
    state: PlaceState,
    today: dt.date,
    printing: Printing,
    foreseen: Mapping[str, Foreseen] | None = None,
) -> bytes:
    """Seven days from ``today``; two sides of a sheet, more where a shelf is long."""
    speech = printing.speech
    last = today + dt.timedelta(days=_DAYS - 1)
    data = {
        "title": speech.say("This week's work"),
        "place": f"{name} · {speech.days(today, last)}",
        "scraps_title": speech.say("Where do scraps go?"),
        "scraps": _scraps(state, speech),
        "work_head": [speech.say(word) for word in w.HEAD],
        "work": list(_rows(state, foreseen or {}, today, speech)),
        "shelf_title": speech.say("The shelf on the first day"),
        "shelf_head": [speech.say(word) for word in w.SHELF],
        "shelf": [_standing(vessel, speech) for vessel in _used(state)],
        "where_title": speech.say("Where things are"),
        "where": [speech.say(word) for word in w.WHERE],
        "call": {"title": speech.say("Ask"), "lines": list(printing.call)},
        "how_title": speech.say("How it is done"),
        "how": w.how(speech),
        "odd_title": speech.say("If something is odd"),
        "odd": w.odd(speech),
        "care": {
            "title": speech.say("Take care"),
            "lines": [speech.say(text) for text in w.CARE],
        },
        "foot": speech.say(
            "From the log as it was on {day}. Days are foreseen: what you see in the vessel "
            "decides. Local rules come first.",
            day=speech.day(today, year=True),
        ),
    }
    return typeset("week", data, printing)


def tasks(state: PlaceState, foreseen: Mapping[str, Foreseen], today: dt.date) -> list[Task]:
    """All work of the week in order; what is late stands on its first day."""
    question = Question(state, state.site(), foreseen, today, _DAYS - 1)
    dues = due(state, foreseen, question.site, today, _DAYS - 1)
    closing = {d.thing: max(d.on, today) for d in dues if d.what == "set_aside"}
    found = [task for one in dues for task in _tasks(one, question, closing.get(one.thing))]
    return sorted(
        found, key=lambda task: (task.day, WORK.index(task.due.what), in_order(task.due.name))
    )


def _tasks(one: Due, question: Question, closing: dt.date | None) -> Iterator[Task]:
    """A piece of work on each of its days; how much is foreseen to drain is told of the first."""
    for number, day in enumerate(_days(one, question, closing)):
        yield Task(day, one if number == 0 else replace(one, expected_ml=None))


def _days(one: Due, question: Question, closing: dt.date | None) -> Iterator[dt.date]:
    """The days of a piece of work: feeding and draining come again within a week."""
    first = max(one.on, question.today)
    rhythm = drain_rhythm(question.place)
    before = one.why.data.get("last")
    if one.what == "drain" and one.expected_ml is None and isinstance(before, dt.date):
        first = max(before + dt.timedelta(days=rhythm), question.today)
    if first > question.last:
        return
    yield first
    if one.what == "feed":
        days = one.why.data.get("days")
        rhythm = days if isinstance(days, int) else 1
    elif one.what != "drain":
        return
    last = question.last if closing is None else min(closing, question.last)
    day = first + dt.timedelta(days=rhythm)
    while day <= last:
        on = question.on_open_day(day) if one.what == "feed" else day
        if on > last:
            return
        yield on
        day = on + dt.timedelta(days=rhythm)


def _rows(
    state: PlaceState, foreseen: Mapping[str, Foreseen], today: dt.date, speech: Speech
) -> Iterator[list[str]]:
    """A line for each piece of work; days on which nothing is due say so."""
    found = tasks(state, foreseen, today)[:_MOST_ROWS]
    for ahead in range(_DAYS):
        day = today + dt.timedelta(days=ahead)
        of_day = [task for task in found if task.day == day]
        shown = speech.weekday(day)
        if not of_day:
            yield [shown, speech.say("Nothing is due."), ""]
        for number, told in enumerate(_deeds(of_day, state, speech)):
            yield [shown if number == 0 else "", told, "due"]


def _deeds(of_day: list[Task], state: PlaceState, speech: Speech) -> Iterator[str]:
    """The day's work in words; what is the same at several vessels is one line."""
    found: dict[tuple[str, str], list[Due]] = {}
    for task in of_day:
        alike = task.due.kind in _ALIKE and task.due.expected_ml is None
        found.setdefault((task.due.what, task.due.kind if alike else task.due.key), []).append(
            task.due
        )
    for dues in found.values():
        yield _told(replace(dues[0], name=", ".join(one.name for one in dues)), state, speech)


def _told(one: Due, state: PlaceState, speech: Speech) -> str:
    """A piece of work with what this place usually gives it."""
    said = season_words.work(one, speech)
    if one.what == "feed":
        return said + _usual(state, speech)
    if one.what == "check" and one.kind == "judged":
        return speech.say("Judge {name}: has it rested enough?", name=one.name)
    if one.what == "check" and one.kind == "emptied":
        return speech.say("{name} was judged failed: ask what becomes of it", name=one.name)
    if one.what == "bury" and one.kind == "buried":
        return said + _trench(one, state, speech)
    return said


def _usual(state: PlaceState, speech: Speech) -> str:
    """How much bran: by this place's own layers, else by the usual share."""
    layers = state.layers()[-_RECENT:]
    weighed = [layer.body.amount.mass_kg for layer in layers if layer.body.amount.mass_kg]
    shares = [
        layer.body.bran_g / layer.body.amount.mass_kg
        for layer in layers
        if layer.body.bran_g and layer.body.amount.mass_kg
    ]
    share = median(shares) if shares else book()["practice.bran_share"].value
    dose = speech.figure(share, "g/kg")
    if not weighed:
        return speech.say(": bran, {dose} of scraps", dose=dose)
    usual = median(weighed)
    return speech.say(
        ": usually {mass} of scraps, {bran} of bran ({dose})",
        mass=speech.figure(usual, "kg"),
        bran=speech.figure(usual * share, "g"),
        dose=dose,
    )


def _trench(one: Due, state: PlaceState, speech: Speech) -> str:
    """Where and how deep, as far as the list knows it."""
    body = one.body
    if "bed" not in body:
        return speech.say(": ask in which bed")
    said = speech.say(
        ": {bed}, {depth} deep, {length} long",
        bed=state.bed(body["bed"]).name,
        depth=speech.figure(body.get("depth_m"), "m"),
        length=speech.figure(body.get("length_m"), "m"),
    )
    along = body.get("along_m")
    if along is None:
        return said
    return said + speech.say(", {along} from the bed's beginning", along=speech.figure(along, "m"))


def _used(state: PlaceState) -> list[VesselState]:
    kept = [v for v in state.vessels if v.retired is None and v.added is not None]
    return sorted(kept, key=lambda v: in_order(v.name))


def _scraps(state: PlaceState, speech: Speech) -> str:
    """The question that everybody asks first."""
    vessels = _used(state)
    filling = [v.name for v in vessels if v.stage == "filling"]
    free = [v.name for v in vessels if v.stage == "empty" and not v.dirty]
    if filling:
        said = speech.say("Into {names}.", names=", ".join(filling))
        if free:
            return said + " " + speech.say("When it is full, into {next}.", next=free[0])
        return (
            said
            + " "
            + speech.say("When it is full no other is empty: then into the usual food waste.")
        )
    if free:
        return speech.say("No vessel is filling: begin {next}.", next=free[0])
    return speech.say(
        "No vessel has room: into the usual food waste until one is emptied and washed."
    )


def _standing(vessel: VesselState, speech: Speech) -> list[str]:
    """One line of the shelf."""
    stage = "dirty" if vessel.stage == "empty" and vessel.dirty else vessel.stage
    turn = vessel.turn
    since = ""
    if turn is not None:
        record = (
            turn.judgements[-1]
            if stage in ("ready", "failed") and turn.judgements
            else turn.set_aside or turn.began
        )
        since = speech.day(record.day)
    return [vessel.name, speech.say(w.STAGES[stage]), since, vessel.where or ""]
