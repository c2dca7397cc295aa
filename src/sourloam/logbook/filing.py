"""Filing: every entry under the things that it, or an entry of its chain, is about."""

from __future__ import annotations

from collections.abc import Iterable
from uuid import UUID

from sourloam import ledger
from sourloam.logbook.models import Entry, Filing

PLACE = "place"
_THINGS = ("vessel", "bed")


def things_of(entry: ledger.Entry) -> frozenset[str]:
    """Under what an entry goes by itself: its vessels and beds, else the place."""
    found = frozenset(f"{sort}:{name}" for sort, name in entry.things if sort in _THINGS)
    if found or entry.kind == "struck":
        return found
    return frozenset({PLACE})


def file_entry(entry: ledger.Entry) -> None:
    """File a newly stored entry, and with it those that supersede or are superseded by it."""
    chain = _chain(entry)
    things = set(things_of(entry))
    if len(chain) > 1:
        things.update(
            Filing.objects.filter(place_id=entry.place, entry_id__in=chain).values_list(
                "thing", flat=True
            )
        )
    things = things or {PLACE}  # a struck whose entry has not come yet
    Filing.objects.bulk_create(_rows(entry.place, things, chain), ignore_conflicts=True)


def kinds_in_chain(entry: ledger.Entry) -> tuple[str, ...]:
    """Kinds of the stored entries that this one would hang together with, sorted."""
    rows = Entry.objects.filter(place_id=entry.place, pk__in=_chain(entry))
    return tuple(sorted(set(rows.values_list("kind", flat=True))))


def _rows(place: str, things: Iterable[str], entries: Iterable[UUID]) -> list[Filing]:
    ids = list(entries)
    return [
        Filing(place_id=place, thing=thing, entry_id=i) for thing in sorted(things) for i in ids
    ]


def _chain(entry: ledger.Entry) -> set[UUID]:
    """Ids of all stored entries that hang together with this one, itself included."""
    found, ahead = {entry.id}, [entry.id]
    stored = Entry.objects.filter(place_id=entry.place)
    if entry.supersedes is not None:
        ahead.append(entry.supersedes)
    while ahead:
        links = [
            *stored.filter(pk__in=ahead).values_list("id", "supersedes"),
            *stored.filter(supersedes__in=ahead).values_list("id", "supersedes"),
        ]
        new = {one for one, _up in links} - found
        found |= new
        ahead = [*new, *(up for one, up in links if up is not None and up not in found)]
        if not new:
            break
    return found
