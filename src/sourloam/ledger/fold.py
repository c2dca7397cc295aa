"""The fold: from a set of entries to the state of a place, the same for any order of arrival.

``fold`` takes all entries of a place. ``fold_vessel``, ``fold_bed`` and ``fold_stores`` need only
the entries about their thing (see ``entries_about``), and ``assemble`` puts their results
together: a store may keep each result beside the number of the last entry that it saw, and after
a new entry fold anew only what that entry and its chain are about.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from typing import Any
from uuid import UUID

from sourloam.ledger.entries import Entry
from sourloam.ledger.sentences import Sentence, gettext_noop
from sourloam.ledger.state import BedState, PlaceState, Record, Stores, VesselState
from sourloam.ledger.supersession import Conflict, Oddity, Resolved, resolve
from sourloam.ledger.vessel_fold import dated_ahead, record_of, vessel_state

_BED_UNKNOWN = gettext_noop("Nobody has added this bed yet.")
_BED_SERIES = {
    "buried": "burials",
    "planted": "plantings",
    "harvested": "harvests",
    "liquid_fed": "liquids",
}
_STORES = {
    "measure_set": "measures",
    "bran_received": "bran_in",
    "bran_made": "bran_in",
    "bran_ordered": "bran_ordered",
    "bran_mixed": "bran_log",
    "bran_dried": "bran_log",
    "bran_packed": "bran_log",
    "bran_tested": "bran_log",
    "bran_handed_out": "bran_log",
    "bran_recalled": "bran_log",
    "bran_discarded": "bran_log",
    "bran_way_set": "bran_ways",
    "warmth_read": "warmths",
    "noted": "notes",
}


def fold(entries: Iterable[Entry], zone: dt.tzinfo = dt.UTC) -> PlaceState:
    """State of a place from all its entries; ``zone`` is the place's, for the days."""
    resolved = resolve(entries)
    parts: dict[tuple[str, str], list[Entry]] = {}
    for entry in resolved.counting:
        for thing in entry.things:
            parts.setdefault(thing, []).append(entry)
    odd = _by_thing(resolved.oddities)
    disputed = _by_thing(resolved.conflicts)

    def of(thing: tuple[str, str]) -> Resolved:
        return Resolved(
            tuple(parts.get(thing, ())),
            tuple(disputed.get(thing, ())),
            tuple(odd.get(thing, ())),
        )

    named = sorted({*parts, *disputed, *odd})
    return assemble(
        _stores(resolved, zone),
        [vessel_state(i, of((sort, i)), zone) for sort, i in named if sort == "vessel"],
        [_bed_state(i, of((sort, i)), zone) for sort, i in named if sort == "bed"],
    )


def _by_thing(found: tuple[Any, ...]) -> dict[tuple[str, str], list[Any]]:
    sorted_out: dict[tuple[str, str], list[Any]] = {}
    for one in found:
        for thing in one.things:
            sorted_out.setdefault(thing, []).append(one)
    return sorted_out


def fold_vessel(vessel_id: str, entries: Iterable[Entry], zone: dt.tzinfo = dt.UTC) -> VesselState:
    """State of one vessel from the entries about it, with those in a chain with one of them."""
    return vessel_state(vessel_id, resolve(entries), zone)


def fold_bed(bed_id: str, entries: Iterable[Entry], zone: dt.tzinfo = dt.UTC) -> BedState:
    """State of one bed from the entries about it, with those in a chain with one of them."""
    return _bed_state(bed_id, resolve(entries), zone)


def fold_stores(entries: Iterable[Entry], zone: dt.tzinfo = dt.UTC) -> Stores:
    """What belongs to the place as a whole; entries about vessels and beds may be left out."""
    return _stores(resolve(entries), zone)


def assemble(
    stores: Stores, vessels: Iterable[VesselState], beds: Iterable[BedState]
) -> PlaceState:
    """A place from its parts, with all that was found odd in any of them."""
    each = tuple(sorted(vessels, key=lambda v: v.id)), tuple(sorted(beds, key=lambda b: b.id))
    conflicts: dict[UUID, Conflict] = {}
    oddities: set[Oddity] = set()
    parts: list[VesselState | BedState | Stores] = [*each[0], *each[1], stores]
    for thing in parts:
        conflicts.update({c.over: c for c in thing.conflicts})
        oddities.update(thing.oddities)
    return PlaceState(
        stores,
        *each,
        tuple(conflicts[key] for key in sorted(conflicts)),
        tuple(sorted(oddities, key=lambda o: (o.at, o.entry, o.code))),
    )


def _bed_state(bed_id: str, resolved: Resolved, zone: dt.tzinfo) -> BedState:
    thing = ("bed", bed_id)
    series: dict[str, list[Record[Any]]] = {name: [] for name in _BED_SERIES.values()}
    log: list[Record[Any]] = []
    oddities = [o for o in resolved.oddities if thing in o.things]
    added: Record[Any] | None = None
    mine = [entry for entry in resolved.counting if thing in entry.things]
    for entry in mine:
        record = record_of(entry, zone)
        ahead = dated_ahead(entry)
        if ahead is not None and ahead.things == {thing}:
            oddities.append(ahead)
        log.append(record)
        if entry.kind == "bed_added":
            added = record
        elif entry.kind in _BED_SERIES:
            series[_BED_SERIES[entry.kind]].append(record)
    if mine and added is None:
        oddities.append(_unknown_bed(mine[0], thing))
    return BedState(
        bed_id,
        added,
        **{name: tuple(rows) for name, rows in series.items()},
        log=tuple(log),
        conflicts=tuple(c for c in resolved.conflicts if thing in c.things),
        oddities=tuple(oddities),
    )


def _unknown_bed(entry: Entry, thing: tuple[str, str]) -> Oddity:
    return Oddity("bed_unknown", Sentence(_BED_UNKNOWN), entry.id, entry.at, frozenset({thing}))


def _stores(resolved: Resolved, zone: dt.tzinfo) -> Stores:
    series: dict[str, list[Record[Any]]] = {name: [] for name in _STORES.values()}
    described: Record[Any] | None = None
    oddities = [o for o in resolved.oddities if not _elsewhere(o.things)]
    for entry in resolved.counting:
        if _elsewhere(entry.things):
            continue
        ahead = dated_ahead(entry)
        if ahead is not None:
            oddities.append(ahead)
        if entry.kind == "place_described":
            described = record_of(entry, zone)
        elif entry.kind in _STORES:
            series[_STORES[entry.kind]].append(record_of(entry, zone))
    newest = {record.body.measure: record for record in series["measures"]}
    series["measures"] = [newest[key] for key in sorted(newest)]
    return Stores(
        described,
        **{name: tuple(rows) for name, rows in series.items()},
        conflicts=tuple(c for c in resolved.conflicts if not _elsewhere(c.things)),
        oddities=tuple(oddities),
    )


def _elsewhere(things: Iterable[tuple[str, str]]) -> bool:
    """True for what a vessel or a bed already tells."""
    return any(sort in ("vessel", "bed") for sort, _ in things)
