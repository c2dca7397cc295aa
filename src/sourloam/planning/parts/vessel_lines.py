"""Dated lines, vessel by vessel, for a place with few."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from itertools import groupby

import numpy as np

from sourloam.planning.burying import waits
from sourloam.planning.contract import Entry
from sourloam.planning.parts.day_words import about, day_words, numbered, whither
from sourloam.planning.parts.weeks import emptied
from sourloam.planning.parts.year import Year
from sourloam.planning.ranges import middle, range_of
from sourloam.planning.rotation import EMPTY, FAILED, FILLING, PARTED, PASSED_ON, RESTING
from sourloam.planning.work import Work


def vessel_lines(work: Work, year: Year) -> Iterator[Entry]:
    """Begun, full, emptied: each vessel of the middle case."""
    for place, label in enumerate(year.labels):
        states = year.turned.state[0, place]
        for day in np.flatnonzero(np.diff(states, prepend=EMPTY)):
            yield from _changes(work, year, label, (int(day), place))
    told = False
    for (day, fate), group in groupby(emptied(year), key=lambda found: (found[0], found[2])):
        places = [place for _, place, _ in group]
        if fate == PASSED_ON:
            yield _passing(work, year, (day, places), told)
        else:
            yield _burial(work, year, (day, places), fate == PARTED, told)
            yield from _sowing(work, year, day, places)
        told |= fate in (PASSED_ON, PARTED)


def _changes(work: Work, year: Year, label: str, at: tuple[int, int]) -> Iterator[Entry]:
    """What a vessel that begins or closes on a day asks for."""
    day, place = at
    date, state = work.case.date(work.case.first + day), year.turned.state[0, place, day]
    if state == FILLING:
        yield Entry(
            date=date, kind="start", vessel=label, begun=1, text=f"Begin {label}: bran on the grid."
        )
    if state == RESTING:
        rest = float(year.turns.rest_days[0, day])
        until = date + dt.timedelta(days=int(np.ceil(rest))) if np.isfinite(rest) else None
        early = bool(year.turns.outlets and year.turns.outlets.eve[day])
        how = "is closed for the long holiday" if early else "is about full"
        yield Entry(
            date=date,
            until=until,
            kind="full",
            vessel=label,
            text=f"{label} {how}: press, close, write the date on it"
            + (f"; rest until {day_words(until)}." if until else "."),
        )


def _burial(work: Work, year: Year, at: tuple[int, list[int]], parted: bool, told: bool) -> Entry:
    """A burial; of a vessel that is parted the rest goes elsewhere the same day."""
    day, places = at
    names, one = numbered(work.chosen.vessel.name, places), len(places) == 1
    wash = "wash the vessel" if one else "wash the vessels"
    share = float(year.turned.buried_share[0, places, day].sum())
    length = middle(range_of(work.burying.trench_m * share, "m"), work.system)
    if work.case.site.ground.none:
        text = f"Tip {names} into the tub and mix with soil; {wash}."
    elif parted:
        part = about(share / len(places))
        text = (
            f"Bury {part} of {names} in {length} of trench, mixed and covered: the free beds may "
            f"be given no more this year. {_elsewhere(work, told)} the same day; {wash}."
        )
    else:
        text = f"Bury {names} in {length} of trench, mixed and covered; {wash}."
    return Entry(
        date=work.case.date(work.case.first + day),
        kind="bury",
        vessel=names,
        buried=0 if parted else len(places),
        parted=len(places) if parted else 0,
        text=text + _if_failed(work, year, day, places),
    )


def _elsewhere(work: Work, told: bool) -> str:
    """What becomes of the rest; where to is told once in full."""
    tub = work.case.site.ground.tub
    said = whither(tub, "the rest")
    if told:
        said = "mix the rest into the tub" if tub else "pass the rest on"
    return said[:1].upper() + said[1:]


def _sowing(work: Work, year: Year, day: int, places: list[int]) -> Iterator[Entry]:
    """When the trench, or the tub, may be planted."""
    case, date = work.case, work.case.date(work.case.first + day)
    names = numbered(work.chosen.vessel.name, places)
    wait = float(np.median(waits(case, np.array([case.first + day]))))
    if not np.isfinite(wait):
        return
    ready = date + dt.timedelta(days=int(np.ceil(wait)))
    where = "The tub filled" if case.site.ground.none else "The trench filled"
    yield Entry(
        date=ready if case.site.ground.none else year.thawed(ready),
        kind="plant",
        vessel=names,
        text=f"{where} on {day_words(date)} with {names} may be sown or planted from now on, "
        "if it smells of earth.",
    )


def _passing(work: Work, year: Year, at: tuple[int, list[int]], told: bool) -> Entry:
    """An emptying elsewhere; where to is told once in full."""
    day, places = at
    names, tub = numbered(work.chosen.vessel.name, places), work.case.site.ground.tub
    wash = "wash the vessel" if len(places) == 1 else "wash the vessels"
    how = ("mix it into the tub" if tub else "pass it on") if told else whither(tub)
    return Entry(
        date=work.case.date(work.case.first + day),
        kind="pass_on",
        vessel=names,
        passed_on=len(places),
        text=f"No bed has a place for it: empty {names} and {how}; {wash}."
        + _if_failed(work, year, day, places),
    )


def _if_failed(work: Work, year: Year, day: int, places: list[int]) -> str:
    before = year.turned.state[0, places, max(day - 1, 0)]
    if not (before == FAILED).any():
        return ""
    names = numbered(work.chosen.vessel.name, [p for p, s in zip(places, before, strict=True)
                                               if s == FAILED])  # fmt: skip
    return f" {names} did not turn sour: follow the rules for failed ones."
