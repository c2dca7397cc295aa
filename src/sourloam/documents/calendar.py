"""What is due, as a calendar file (RFC 5545) that any calendar program reads."""

from __future__ import annotations

import datetime as dt
import uuid
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from icalendar import Calendar, Event

import sourloam
from sourloam.documents import calendar_words
from sourloam.documents.speech import Speech
from sourloam.documents.typesetting import Printing
from sourloam.planning.contract import Entry, Plan

_FAMILY = uuid.uuid5(uuid.NAMESPACE_URL, "tag:sourloam,2026:calendar")
_DAY = dt.timedelta(days=1)
_ONE_DAY = frozenset({"start", "full", "bury", "pass_on", "plant", "bran", "drain", "reopen"})


@dataclass(frozen=True)
class Dated:
    """One thing due on a day, or on the days ``on`` to ``until`` (both included).

    ``key`` names it for ever: the same key in a later file replaces it. ``every_days`` repeats
    it until ``until``, but not on the days ``but_not``.
    """

    key: str
    on: dt.date
    title: str
    text: str = ""
    until: dt.date | None = None
    every_days: int = 0
    but_not: tuple[dt.date, ...] = ()


def calendar_file(
    events: Iterable[Dated],
    name: str,
    day: dt.date,
    *,
    family: str = "",
    refresh: dt.timedelta | None = None,
) -> bytes:
    """A calendar of all-day events; ``day`` is the date on which it was written.

    Keys are told apart by ``family``, the name if left out. ``refresh`` is how often a program
    that subscribes to it should ask again.
    """
    calendar = Calendar()
    calendar.add("prodid", f"-//Sourloam//{sourloam.__version__}//EN")
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("method", "PUBLISH")
    calendar.add("name", name)
    if refresh is not None:
        calendar.add("refresh-interval", refresh, parameters={"VALUE": "DURATION"})
    written = dt.datetime.combine(day, dt.time(), dt.UTC)
    for event in events:
        calendar.add_component(_event(event, family or name, written))
    return bytes(calendar.to_ical())


def _event(dated: Dated, family: str, written: dt.datetime) -> Event:
    event = Event()
    event.add("uid", str(uuid.uuid5(_FAMILY, f"{family}\n{dated.key}")))
    event.add("dtstamp", written)
    event.add("dtstart", dated.on)
    last = dated.on if dated.every_days or dated.until is None else dated.until
    event.add("dtend", last + _DAY)
    event.add("summary", dated.title)
    if dated.text:
        event.add("description", dated.text)
    if dated.every_days and dated.until is not None:
        event.add("rrule", {"freq": "daily", "interval": dated.every_days, "until": dated.until})
        for skipped in dated.but_not:
            event.add("exdate", skipped, parameters={"VALUE": "DATE"})
    event.add("transp", "TRANSPARENT")
    event.add("categories", ["Sourloam"])
    return event


def plan_calendar(plan: Plan, printing: Printing) -> bytes:
    """The plan's year: begin, drain, full, bury, plant, bran, holidays, closed ground."""
    events = list(plan_events(plan, printing.speech))
    return calendar_file(events, plan.site.name, printing.day or plan.site.start)


def plan_events(plan: Plan, speech: Speech) -> Iterator[Dated]:
    """The same as events, drainings as a repeated one."""
    seen: Counter[tuple[str, str]] = Counter()
    for entry in plan.calendar:
        key = (entry.kind, entry.vessel)
        seen[key] += 1
        named = f"{entry.kind}/{entry.vessel}/{seen[key]}"
        if entry.kind == "drain":
            yield _draining(plan, entry, named, speech)
        else:
            title, text = calendar_words.said(plan, entry, speech)
            until = None if entry.kind in _ONE_DAY else entry.until
            yield Dated(named, entry.date, title, text, until)


def _draining(plan: Plan, entry: Entry, key: str, speech: Speech) -> Dated:
    """Every so many days until the next season's line, holidays left out."""
    later = [e.date for e in plan.calendar if e.kind == "drain" and e.date > entry.date]
    until = min(later) - _DAY if later else plan.site.until
    every = plan.liquid.drain_every_days
    days = [entry.date + i * _DAY for i in range(0, (until - entry.date).days + 1, every)]
    closed = [b for b in plan.vessels.blocked if b.kind == "closed"]
    off = tuple(day for day in days if any(b.start <= day <= b.end for b in closed))
    return Dated(
        key,
        entry.date,
        speech.say("Drain"),
        speech.say(
            "All vessels, at the tap. About {middle} from the busiest ({ends}); thin it, use it "
            "the same day.",
            middle=speech.figure(plan.liquid.per_draining.median, "mL"),
            ends=speech.ends(plan.liquid.per_draining),
        ),
        until,
        every,
        off,
    )
