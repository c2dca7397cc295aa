"""Whether what is kept is what was written, and what follows from it is what is shown."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from django.db import Error, connection

from sourloam import ledger
from sourloam.ledger.fold import fold_bed, fold_stores
from sourloam.logbook import unwritten
from sourloam.logbook.chain import first_break
from sourloam.logbook.models import Entry, Filing, Photo, Place
from sourloam.logbook.photos import path_of
from sourloam.logbook.standing import read_entries


@dataclass(frozen=True)
class Finding:
    """One thing that is not as it should be: where, and what."""

    where: str
    what: str


def check(say: Callable[[str], None] = lambda _line: None) -> Iterator[Finding]:
    """Everything that is wrong; nothing if all is well. Reads all, changes nothing."""
    yield from _read("database", _database())
    yield from _read("database", _places(say))
    yield from _read("photos", _photos(say))


def _read(where: str, findings: Iterator[Finding]) -> Iterator[Finding]:
    """The findings; a torn file, which can't be read on, is one too."""
    try:
        yield from findings
    except Error as error:
        if not (unwritten.of_store(error) and unwritten.is_torn(error)):
            raise
        yield Finding(where, f"can't be read on: {error}")


def _places(say: Callable[[str], None]) -> Iterator[Finding]:
    for place in Place.objects.order_by("name", "pk"):
        say(f"checking {place.name}: {place.last_seq} entries")
        yield from _read(place.name, _place(place))


def _place(place: Place) -> Iterator[Finding]:
    yield from _chain(place)
    yield from _filed(place)


def _database() -> Iterator[Finding]:
    if connection.vendor != "sqlite":
        return
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA integrity_check(20)")
        for (line,) in cursor.fetchall():
            if line != "ok":
                yield Finding("database", line)
        cursor.execute("PRAGMA foreign_key_check")
        for table, row, other, _key in cursor.fetchall():
            yield Finding("database", f"{table}, row {row}: points to no {other}")


def _chain(place: Place) -> Iterator[Finding]:
    broken = first_break(place.pk)
    if broken is not None:
        row = Entry.objects.filter(place_id=place.pk, seq=broken).first()
        which = f"{row.kind} of {row.at:%Y-%m-%d} ({row.pk})" if row else "it is gone"
        yield Finding(place.name, f"entry {broken} is not what was written: {which}")


def _filed(place: Place) -> Iterator[Finding]:
    """The state folded from all entries, against that of each thing from what is filed under it:
    pages are brought up to date by the second way."""
    try:
        entries = read_entries(place.pk)
    except ledger.EntryError as error:
        yield Finding(place.name, f"an entry can't be read: {error}")
        return
    zone = ZoneInfo(place.zone)
    whole = ledger.fold(entries, zone)
    filed = _by_thing(place.pk, entries)
    again: list[tuple[str, object, object]] = [
        ("stores", whole.stores, fold_stores(filed.get("place", []), zone))
    ]
    for vessel in whole.vessels:
        about = filed.get(f"vessel:{vessel.id}", [])
        again.append((vessel.id, vessel, ledger.fold_vessel(vessel.id, about, zone)))
    for bed in whole.beds:
        again.append((bed.id, bed, fold_bed(bed.id, filed.get(f"bed:{bed.id}", []), zone)))
    for name, one, other in again:
        if one != other:
            yield Finding(place.name, f"{name}: the state shown is not that of its entries")


def _by_thing(place: str, entries: list[ledger.Entry]) -> dict[str, list[ledger.Entry]]:
    found: dict[str, list[ledger.Entry]] = {}
    filed: dict[object, list[str]] = {}
    rows = Filing.objects.filter(place_id=place).values_list("thing", "entry_id")
    for thing, entry_id in rows.iterator(5000):
        filed.setdefault(entry_id, []).append(thing)
    for entry in entries:
        for thing in filed.get(entry.id, ()):
            found.setdefault(thing, []).append(entry)
    return found


def _photos(say: Callable[[str], None]) -> Iterator[Finding]:
    names = sorted(set(Photo.objects.values_list("sha256", flat=True)))
    if names:
        say(f"checking {len(names)} photo{'s' * (len(names) > 1)}")
    for name in names:
        try:
            raw = path_of(name).read_bytes()
        except FileNotFoundError:
            yield Finding("photos", f"{name} is not in the folder")
            continue
        except OSError as error:
            yield Finding("photos", f"{name} can't be read: {(error.strerror or '').lower()}")
            continue
        if hashlib.sha256(raw).hexdigest() != name:
            yield Finding("photos", f"{name} is not what was sent")
