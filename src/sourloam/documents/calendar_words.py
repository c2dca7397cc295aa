"""The lines of a plan's calendar in the reader's language."""

from __future__ import annotations

import datetime as dt

from sourloam.documents.names import vessel_name
from sourloam.documents.speech import Speech
from sourloam.planning.contract import Blocked, Entry, EntryKind, Plan

TITLES: dict[EntryKind, str] = {
    "start": "Begin {vessel}",
    "full": "{vessel} about full: close it",
    "rest": "{vessel} rests",
    "ready": "{vessel} ready",
    "bury": "Bury {vessel}",
    "plant": "Ground free to plant",
    "wash": "Wash {vessel}",
    "bran": "Have inoculated bran ready",
    "closed": "Closed: {name}",
    "last_burial": "Last day to bury",
    "hold": "Nothing can be buried",
    "no_room": "Every vessel is full",
    "pass_on": "{vessel} goes elsewhere",
    "week": "Vessels: {counts}",
    "reopen": "Begin anew after the closure",
    "labour": "Get help this week",
}
_TEXTS: dict[EntryKind, str] = {
    "start": "Bran on the grid first.",
    "plant": "Where the soil smells of earth.",
    "closed": "Drain before it, press, cover, close. Closed vessels wait.",
    "last_burial": "Empty every vessel that is ready: the ground closes after today.",
    "hold": "Beds busy, or ground frozen. What is ready stays closed, or goes elsewhere.",
    "no_room": "Stop feeding and have the scraps fetched for this time.",
    "pass_on": "No free bed has room for all of it: tub, other people's ground or the food waste "
    "collection, as your rules allow. Wash the vessel.",
    "reopen": "Drain and smell what has rested; wash; begin with a clean vessel and fresh bran.",
    "labour": "The plan asks for more hours than people have.",
    "wash": "Wash and dry it.",
    "ready": "Smell, look, try a strip.",
    "rest": "Keep it closed; keep draining.",
}

_COUNTED = ("begin {n}", "bury {n}", "{n} in part", "{n} elsewhere")


def said(plan: Plan, entry: Entry, speech: Speech) -> tuple[str, str]:
    """Title and text of a line."""
    vessel = vessel_name(entry.vessel, speech) or speech.say("vessel")
    holiday = _closure(plan, entry.date)
    if entry.kind == "closed" and holiday is not None and holiday.start > entry.date:
        return _before(holiday, speech)
    name = holiday.name if holiday else ""
    title = speech.say(TITLES[entry.kind], vessel=vessel, name=name, counts=_counts(entry, speech))
    if entry.kind == "full":
        until = speech.day(entry.until, year=True) if entry.until else "?"
        return title, speech.say("Press, close, date it; rest until {day}.", day=until)
    if entry.kind == "bury":
        return title, _burying(plan, entry, speech)
    if entry.kind == "bran":
        return title, _bran(plan, entry.date, speech)
    text = _TEXTS.get(entry.kind)
    return title, speech.say(text) if text else ""


def sentences() -> set[str]:
    """Every text of this file, for the list of translations."""
    return {*TITLES.values(), *_TEXTS.values(), *_COUNTED}


def _closure(plan: Plan, day: dt.date) -> Blocked | None:
    """The holiday that a day lies in or before."""
    ahead = [b for b in plan.vessels.blocked if b.kind == "closed" and b.end >= day]
    return min(ahead, key=lambda b: b.start, default=None)


def _before(holiday: Blocked, speech: Speech) -> tuple[str, str]:
    """The weeks before a long holiday."""
    return speech.say("Before {name}", name=holiday.name), speech.say(
        "It begins on {day}. Empty and wash what is ready. On the last day with scraps press, "
        "close and date the one that is filling; leave none filling; drain all, and once more a "
        "week later.",
        day=speech.day(holiday.start, year=True),
    )


def _burying(plan: Plan, entry: Entry, speech: Speech) -> str:
    trench = plan.ground.trench_per_vessel
    if plan.ground.way == "tub" or trench is None:
        return speech.say("Tip it into the tub, mix it with soil; wash the vessel.")
    if entry.parted:
        return speech.say(
            "Bury as much of it as the free beds may still be given; mix, cover, mark it. Pass the "
            "rest on the same day; wash the vessel."
        )
    length = speech.figure((trench.median or 0.0) * max(entry.buried, 1), "m")
    return speech.say(
        "About {length} of trench; mix, cover, mark it; wash the vessel.", length=length
    )


def _bran(plan: Plan, day: dt.date, speech: Speech) -> str:
    """What the months until the next such line ask for."""
    later = [e.date for e in plan.calendar if e.kind == "bran" and e.date > day]
    end = min(later) if later else plan.site.until + dt.timedelta(days=1)
    first = day.replace(day=1)
    months = [m for m in plan.bran.by_month if first <= m.month < end]
    total = sum(m.amount.median or 0.0 for m in months)
    return speech.say(
        "About {mass}, until {day}.",
        mass=speech.figure(total, "g"),
        day=speech.day(end, year=True),
    )


def _counts(entry: Entry, speech: Speech) -> str:
    numbers = (entry.begun, entry.buried, entry.parted, entry.passed_on)
    parts = [
        speech.say(form, n=number) for form, number in zip(_COUNTED, numbers, strict=True) if number
    ]
    return "; ".join(parts) if parts else speech.say("set full ones aside")
