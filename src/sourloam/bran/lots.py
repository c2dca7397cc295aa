"""Lots of inoculated bran: traced both ways, stock against demand, when to start the next.

An event says that something happened to a lot. What a lot is now, where it went and which
vessels it fed follows from the list of events, in whatever order they are given.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import fsum
from typing import Literal, get_args

Kind = Literal[
    "made", "bought", "dried", "tested", "packed", "handed_out", "used", "discarded", "recalled"
]
KINDS: tuple[str, ...] = get_args(Kind)
_INTO_STOCK = ("made", "bought")
_OUT_OF_STOCK = ("handed_out", "used", "discarded")
_TINY_KG = 1e-9  # method: rounding of sums


@dataclass(frozen=True)
class LotEvent:
    """One thing that happened to a lot.

    ``mass_kg`` is dry bran. ``made`` may name the lots it was started from (``of_lots``);
    ``handed_out`` and ``used`` name the ``place`` it went to; ``used`` also the ``vessel``. An
    event at a place that handed nothing out belongs to the store (``place`` empty).
    """

    kind: Kind
    day: dt.date
    lot: str
    mass_kg: float = 0.0
    place: str = ""
    vessel: str = ""
    of_lots: tuple[str, ...] = ()
    note: str = ""

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            raise ValueError(f"{self.kind}: no such event; choose from {', '.join(KINDS)}")
        if not self.lot:
            raise ValueError(f"{self.kind} on {self.day}: name the lot")
        if not 0 <= self.mass_kg < float("inf"):
            raise ValueError(f"{self.lot}: mass {self.mass_kg:g} kg; give 0 or more")
        if self.kind == "used" and not self.vessel:
            raise ValueError(f"{self.lot}: used in which vessel?")
        if self.kind == "handed_out" and not self.place:
            raise ValueError(f"{self.lot}: handed out to which place?")


@dataclass(frozen=True)
class VesselTrace:
    """From a vessel to its lots (those they were started from included), and to all other
    vessels and places that had bran of these."""

    vessel: str
    lots: tuple[str, ...]
    started_from: tuple[str, ...]
    other_vessels: tuple[str, ...]
    places: tuple[str, ...]


@dataclass(frozen=True)
class LotTrace:
    """From a lot to every place and vessel that had of it, kg, to the lots started from it, and
    what is left in the store. ``recalled`` is the day of the recall."""

    lot: str
    started_from: tuple[str, ...]
    later_lots: tuple[str, ...]
    place_kg: tuple[tuple[str, float], ...]
    vessel_kg: tuple[tuple[str, float], ...]
    left_kg: float
    recalled: dt.date | None


@dataclass(frozen=True)
class Stocked:
    """Bran in store: kg of one lot and the last day it is good; ``times`` as much of it as the
    demand says is asked for, because it is weak."""

    lot: str
    mass_kg: float
    good_until: dt.date
    times: float = 1.0

    @property
    def worth_kg(self) -> float:
        """The demand that it covers."""
        return self.mass_kg / self.times


@dataclass(frozen=True)
class Outlook:
    """Stock against demand: the first day without good bran, the latest day to start a batch so
    that it is ready by then, and what grows too old unused. None beyond the days asked for."""

    runs_out: dt.date | None
    start_by: dt.date | None
    spoils_kg: float


def trace_vessel(events: Iterable[LotEvent], vessel: str) -> VesselTrace:
    """All lots behind a vessel, and whoever shares them."""
    known = tuple(events)
    lots = {e.lot for e in known if e.kind == "used" and e.vessel == vessel}
    before = _reached(lots, _parents(known)) - lots
    shared = _reached(lots | before, _children(known))
    others = {e.vessel for e in known if e.kind == "used" and e.lot in shared} - {vessel}
    places = {e.place for e in known if e.place and e.lot in shared}
    return VesselTrace(vessel, *(tuple(sorted(x)) for x in (lots, before, others, places)))


def trace_lot(events: Iterable[LotEvent], lot: str) -> LotTrace:
    """Where a lot went, what it came from, what came of it."""
    known = tuple(events)
    mine = [e for e in known if e.lot == lot]
    recalls = [e.day for e in mine if e.kind == "recalled"]
    return LotTrace(
        lot=lot,
        started_from=tuple(sorted(_reached({lot}, _parents(known)) - {lot})),
        later_lots=tuple(sorted(_reached({lot}, _children(known)) - {lot})),
        place_kg=_summed((e.place, e.mass_kg) for e in mine if e.kind == "handed_out"),
        vessel_kg=_summed((e.vessel, e.mass_kg) for e in mine if e.kind == "used"),
        left_kg=left_kg(known).get(lot, 0.0),
        recalled=min(recalls, default=None),
    )


def left_kg(events: Iterable[LotEvent]) -> dict[str, float]:
    """What is left of each lot in the store, kg; below 0 where more went out than came in.

    Bran used at a place that had some of the lot handed out to it left the store then.
    """
    known = tuple(events)
    served = {(e.lot, e.place) for e in known if e.kind == "handed_out"}
    moves: dict[str, list[float]] = {}
    for event in known:
        mine = moves.setdefault(event.lot, [])
        if event.kind in _INTO_STOCK:
            mine.append(event.mass_kg)
        elif event.kind in _OUT_OF_STOCK and not (
            event.kind == "used" and (event.lot, event.place) in served
        ):
            mine.append(-event.mass_kg)
    return {lot: fsum(masses) for lot, masses in moves.items()}


def outlook(
    stock: Sequence[Stocked], daily_kg: Sequence[float], today: dt.date, lead_days: int
) -> Outlook:
    """Use the lot that is first to grow old, day by day from ``today``.

    ``daily_kg`` is the demand of each day; ``lead_days`` from starting a batch until it can be
    used. A start that should have been already is told as ``today``.
    """
    lots = sorted(stock, key=lambda lot: lot.good_until)
    runs_out, spoils = None, 0.0
    for ahead, wanted in enumerate(daily_kg):
        day = today + dt.timedelta(days=ahead)
        spoils += sum(lot.mass_kg for lot in lots if lot.good_until < day)
        lots, missing = _used([lot for lot in lots if lot.good_until >= day], wanted)
        if missing > _TINY_KG:
            runs_out = day
            break
    start = None if runs_out is None else max(today, runs_out - dt.timedelta(days=lead_days))
    return Outlook(runs_out, start, spoils)


def _used(lots: Sequence[Stocked], wanted_kg: float) -> tuple[list[Stocked], float]:
    """What is left of the lots after a day's use, the first ones first, and what was missing."""
    left = []
    for lot in lots:
        taken = min(lot.mass_kg, wanted_kg * lot.times)
        wanted_kg -= taken / lot.times
        if lot.mass_kg - taken > _TINY_KG:
            left.append(replace(lot, mass_kg=lot.mass_kg - taken))
    return left, wanted_kg


def _parents(events: Sequence[LotEvent]) -> dict[str, set[str]]:
    found: dict[str, set[str]] = {}
    for event in events:
        found.setdefault(event.lot, set()).update(event.of_lots)
    return found


def _children(events: Sequence[LotEvent]) -> dict[str, set[str]]:
    found: dict[str, set[str]] = {}
    for event in events:
        for parent in event.of_lots:
            found.setdefault(parent, set()).add(event.lot)
    return found


def _reached(start: set[str], steps: dict[str, set[str]]) -> set[str]:
    """Everything that can be reached, the start included; a circle does no harm."""
    reached, open_ends = set(start), list(start)
    while open_ends:
        fresh = steps.get(open_ends.pop(), set()) - reached
        reached |= fresh
        open_ends.extend(fresh)
    return reached


def _summed(pairs: Iterable[tuple[str, float]]) -> tuple[tuple[str, float], ...]:
    found: dict[str, list[float]] = {}
    for name, mass in pairs:
        found.setdefault(name, []).append(mass)
    return tuple(sorted((name, fsum(masses)) for name, masses in found.items()))
