"""The middle member's year, week by week: what is begun, set aside, buried, passed on."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from sourloam.planning.parts.year import Year
from sourloam.planning.rotation import BURIED, EMPTY, FILLING, PARTED, PASSED_ON, RESTING
from sourloam.planning.work import Work

_WEEK, _YEAR_DAYS = 7, 365


@dataclass(frozen=True)
class Week:
    """Counts of one week of the coming year, and its hours of work; ``end`` is its last day.

    ``parted`` vessels are buried in part and the rest passed on. ``last_burial`` is the last day
    on which anything is buried; None where nothing is.
    """

    start: dt.date
    end: dt.date
    begun: int
    set_aside: int
    buried: int
    parted: int
    passed_on: int
    trench_m: float
    hours: float
    last_burial: dt.date | None


def weeks_of(work: Work, year: Year) -> tuple[Week, ...]:
    """Every week of the coming year; a last part of a week counts as one."""
    return tuple(_week(work, year, first) for first in range(0, _YEAR_DAYS, _WEEK))


def _week(work: Work, year: Year, first: int) -> Week:
    days = slice(first, min(first + _WEEK, _YEAR_DAYS))
    states = year.turned.state[0]
    before = np.concatenate([np.full((len(states), 1), EMPTY), states[:, :-1]], axis=1)
    new, fate = (states != before)[:, days], year.turned.fate[0, :, days]
    buried, parted, passed_on = (int((fate == f).sum()) for f in (BURIED, PARTED, PASSED_ON))
    share = year.turned.buried_share[0, :, days]
    dug = np.flatnonzero((share > 0).any(axis=0))
    trench = float(share.sum() * np.median(work.burying.trench_m))
    return Week(
        start=work.case.date(work.case.first + days.start),
        end=work.case.date(work.case.first + days.stop - 1),
        begun=int((new & (states[:, days] == FILLING)).sum()),
        set_aside=int((new & (states[:, days] == RESTING)).sum()),
        buried=buried,
        parted=parted,
        passed_on=passed_on,
        trench_m=trench,
        hours=work.labour.week_h(buried, trench, passed_on + parted, _feeding(year, days)),
        last_burial=work.case.date(work.case.first + first + int(dug[-1])) if len(dug) else None,
    )


def _feeding(year: Year, days: slice) -> float:
    """Days with scraps in a week over those of an ordinary week."""
    came = year.turns.scraps_kg[0, :_YEAR_DAYS] > 0
    return float(came[days].mean() / came.mean()) if came.any() else 0.0


def emptied(year: Year) -> Iterator[tuple[int, int, int]]:
    """Day, place of the vessel and fate of each emptying in the coming year, by day and fate."""
    fates = year.turned.fate[0]
    for day in range(_YEAR_DAYS):
        for place in sorted(np.flatnonzero(fates[:, day]), key=lambda v: fates[v, day]):
            yield day, int(place), int(fates[place, day])
