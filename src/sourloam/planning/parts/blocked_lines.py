"""Dated lines on times in which the ground takes nothing, or nobody is there."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

import numpy as np

from sourloam.evidence import book
from sourloam.planning.contract import Blocked, Entry
from sourloam.planning.parts.day_words import day_words
from sourloam.planning.parts.year import Year
from sourloam.planning.rotation import HELD, READY
from sourloam.planning.work import Work

_LONG = 14  # method: days of closed ground that deserve a warning before
_DAY = dt.timedelta(days=1)
_AHEAD = dt.timedelta(days=14)  # method: notice before a long holiday


def blocked_lines(work: Work, year: Year) -> Iterator[Entry]:
    """Holidays, and each long time in which the ground is closed."""
    for stop in year.blocked:
        if stop.kind == "closed":
            yield from _closure(stop, year)
        elif (stop.end - stop.start).days + 1 >= _LONG:
            yield from _ground(work, year, stop)


def _closure(stop: Blocked, year: Year) -> Iterator[Entry]:
    days = (stop.end - stop.start).days + 1
    if days < book()["planning.closure.long"].value:
        yield Entry(
            date=stop.start,
            until=stop.end,
            kind="closed",
            text=f"{upper(stop.name)}: drain before you leave, press, cover, close; "
            "a closed vessel waits some weeks.",
        )
        return
    eve, name = stop.start - _DAY, stop.name
    yield Entry(
        date=stop.start - _AHEAD,
        until=eve,
        kind="closed",
        text=f"Before {name} ({days} days from {day_words(stop.start)}): empty and wash every "
        "vessel that is ready. On the last day with scraps press, close and date the one that is "
        "filling, however full it is. Leave none filling; drain all, and let somebody drain them "
        "once more a week later.",
    )
    yield Entry(
        date=stop.start,
        until=stop.end,
        kind="closed",
        text=f"{upper(name)}: no scraps. Closed vessels rest and wait.",
    )
    yield Entry(
        date=stop.end + _DAY,
        kind="reopen",
        text=f"After {name}: drain and smell what has rested, empty it on the next burial day, "
        "wash those vessels, and begin anew with a clean one and fresh bran.",
    )


def _ground(work: Work, year: Year, stop: Blocked) -> Iterator[Entry]:
    """What becomes of ready vessels while the ground is closed, and a warning before."""
    start = work.case.date(work.case.first)
    first, last = (stop.start - start).days, (stop.end - start).days
    states = year.turned.state[0, :, first : last + 1]
    held = bool((states == HELD).any() or (states == READY).any())
    passed = int(year.turned.passed_vessels[0, first : last + 1].sum())
    recent = year.turned.state[0, :, max(first - _LONG, 0) : max(first, 1)]
    if first > 0 and _open_on(year, first - 1) and bool(np.isin(recent, (READY, HELD)).any()):
        yield Entry(
            date=stop.start - _DAY,
            kind="last_burial",
            text=f"Last day to bury before {_time(stop)}: empty every vessel that is ready.",
        )
    text = "nothing can be buried."
    if passed:
        text = "nothing can be buried; what is ready goes elsewhere."
    elif held:
        text = "nothing can be buried; ready vessels stay closed and wait."
    yield Entry(date=stop.start, until=stop.end, kind="hold", text=f"{upper(stop.name)}: {text}")


def _open_on(year: Year, day: int) -> bool:
    outlets = year.turns.outlets
    return bool(year.turns.open_ground[0, day]) and (
        outlets is None or bool((outlets.opens_in[0, :, day] == 0).any())
    )


def _time(stop: Blocked) -> str:
    if stop.kind == "beds":
        return f'the time of "{stop.name}"'
    return "the ground may be frozen"


def upper(text: str) -> str:
    """The text with a capital."""
    return text[:1].upper() + text[1:]
