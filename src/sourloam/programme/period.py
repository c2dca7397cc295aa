"""A programme's figures for some months only, and how many places are still at it after some."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace

from sourloam.programme.drawn import Drawn
from sourloam.programme.facts import PlaceFacts
from sourloam.programme.figures import Deed, Figures, figures

AFTER_MONTHS = (6, 12, 24)  # method: what those who pay ask for
_YEAR = 12  # method: months


@dataclass(frozen=True)
class Period:
    """Whole months, by the first days of the first and the last one; None: as far as it goes."""

    first: dt.date | None = None
    last: dt.date | None = None

    @property
    def whole(self) -> bool:
        """Whether everything is meant."""
        return self.first is None and self.last is None

    def holds(self, day: dt.date) -> bool:
        """Whether a day lies within."""
        month = day.replace(day=1)
        return (self.first is None or month >= self.first) and (
            self.last is None or month <= self.last
        )


@dataclass(frozen=True)
class Stay:
    """A place in a programme: since when, and the months (first days) in which scraps came."""

    joined: dt.date
    months: tuple[dt.date, ...]


@dataclass(frozen=True)
class Stayed:
    """Of so many places that joined long enough ago, those with scraps after that many months."""

    after: int
    places: int
    active: int


def figures_within(
    places: Sequence[PlaceFacts],
    deeds: Sequence[Deed],
    today: dt.date,
    sample: Drawn,
    period: Period,
) -> Figures:
    """Figures of a period. How many vessels were emptied in it is None as long as a place's facts
    do not tell the day of each."""
    told = [facts_within(one, period) for one in places]
    found = figures(told, deeds_within(deeds, period), today, sample)
    known = all(len(one.ended) == one.sound + one.failed for one in places)
    return found if known else replace(found, emptied=None)


def deeds_within(deeds: Sequence[Deed], period: Period) -> list[Deed]:
    """Lines of a period."""
    return [one for one in deeds if period.holds(one.day)]


def facts_within(facts: PlaceFacts, period: Period) -> PlaceFacts:
    """A place's scraps and emptied vessels of a period; how they were measured is told for all
    its months together, so each way keeps its share. What it does not tell by day stays whole."""
    if period.whole:
        return facts
    months = {
        month: kg
        for month, kg in facts.kg_by_month.items()
        if period.holds(dt.date.fromisoformat(month))
    }
    every = sum(facts.kg_by_month.values())
    share = sum(months.values()) / every if every else 0.0
    return replace(
        facts,
        kg_by_month=months,
        kg_by_way={way: kg * share for way, kg in facts.kg_by_way.items()},
        ended=tuple(one for one in facts.ended if period.holds(one.on)),
    )


def stayed(stays: Sequence[Stay], today: dt.date) -> tuple[Stayed, ...]:
    """Who put scraps into a vessel in the sixth month after it joined or later, and so on. Only
    places whose month is over count, and only spans that some place has lived through."""
    found = []
    for after in AFTER_MONTHS:
        due = [(stay, _later(stay.joined, after)) for stay in stays]
        old = [(stay, month) for stay, month in due if month < today.replace(day=1)]
        active = sum(any(one >= month for one in stay.months) for stay, month in old)
        if old:
            found.append(Stayed(after, len(old), active))
    return tuple(found)


def _later(day: dt.date, months: int) -> dt.date:
    """The first day of the month so many months later."""
    years, month = divmod(day.month - 1 + months, _YEAR)
    return dt.date(day.year + years, month + 1, 1)
