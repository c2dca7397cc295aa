"""What was reckoned for a place and still holds: kept in this process, renewed vessel by vessel.

A place's due list asks every vessel. Between two entries almost none of them changes, and the
store gives the very same object for a vessel that did not: so its work, its stage and its drawing
are kept beside that object and used again until the vessel, its forecast, the beds or the day is
another.
"""

from __future__ import annotations

import datetime as dt
import threading
from collections import OrderedDict
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from operator import is_

from sourloam.ledger.due_bran import due_bran, due_recalled
from sourloam.ledger.due_place import due_in
from sourloam.ledger.due_vessel import begin, due_at, stage_on
from sourloam.ledger.state import PlaceState, VesselState
from sourloam.ledger.work import URGENCIES, WORK, Due, Question
from sourloam.web.place.slips import Visit, visits
from sourloam.web.vessel.foresight import Foresight

_PLACES = 200
_DAYS = 14
_BRAN_MINUTES = 10  # the stock of bran is reckoned over all layers: not at every entry


@dataclass
class OfVessel:
    """What holds for one vessel; ``drawings`` by language."""

    vessel: VesselState
    foreseen: Foresight | None
    setting: tuple[object, ...]
    dues: list[Due]
    stage: str
    drawings: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Known:
    """What holds for one place on one day: its vessels by id, and its work in order."""

    vessels: Mapping[str, OfVessel] = field(default_factory=dict)
    dues: tuple[Due, ...] = ()

    @cached_property
    def visits(self) -> tuple[Visit, ...]:
        """The work, what belongs to one visit together."""
        return tuple(visits(self.dues))


@dataclass
class _OfPlace:
    """What is kept of one place."""

    stamp: tuple[object, ...] = ()
    made: Mapping[str, dt.datetime] = field(default_factory=dict)
    foreseen: Mapping[str, Foresight] = field(default_factory=dict)
    known: Known = field(default_factory=Known)
    reckoned: tuple[object, ...] = ()
    held: tuple[object, ...] = ()  # so that no other object takes the id of one in ``reckoned``
    bran: tuple[dt.datetime, tuple[object, ...], float, list[Due]] | None = None
    lock: threading.Lock = field(default_factory=threading.Lock)


_kept: OrderedDict[str, _OfPlace] = OrderedDict()
_lock = threading.Lock()


def of_place(place: str) -> _OfPlace:
    """What is kept of a place."""
    with _lock:
        found = _kept.setdefault(place, _OfPlace())
        _kept.move_to_end(place)
        while len(_kept) > _PLACES:
            _kept.popitem(last=False)
        return found


Made = Mapping[str, dt.datetime]
Load = Callable[[Collection[str]], Mapping[str, Foresight]]


def foreseen_of(
    place: str, stamp: tuple[object, ...], made: Callable[[], Made], load: Load
) -> Mapping[str, Foresight]:
    """Forecasts of a place. Only if ``stamp`` is another than last time, ``made`` is asked when
    each was made, and ``load`` for those that are new."""
    kept = of_place(place)
    with kept.lock:
        if kept.stamp != stamp:
            kept.foreseen, kept.made = _brought_up(kept, made(), load)
            kept.stamp = stamp
        return kept.foreseen


def _brought_up(kept: _OfPlace, made: Made, load: Load) -> tuple[Mapping[str, Foresight], Made]:
    """A forecast that says the same as before stays the very same object."""
    fresh = [vessel for vessel, at in made.items() if kept.made.get(vessel) != at]
    found = {vessel: kept.foreseen[vessel] for vessel in made if vessel in kept.foreseen}
    for vessel, one in (load(fresh) if fresh else {}).items():
        if found.get(vessel) != one:
            found[vessel] = one
    return found, {vessel: made[vessel] for vessel in found}


def reckon(
    place: str, state: PlaceState, foreseen: Mapping[str, Foresight], today: dt.date
) -> Known:
    """Work of the coming two weeks and what every vessel is today."""
    kept = of_place(place)
    now = (id(state), id(foreseen), today)
    with kept.lock:
        if kept.reckoned != now:
            kept.known = _renewed(kept, state, foreseen, today)
            kept.reckoned = now
            kept.held = (state, foreseen)
        return kept.known


def _renewed(
    kept: _OfPlace, state: PlaceState, foreseen: Mapping[str, Foresight], today: dt.date
) -> Known:
    question = Question(state, state.site(), foreseen, today, _DAYS)
    setting = (_told(state, today), *state.beds)
    vessels = {v.id: _of_vessel(kept, v, question, setting) for v in state.vessels}
    dues = [due for one in vessels.values() for due in one.dues]
    dues += begin(state.vessels, question)
    dues += [due for bed in state.beds for due in due_in(bed, question)]
    dues += due_recalled(question)
    dues += _bran(kept, question)
    near = (due for due in dues if due.on <= question.last)
    return Known(vessels, tuple(sorted(near, key=_order)))


def _told(state: PlaceState, today: dt.date) -> tuple[object, ...]:
    """The day, and which entries describe the place and its measures: these are read anew often,
    so that the entry tells whether they are the same."""
    described, measures = state.stores.described, state.stores.measures
    recalled = (lot.id for lot in state.lots if lot.recalled is not None)
    return today, described and described.entry, *(record.entry for record in measures), *recalled


def _order(due: Due) -> tuple[int, dt.date, int, str, str]:
    """The ledger's own order: the most pressing first."""
    return URGENCIES.index(due.urgency), due.on, WORK.index(due.what), due.name, due.key


def _of_vessel(
    kept: _OfPlace, vessel: VesselState, question: Question, setting: tuple[object, ...]
) -> OfVessel:
    foreseen = question.forecasts.get(vessel.id)
    assert foreseen is None or isinstance(foreseen, Foresight)
    before = kept.known.vessels.get(vessel.id)
    if (
        before is not None
        and before.vessel is vessel
        and before.foreseen is foreseen
        and _alike(before.setting, setting)
    ):
        return before
    stage: str = stage_on(vessel, foreseen, question)
    if vessel.turn is None and vessel.dirty:
        stage = "dirty"
    return OfVessel(vessel, foreseen, setting, list(due_at(vessel, question)), stage)


def _alike(one: tuple[object, ...], other: tuple[object, ...]) -> bool:
    """The same day and description, and the very same beds."""
    return len(one) == len(other) and one[0] == other[0] and all(map(is_, one[1:], other[1:]))


def _bran(kept: _OfPlace, question: Question) -> list[Due]:
    """Work on bran; where some is told, with what is left, every layer counts at once."""
    now, told, used = dt.datetime.now(dt.UTC), _told_of_bran(question), question.place.bran_used_g
    if kept.bran is not None:
        made, known, used_then, found = kept.bran
        fresh = now - made < dt.timedelta(minutes=_BRAN_MINUTES)
        if known == told and fresh and (not found or used == used_then):
            return found
    found = list(due_bran(question))
    kept.bran = (now, told, used, found)
    return found


def _told_of_bran(question: Question) -> tuple[object, ...]:
    """The day, and the entries on bran and on the place: where no work on bran is told, a few
    minutes of layers make no odds."""
    stores = question.place.stores
    records = (*stores.bran_in, *stores.bran_log, *stores.bran_ordered, *stores.bran_ways)
    described = stores.described
    entries = (r.entry for r in records)
    return question.today, described and described.entry, question.place.warnings, *entries
