"""The coming year, dated: begin, full, bury, sow, bran, holidays, frost."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator

import numpy as np

from sourloam.planning.burying import waits
from sourloam.planning.case import YEAR_DAYS
from sourloam.planning.contract import Blocked, Entry, MonthAmount
from sourloam.planning.parts.year import Year, runs
from sourloam.planning.ranges import middle, range_of, words
from sourloam.planning.rotation import EMPTY, FAILED, FILLING, RESTING
from sourloam.planning.work import Work

_MANY = 30  # method: fillings a year from which the calendar counts by month
_LONG = 14  # method: days of closed ground that deserve a warning before
_QUARTER = 3


def calendar_part(work: Work, year: Year, bran: tuple[MonthAmount, ...]) -> tuple[Entry, ...]:
    """All entries of the first planned year in order of date."""
    entries = [
        *_vessels(work, year),
        *_drains(work),
        *_bran(work, bran),
        *_closures(year.blocked),
        *_frost(work, year),
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


def _vessels(work: Work, year: Year) -> Iterator[Entry]:
    fillings = [s for s in year.spans if s.state == "filling"]
    if len(fillings) > _MANY * work.case.years:
        yield from _by_month(work, year)
        return
    for place, label in enumerate(year.labels):
        states = year.turned.state[0, place]
        for day in np.flatnonzero(np.diff(states, prepend=EMPTY)):
            yield from _changes(work, year, label, int(day), place)


def _changes(work: Work, year: Year, label: str, day: int, place: int) -> Iterator[Entry]:
    """What a change of state on a day means for the people."""
    case, states = work.case, year.turned.state[0, place]
    date = case.date(case.first + day)
    before = states[day - 1] if day else EMPTY
    if states[day] == FILLING:
        yield Entry(date=date, kind="start", vessel=label, text=f"Begin {label}: bran on the grid.")
    if states[day] == RESTING:
        rest = float(year.turns.rest_days[0, day])
        longest = 0 if not np.isfinite(rest) else int(np.ceil(rest))
        until = date + dt.timedelta(days=longest) if longest else None
        yield Entry(
            date=date,
            until=until,
            kind="full",
            vessel=label,
            text=f"{label} is about full: press, close, write the date on it"
            + (f"; rest until {_day(until)}." if until else "."),
        )
    if states[day] in (EMPTY, FILLING) and before not in (EMPTY, FILLING):
        yield from _burial(work, label, day, failed=before == FAILED)


def _burial(work: Work, label: str, day: int, failed: bool) -> Iterator[Entry]:
    case = work.case
    date = case.date(case.first + day)
    ready = "" if not failed else " It did not turn sour: follow the rules for failed ones."
    if case.site.ground.none:
        text = f"Tip {label} into the tub and mix with soil; wash the vessel."
    else:
        length = middle(range_of(work.burying.trench_m, "m"), work.system)
        text = f"Bury {label} in {length} of trench, mixed and covered; wash the vessel."
    yield Entry(date=date, kind="bury", vessel=label, text=text + ready)
    wait = float(np.median(waits(case, np.array([case.first + day]))))
    sow = date + dt.timedelta(days=int(np.ceil(wait)))
    yield Entry(
        date=sow,
        kind="plant",
        vessel=label,
        text=f"From now on the place where {_day(date)}'s ferment lies may be sown or planted, "
        "if it smells of earth.",
    )


def _by_month(work: Work, year: Year) -> Iterator[Entry]:
    """Counts for a place with many vessels, one line a month."""
    case = work.case
    month = case.dates[case.planned].astype("datetime64[M]")
    began = (np.diff(year.turned.state[0], axis=1, prepend=EMPTY) != 0) & (
        year.turned.state[0] == FILLING
    )
    for name in np.unique(month):
        mine = month == name
        begun = int(began[:, mine].sum())
        buried = int(year.turned.buried_vessels[0, mine].sum())
        date = max(name.astype("datetime64[D]").astype(dt.date), case.date(case.first))
        verb = "tip into the tub" if case.site.ground.none else "bury"
        if begun or buried:
            yield Entry(
                date=date,
                kind="start",
                vessel=work.chosen.vessel.name,
                text=f"This month: begin about {begun}, {verb} about {buried} vessels.",
            )


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
            text=f"Drain every {every} days ({season}): {amount} from all vessels together; "
            "use it the same day.",
        )


def _season_starts(work: Work) -> Iterator[tuple[str, int]]:
    case = work.case
    names = [case.season_on(day) for day in range(case.first, case.first + YEAR_DAYS)]
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
        yield Entry(
            date=first,
            kind="bran",
            text=f"Have {amount} of inoculated bran ready for the next {len(part)} months.",
        )


def _closures(blocked: tuple[Blocked, ...]) -> Iterator[Entry]:
    for stop in blocked:
        if stop.kind == "closed":
            yield Entry(
                date=stop.start,
                until=stop.end,
                kind="closed",
                text=f"{_upper(stop.name)}: drain before you leave, press, cover, close; "
                "a closed vessel waits some weeks.",
            )


def _frost(work: Work, year: Year) -> Iterator[Entry]:
    """A warning before each long time in which the ground takes nothing."""
    for stop in year.blocked:
        days = (stop.end - stop.start).days + 1
        if stop.kind == "closed" or days < _LONG:
            continue
        eve = stop.start - dt.timedelta(days=1)
        if eve >= work.case.date(work.case.first):
            yield Entry(
                date=eve,
                kind="last_burial",
                text=f"Last burial before {stop.name}: empty every vessel that is ready.",
            )
        yield Entry(
            date=stop.start,
            until=stop.end,
            kind="hold",
            text=f"{_upper(stop.name)}: ready vessels stay closed and wait.",
        )


def _refusals(work: Work, year: Year) -> Iterator[Entry]:
    refused = year.turned.refused_kg[0] > 0
    for first, last in _stretches(refused):
        yield Entry(
            date=work.case.date(work.case.first + first),
            until=work.case.date(work.case.first + last),
            kind="no_room",
            text="Every vessel is full: the scraps must go elsewhere for this time.",
        )


def _stretches(flags: np.ndarray) -> list[tuple[int, int]]:
    return [(a, b) for a, b in runs(flags) if flags[a]]


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]


def _day(date: dt.date | None) -> str:
    return "" if date is None else f"{date.day} {date:%B}"
