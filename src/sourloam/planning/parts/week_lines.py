"""Dated lines, week by week, for a place with many vessels."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from itertools import groupby

import numpy as np

from sourloam.planning.burying import waits
from sourloam.planning.contract import Entry
from sourloam.planning.parts.day_words import day_words, listed, vessels
from sourloam.planning.parts.labour import hours, too_much
from sourloam.planning.parts.weeks import Week, weeks_of
from sourloam.planning.parts.year import Year
from sourloam.planning.ranges import middle, range_of
from sourloam.planning.work import Work


def week_lines(work: Work, year: Year) -> Iterator[Entry]:
    """What each week asks for; nothing for a week in which nothing happens."""
    weeks = weeks_of(work, year)
    for _, alike in groupby(weeks, key=lambda week: _what(work, week)):
        run = list(alike)
        what = _what(work, run[0])
        if what:
            yield _line(work, run, what)
    for week in weeks:
        if too_much(work, week):
            yield _labour(work, week)
    buried = [week for week in weeks if week.last_burial]
    for _, group in groupby(buried, key=lambda week: (week.start.year, week.start.month)):
        yield from _plant(work, year, list(group))


def _line(work: Work, run: list[Week], what: tuple[str, ...]) -> Entry:
    """One line for a week, or for several that ask for the same."""
    most = hours(max(week.hours for week in run))
    each = "This week" if len(run) == 1 else "Each week"
    return Entry(
        date=run[0].start,
        until=run[-1].end,
        kind="week",
        begun=sum(week.begun for week in run),
        buried=sum(week.buried for week in run),
        parted=sum(week.parted for week in run),
        passed_on=sum(week.passed_on for week in run),
        text=f"{each}: {listed(what)}; about {most} of work.",
    )


def _what(work: Work, week: Week) -> tuple[str, ...]:
    """The week's doings without those that don't occur."""
    tubs = work.case.site.ground.tub
    elsewhere = "mix {} with old soil in the tub" if tubs else "pass on the ferment of {}"
    before = (("begin {}", week.begun), ("set {} aside to rest", week.set_aside))
    return (
        *(form.format(vessels(number)) for form, number in before if number),
        *_buried(work, week),
        *((elsewhere.format(vessels(week.passed_on)),) if week.passed_on else ()),
    )


def _buried(work: Work, week: Week) -> Iterator[str]:
    """The week's burials, whole and in part."""
    if not week.buried + week.parted:
        return
    if work.case.site.ground.none:
        yield f"tip {vessels(week.buried)} into the tub"
        return
    what = vessels(week.buried) if week.buried else f"a part of {vessels(week.parted)}"
    if week.buried and week.parted:
        what += f" and a part of {'another' if week.parted == 1 else f'{week.parted} more'}"
    length = middle(range_of([week.trench_m], "m"), work.system)
    rest = "mix the rest into the tub" if work.case.site.ground.tub else "pass on the rest"
    yield f"bury {what} in {length} of trench{f' and {rest}' if week.parted else ''}"


def _labour(work: Work, week: Week) -> Entry:
    have = hours(work.labour.hours_a_week)
    return Entry(
        date=week.start,
        until=week.end,
        kind="labour",
        text=f"About {hours(week.hours)} of work this week, and people have {have}: get help.",
    )


def _plant(work: Work, year: Year, weeks: list[Week]) -> Iterator[Entry]:
    """When the trenches of a month may be planted: all of them, by the longest middle wait.

    The span named runs from the first week's burial to the last one's, so that the wait has passed
    for the last day of it too.
    """
    case, start = work.case, work.case.date(work.case.first)
    dug = [week.last_burial or week.end for week in weeks]
    days = np.array([case.first + (day - start).days for day in dug])
    wait = np.median(waits(case, days), axis=0)
    if not np.isfinite(wait).all():
        return
    last = max(day + dt.timedelta(days=int(np.ceil(d))) for day, d in zip(dug, wait, strict=True))
    where = "Soil of the tub" if case.site.ground.none else "The trenches"
    first = day_words(dug[0])
    span = f"on {first}" if len(dug) == 1 else f"from {first} to {day_words(dug[-1])}"
    yield Entry(
        date=last if case.site.ground.none else year.thawed(last),
        kind="plant",
        text=f"{where} filled {span} may be sown or planted from now on, where it smells of earth.",
    )
