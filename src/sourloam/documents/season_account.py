"""A place's season summed up from its log: scraps by week with ranges, turns, liquid, burials."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any
from uuid import UUID

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import book
from sourloam.ledger import PlaceState
from sourloam.ledger.amounts import (
    AmountError,
    SharedErrors,
    evidence_ids,
    masses_kg,
    usual_mix,
)
from sourloam.ledger.bodies import Amount, Buried, Drained, Fed, Rescued
from sourloam.ledger.state import BedState, Record, Turn, VesselState
from sourloam.numerics import Range

Floats = NDArray[np.float64]
Span = tuple[dt.date, dt.date, str]
_MEMBERS, _SEED = 400, 1
_MOST_DAYS = 366
_WEEK = dt.timedelta(days=7)


@dataclass(frozen=True)
class Account:
    """What the log tells of the days ``first`` to ``last``, both included."""

    state: PlaceState
    first: dt.date
    last: dt.date

    def within(self, day: dt.date) -> bool:
        """Whether a day belongs to the season."""
        return self.first <= day <= self.last

    @cached_property
    def turns(self) -> tuple[tuple[VesselState, Turn], ...]:
        """Fillings of which some part lies in the season."""
        return tuple(
            (vessel, turn)
            for vessel in self.state.vessels
            for turn in vessel.turns
            if turn.began.day <= self.last and (turn.ended is None or turn.ended.day >= self.first)
        )

    @cached_property
    def layers(self) -> tuple[Record[Fed], ...]:
        """Layers of the season in order."""
        return tuple(layer for layer in self.state.layers() if self.within(layer.day))

    @cached_property
    def weighed(self) -> tuple[tuple[Record[Fed], Floats], ...]:
        """Layers whose mass can be told, each with its possible masses, kg (members,)."""
        drawn = book().sample(evidence_ids(), _MEMBERS, np.random.default_rng(_SEED))
        rng = np.random.default_rng(_SEED)
        shared = SharedErrors(drawn, rng)
        usual = usual_mix(self.state.site())
        found = []
        for layer in self.layers:
            amount = layer.body.amount
            measure = None if amount.measure is None else self.state.measure(amount.measure)
            try:
                mass = masses_kg(amount, layer.body.kinds or usual, measure, drawn, rng)
            except AmountError:
                continue
            found.append((layer, mass * shared.times(amount, layer.by)))
        return tuple(found)

    @property
    def total(self) -> Range:
        """Scraps of the season."""
        return _range(sum((mass for _layer, mass in self.weighed), np.zeros(_MEMBERS)))

    def by_week(self) -> Iterator[tuple[dt.date, Range]]:
        """Scraps of each week from its Monday, weeks without a layer too."""
        monday = self.first - dt.timedelta(days=self.first.weekday())
        sums: dict[dt.date, Floats] = {}
        for layer, mass in self.weighed:
            start = layer.day - dt.timedelta(days=layer.day.weekday())
            sums[start] = sums.get(start, np.zeros(_MEMBERS)) + mass
        while monday <= self.last:
            yield monday, _range(sums.get(monday, np.zeros(_MEMBERS)))
            monday += _WEEK

    @property
    def ways(self) -> Counter[str]:
        """How many layers were told in each way."""
        return Counter(way_of(layer.body.amount) for layer, _mass in self.weighed)

    @property
    def widest_way(self) -> str:
        """The way of telling that brings most of the total's range."""
        sums: dict[str, Floats] = {}
        for layer, mass in self.weighed:
            way = way_of(layer.body.amount)
            sums[way] = sums.get(way, np.zeros(_MEMBERS)) + mass
        return max(sums, key=lambda way: float(np.var(sums[way])), default="weighed")

    @property
    def bran_kg(self) -> float:
        """Bran that was written down, kg."""
        return sum(layer.body.bran_g or 0.0 for layer in self.layers) / 1000

    @property
    def drains(self) -> list[Record[Drained]]:
        """Drainings of the season."""
        every = (drain for _vessel, turn in self.turns for drain in turn.drains)
        return [drain for drain in every if self.within(drain.day)]

    @property
    def burials(self) -> list[Record[Buried]]:
        """Burials of the season in order."""
        every = {r.entry: r for bed in self.state.beds for r in bed.burials if self.within(r.day)}
        return sorted(every.values(), key=lambda r: (r.at, r.entry))

    @property
    def failed(self) -> list[tuple[VesselState, Turn]]:
        """Fillings that were judged failed."""
        return [(v, t) for v, t in self.turns if t.verdict == "failed"]

    @property
    def rescues(self) -> list[tuple[str, Record[Rescued]]]:
        """Help that was sought, with the name of what it was sought for."""
        things: list[VesselState | BedState] = [*self.state.vessels, *self.state.beds]
        found: dict[UUID, tuple[str, Record[Any]]] = {
            record.entry: (thing.name, record)
            for thing in things
            for record in thing.log
            if record.kind == "rescued" and self.within(record.day)
        }
        return sorted(found.values(), key=lambda pair: (pair[1].at, pair[1].entry))


def account(state: PlaceState, today: dt.date) -> Account:
    """The season up to ``today``: since the first layer, a year at most."""
    days = [layer.day for layer in state.layers() if layer.day <= today]
    first = max(min(days, default=today), today - dt.timedelta(days=_MOST_DAYS - 1))
    return Account(state, first, today)


def way_of(amount: Amount) -> str:
    """How a layer was told: weighed, litres or bowls."""
    if amount.mass_kg is not None:
        return "weighed"
    return "litres" if amount.volume_l is not None else "bowls"


def spans(turn: Turn, today: dt.date) -> list[Span]:
    """Days on which a vessel was filling, resting, ready or failed, as the log tells."""
    end = turn.ended.day if turn.ended is not None else today
    closed = min(turn.set_aside.day, end) if turn.set_aside is not None else end
    judged = [record for record in turn.judgements if record.day <= end]
    found: list[Span] = [(turn.began.day, closed, "filling")]
    if not judged:
        return [*found, (closed, end, "resting")]
    day = max(judged[-1].day, closed)
    state = "failed" if judged[-1].body.verdict == "failed" else "ready"
    return [*found, (closed, day, "resting"), (day, end, state)]


def share_by(drains: Iterable[Record[Drained]]) -> dict[str, float]:
    """Liquid by where it went, mL."""
    found: dict[str, float] = {}
    for drain in drains:
        found[drain.body.use] = found.get(drain.body.use, 0.0) + drain.body.volume_ml
    return dict(sorted(found.items(), key=lambda pair: -pair[1]))


def _range(members: Floats) -> Range:
    low, median, high = (float(x) for x in np.percentile(members, (10, 50, 90)))
    return Range(median=median, low=low, high=high, unit="kg")
