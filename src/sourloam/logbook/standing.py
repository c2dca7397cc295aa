"""What follows from the entries of a place, kept in this process and brought up to date.

The first reading folds all entries of a place; later ones fold anew only the vessels and beds
that new entries, or the chains they belong to, are filed under. The entries themselves are not
kept. What is kept is bounded by the number of entries behind it.
"""

from __future__ import annotations

import threading
from collections import OrderedDict
from dataclasses import dataclass, field
from typing import TypeVar
from zoneinfo import ZoneInfo

from django.db.models import Max

from sourloam import ledger
from sourloam.ledger.fold import assemble, fold, fold_bed, fold_stores, fold_vessel
from sourloam.ledger.state import BedState, PlaceState, VesselState
from sourloam.ledger.vessel_fold import extended
from sourloam.logbook.filing import PLACE, things_of
from sourloam.logbook.models import Entry, Filing, Place
from sourloam.logbook.models.entry import COLUMNS, read_row

_MOST_ENTRIES = 600_000  # behind all places that are kept at once; each takes about 2 kB
_MANY = 200  # so many new entries are folded all together
_BATCH = 2000


@dataclass
class _Kept:
    """A place as this process last saw it."""

    seq: int = 0
    hash: str = ""
    state: PlaceState = field(default_factory=PlaceState)
    lock: threading.Lock = field(default_factory=threading.Lock)


_kept: OrderedDict[tuple[str, str], _Kept] = OrderedDict()
_lock = threading.Lock()


def state_of(place: str, zone: str) -> tuple[PlaceState, int]:
    """The state of a place and the number of its last entry: one query, a few after news."""
    return state_at(place, zone, *_newest(place))


def state_at(place: str, zone: str, seq: int, last_hash: str) -> tuple[PlaceState, int]:
    """The same where the place's row was read just now: no query unless there is news.

    Where other threads brought the state further in the meantime, it is the further one.
    """
    kept = _keeper((place, zone))
    with kept.lock:
        if (kept.seq, kept.hash) != (seq, last_hash):
            seq, last_hash = _newest(place)  # what was read before may be old by now
        if (kept.seq, kept.hash) != (seq, last_hash):
            _bring_up(kept, place, ZoneInfo(zone))
            _make_room()
        return kept.state, kept.seq


def is_up(place: str, sort: str, name: str) -> bool:
    """Whether this process knows, without asking the store, that a vessel or a bed was put up."""
    with _lock:
        states = [kept.state for (one, _zone), kept in _kept.items() if one == place]
    things = (s.vessels if sort == "vessel" else s.beds for s in states)
    return any(t.id == name and t.added is not None for some in things for t in some)


def _newest(place: str) -> tuple[int, str]:
    rows = Place.objects.filter(pk=place).values_list("last_seq", "last_hash")
    return rows.first() or (0, "")


def forget() -> None:
    """Drop all that is kept; for tests and after a restore."""
    with _lock:
        _kept.clear()


def warm() -> int:
    """Fold the places that were written to last, as many as may be kept, so that the first page
    after a start need not wait for them; how many places that were."""
    number = total = 0
    newest = Place.objects.filter(last_seq__gt=0).annotate(news=Max("entries__received_at"))
    for place in newest.order_by("-news"):
        total += place.last_seq
        if total > _MOST_ENTRIES:
            break
        state_at(place.pk, place.zone, place.last_seq, place.last_hash)
        number += 1
    return number


def read_entries(place: str, thing: str | None = None) -> list[ledger.Entry]:
    """Entries of a place as the ledger reads them, in the order in which they came; only those
    filed under ``thing`` (``vessel:ID``, ``bed:ID``, ``place``) where given."""
    if thing is None:
        every = Entry.objects.filter(place_id=place).order_by("seq").values_list(*COLUMNS)
        return [read_row(row) for row in every.iterator(_BATCH)]
    # From the filing: asked the other way, a store goes through all of the place.
    filed = Filing.objects.filter(place_id=place, thing=thing).order_by("entry__seq")
    rows = filed.values_list(*(f"entry__{column}" for column in COLUMNS))
    return [read_row(row) for row in rows.iterator(_BATCH)]


def _keeper(key: tuple[str, str]) -> _Kept:
    with _lock:
        kept = _kept.setdefault(key, _Kept())
        _kept.move_to_end(key)
        return kept


def _make_room() -> None:
    """Let go of the places that were asked for longest ago, where there is too much."""
    with _lock:
        total = sum(one.seq for one in _kept.values())
        while total > _MOST_ENTRIES and len(_kept) > 1:
            total -= _kept.popitem(last=False)[1].seq


def _bring_up(kept: _Kept, place: str, zone: ZoneInfo) -> None:
    """Fold what is new; all of it if the entries kept are not those of this store any more,
    because it was set back."""
    rows = Entry.objects.filter(place_id=place, seq__gte=kept.seq).order_by("-seq")
    new = list(rows.values_list("seq", "hash", *COLUMNS)[: _MANY + 1])
    if not new:
        kept.seq, kept.hash, kept.state = 0, "", PlaceState()
        return
    if kept.seq and new[-1][:2] == (kept.seq, kept.hash):
        kept.state = _renewed(kept.state, place, [read_row(row[2:]) for row in new[:-1]], zone)
    else:
        kept.state = fold(read_entries(place), zone)
    kept.seq, kept.hash = new[0][:2]


def _renewed(
    state: PlaceState, place: str, fresh: list[ledger.Entry], zone: ZoneInfo
) -> PlaceState:
    """Only what the fresh entries, and all of their chains, are about."""
    stores = state.stores
    vessels = {vessel.id: vessel for vessel in state.vessels}
    beds = {bed.id: bed for bed in state.beds}
    for thing, alone in _touched(fresh).items():
        sort, _colon, name = thing.partition(":")
        if sort == "vessel":
            known = extended(vessels[name], alone, zone) if name in vessels else None
            _put(vessels, known or fold_vessel(name, read_entries(place, thing), zone))
        elif sort == "bed":
            _put(beds, fold_bed(name, read_entries(place, thing), zone))
        else:
            stores = fold_stores(read_entries(place, thing), zone)
    return assemble(stores, vessels.values(), beds.values())


def _touched(fresh: list[ledger.Entry]) -> dict[str, list[ledger.Entry]]:
    """What fresh entries are filed under, each with those of them that are about it; with none
    where something hangs in a chain, so that all about it must be gone through."""
    ids = [entry.id for entry in fresh]
    above = Entry.objects.filter(supersedes__in=ids)
    if any(entry.supersedes for entry in fresh) or above.exists():
        filed = Filing.objects.filter(entry_id__in=ids).values_list("thing", flat=True)
        return {thing: [] for thing in filed}
    found: dict[str, list[ledger.Entry]] = {}
    for entry in fresh:
        for thing in things_of(entry) or (PLACE,):
            found.setdefault(thing, []).append(entry)
    return found


_Thing = TypeVar("_Thing", VesselState, BedState)


def _put(things: dict[str, _Thing], folded: _Thing) -> None:
    """Nothing is left of a thing whose every entry was moved elsewhere or taken out."""
    if folded.log or folded.conflicts or folded.oddities:
        things[folded.id] = folded
    else:
        things.pop(folded.id, None)
