"""What the reader's other places know of a place's lots of bran: recalled there, or failed."""

from __future__ import annotations

import datetime as dt
import threading
from collections import OrderedDict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from sourloam.ledger.lot_standing import warnings_of
from sourloam.ledger.lots import WarnedOf
from sourloam.ledger.state import PlaceState

_PLACES = 500


Warnings = Mapping[str, Sequence[tuple[str, WarnedOf]]]  # by lot, each with the place's id


@dataclass
class _Kept:
    """A place's warnings for others, and the place itself with those that it was given."""

    warns: tuple[PlaceState, str, dt.date, tuple[WarnedOf, ...]] | None = None
    told: tuple[PlaceState, PlaceState] | None = None


_kept: OrderedDict[str, _Kept] = OrderedDict()
_lock = threading.Lock()


def warnings(places: Iterable[tuple[str, str, PlaceState]], today: dt.date) -> Warnings:
    """What places, each with its id and name, warn of."""
    found: dict[str, list[tuple[str, WarnedOf]]] = {}
    for place, name, state in places:
        for one in _warns(place, name, state, today):
            found.setdefault(one.lot, []).append((place, one))
    return found


def told(place: str, state: PlaceState, known: Warnings) -> PlaceState:
    """The place with every warning of a lot that it has; the same object while nothing changes."""
    found = tuple(
        one for lot in state.lots for other, one in known.get(lot.id, ()) if other != place
    )
    if not found:
        return state
    kept = _of(place)
    if kept.told is None or kept.told[0] is not state or kept.told[1].warnings != found:
        kept.told = state, replace(state, warnings=found)
    return kept.told[1]


def _warns(place: str, name: str, state: PlaceState, today: dt.date) -> tuple[WarnedOf, ...]:
    kept = _of(place)
    known = kept.warns
    if known is None or known[0] is not state or known[1:3] != (name, today):
        made = warnings_of(state, state.site(), name, today)
        kept.warns = known = state, name, today, made
    return known[3]


def _of(place: str) -> _Kept:
    with _lock:
        kept = _kept.setdefault(place, _Kept())
        _kept.move_to_end(place)
        while len(_kept) > _PLACES:
            _kept.popitem(last=False)
        return kept
