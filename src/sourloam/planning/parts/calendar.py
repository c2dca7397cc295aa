"""The coming year, dated: begin, full, bury, pass on, sow, bran, holidays, frost."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator

import numpy as np

from sourloam.evidence import book
from sourloam.planning.case import YEAR_DAYS
from sourloam.planning.contract import Entry, MonthAmount
from sourloam.planning.parts.blocked_lines import blocked_lines
from sourloam.planning.parts.vessel_lines import vessel_lines
from sourloam.planning.parts.week_lines import week_lines
from sourloam.planning.parts.year import Year, runs
from sourloam.planning.ranges import middle, range_of, words
from sourloam.planning.work import Work

_QUARTER = 3
_SHORT = 4  # method: days between two times without room that are told as one
_LATE = 14  # method: a season that begins in the last days is the next year's


def calendar_part(work: Work, year: Year, bran: tuple[MonthAmount, ...]) -> tuple[Entry, ...]:
    """All entries of the first planned year in order of date."""
    fillings = sum(span.state == "filling" for span in year.spans) / work.case.years
    many = fillings >= book()["planning.weekly_from"].value
    entries = [
        *(week_lines(work, year) if many else vessel_lines(work, year)),
        *_drains(work),
        *_bran(work, bran),
        *blocked_lines(work, year),
        *_refusals(work, year),
    ]
    first, end = work.case.date(work.case.first), work.case.date(work.case.first + YEAR_DAYS)
    inside = _merged(e for e in entries if first <= e.date < end)
    return tuple(sorted(inside, key=lambda e: (e.date, e.kind, e.vessel)))


def _merged(entries: Iterable[Entry]) -> list[Entry]:
    """Lines that say the same on the same day become one, naming both vessels."""
    found: dict[tuple[dt.date, str, str], Entry] = {}
    for entry in entries:
        key = (entry.date, entry.kind, entry.text)
        if key in found:
            names = f"{found[key].vessel}, {entry.vessel}"
            entry = entry.model_copy(update={"vessel": names})
        found[key] = entry
    return list(found.values())


def _drains(work: Work) -> Iterator[Entry]:
    """One line a season with the rhythm of draining."""
    case, every = work.case, work.draining.every_days
    for season, day in _season_starts(work):
        mine = case.days_in(season)
        each = work.draining.daily_ml[:, mine].mean(axis=1) * every
        amount = words(range_of(each, "mL"), work.system)
        yield Entry(
            date=case.date(day),
            kind="drain",
            text=f"Drain {'every day' if every == 1 else f'every {every} days'} ({season}): "
            f"{amount} from all vessels together; use it the same day.",
        )


def _season_starts(work: Work) -> Iterator[tuple[str, int]]:
    case = work.case
    names = [case.season_on(day) for day in range(case.first, case.first + YEAR_DAYS - _LATE)]
    for place, name in enumerate(names):
        if place == 0 or names[place - 1] != name:
            yield name, case.first + place


def _bran(work: Work, months: tuple[MonthAmount, ...]) -> Iterator[Entry]:
    """Every three months: how much bran to have ready."""
    for place in range(0, min(len(months), 12), _QUARTER):
        part = months[place : place + _QUARTER]
        total = sum(m.amount.median or 0 for m in part)
        first = max(part[0].month, work.case.date(work.case.first))
        amount = middle(range_of([total], "g"), work.system)
        span = "month" if len(part) == 1 else f"{len(part)} months"
        if total > 0:
            yield Entry(
                date=first,
                kind="bran",
                text=f"Have {amount} of inoculated bran ready for the next {span}.",
            )


def _refusals(work: Work, year: Year) -> Iterator[Entry]:
    refused = np.asarray(year.turned.refused_kg[0] > 0)
    for first, last in runs(refused):  # weekends and the like between are full as well
        inside = first > 0 and last < len(refused) - 1
        if not refused[first] and inside and last - first < _SHORT:
            refused[first : last + 1] = True
    for first, last in runs(refused):
        if refused[first]:
            yield Entry(
                date=work.case.date(work.case.first + first),
                until=work.case.date(work.case.first + last),
                kind="no_room",
                text="Every vessel is full: stop feeding, and have the scraps fetched, for this "
                "time.",
            )
