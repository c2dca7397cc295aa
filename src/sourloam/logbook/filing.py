"""Filing: every entry under the things that it, or an entry of its chain, is about."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from uuid import UUID

from sourloam import ledger
from sourloam.logbook.models import Entry, Filing

PLACE = "place"
_THINGS = ("vessel", "bed")
_MANY = 500  # rows asked for or written at once


def things_of(entry: ledger.Entry) -> frozenset[str]:
    """Under what an entry goes by itself: its vessels and beds, else the place."""
    found = frozenset(f"{sort}:{name}" for sort, name in entry.things if sort in _THINGS)
    if found or entry.kind == "struck":
        return found
    return frozenset({PLACE})


def file_entries(place: str, entries: Sequence[ledger.Entry]) -> None:
    """File newly stored entries of a place, and with them those that supersede or are superseded
    by one of them: all of a chain under all its things."""
    links = {entry.id: entry.supersedes for entry in entries}
    under = {entry.id: set(things_of(entry)) for entry in entries}
    for name, thing in _filed(_hanging(place, links)):
        under.setdefault(name, set()).add(thing)
    rows: list[Filing] = []
    for chain in chains(links):
        things = set().union(*(under.get(name, ()) for name in chain))
        rows += _rows(place, things or {PLACE}, chain)  # none: a struck whose entry has not come
    Filing.objects.bulk_create(rows, ignore_conflicts=True, batch_size=_MANY)


def _hanging(place: str, links: dict[UUID, UUID | None]) -> list[UUID]:
    """Ids of stored entries in chains with those of ``links`` and not among them; ``links``, what
    each entry supersedes, gets them too."""
    stored = Entry.objects.filter(place_id=place)
    older: list[UUID] = []
    ahead = dict(links)
    while ahead:
        ups = [up for up in ahead.values() if up is not None and up not in links]
        asked = (("pk__in", ups), ("supersedes__in", [*ahead, *ups]))
        ahead = {
            name: up
            for field, ids in asked
            for part in _parts(ids)
            for name, up in stored.filter(**{field: part}).values_list("id", "supersedes")
            if name not in links
        }
        links.update(ahead)
        older += ahead
    return older


def chains(links: Mapping[UUID, UUID | None]) -> list[set[UUID]]:
    """Entries that hang together, from what each supersedes, be that here or not."""
    chain_of: dict[UUID, set[UUID]] = {}
    for name, up in links.items():
        ends = [chain_of.setdefault(one, {one}) for one in (name, up) if one is not None]
        small, large = min(ends, key=len), max(reversed(ends), key=len)
        if small is not large:
            large |= small
            chain_of.update(dict.fromkeys(small, large))
    whole = {id(chain): chain for chain in chain_of.values()}
    return [chain & links.keys() for chain in whole.values()]


def _filed(ids: Sequence[UUID]) -> Iterator[tuple[UUID, str]]:
    """Asked by the entries alone: with their place a store goes through all that is filed there."""
    for part in _parts(ids):
        rows = Filing.objects.filter(entry_id__in=part)
        yield from rows.values_list("entry_id", "thing")


def _parts(ids: Sequence[UUID]) -> Iterator[Sequence[UUID]]:
    return (ids[start : start + _MANY] for start in range(0, len(ids), _MANY))


def kinds_in_chain(entry: ledger.Entry) -> tuple[str, ...]:
    """Kinds of the stored entries that this one would hang together with, sorted."""
    chain = _hanging(entry.place, {entry.id: entry.supersedes})
    rows = Entry.objects.filter(place_id=entry.place, pk__in=chain)
    return tuple(sorted(set(rows.values_list("kind", flat=True))))


def _rows(place: str, things: Iterable[str], entries: Iterable[UUID]) -> list[Filing]:
    ids = list(entries)
    return [
        Filing(place_id=place, thing=thing, entry_id=i) for thing in sorted(things) for i in ids
    ]
