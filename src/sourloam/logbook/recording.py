"""The one way in for an entry: checked, allowed, numbered, hashed, stored once."""

from __future__ import annotations

import datetime as dt
import threading
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from django.db import IntegrityError, transaction
from django.utils import timezone

from sourloam.ledger import KINDS, Entry, EntryError, Fault, chain_hash, parse_entry
from sourloam.ledger.entries import body_json, canonical
from sourloam.logbook import filing, foreseeing, models
from sourloam.logbook.permissions import Person, may, role_of

NEW, KNOWN, REFUSED, CONFLICT, WRONG = 201, 200, 403, 409, 422
_BY_SERVER = ("received_at", "by")
_BY_MOST = 80
# SQLite takes one writer at a time and lets the others sleep and try again, in no order. Threads
# of one server queue here instead, and are woken at once.
one_at_a_time = threading.Lock()


@dataclass(frozen=True)
class Recorded:
    """How it went: 201 stored now, 200 stored already, 403, 409 or 422 refused, with one line.

    ``fault`` says a refusal in parts, for pages in a reader's language.
    """

    status: int
    detail: str
    fault: Fault | None = None

    @property
    def stored(self) -> bool:
        """Whether the entry is in the store, on the disk."""
        return self.status < 300


def record_entry(person: Person, raw: Mapping[str, Any], *, of_known: bool = False) -> Recorded:
    """Store an entry; the same one sent again is the same one entry.

    What the server says itself (``received_at``, ``by``) is never taken from a device. An answer
    of 201 or 200 means that the entry outlives a power cut. ``of_known`` refuses what is about a
    vessel or a bed that nobody put up: pages put them up here, before anything is said of them.
    """
    try:
        entry = parse_entry(_of_device(raw))
    except EntryError as error:
        return Recorded(WRONG, str(error), error.fault)
    role = role_of(person, entry.place)
    if role is None:
        return Recorded(REFUSED, "place: not one of yours", Fault("place"))
    try:
        with one_at_a_time, transaction.atomic():
            answer = _record(person, role, entry, of_known)
    except IntegrityError:  # the id went to another place in this very moment
        return _CLASH
    if answer.status == NEW:
        foreseeing.wake()
    return answer


_CLASH = Recorded(
    CONFLICT, "id: another entry has it; write this one under a new id", Fault("clash")
)


def _of_device(raw: Mapping[str, Any]) -> Mapping[str, Any]:
    if isinstance(raw, Mapping):
        return {key: value for key, value in raw.items() if key not in _BY_SERVER}
    return raw


def _record(person: Person, role: str, entry: Entry, of_known: bool) -> Recorded:
    if not may(role, f"write {entry.kind}"):
        return _refused(role, entry.kind)
    place = models.Place.objects.select_for_update().get(pk=entry.place)
    known = models.Entry.objects.filter(pk=entry.id).first()
    if known is not None:
        same = known.place_id == entry.place and _same(known, entry)
        return Recorded(KNOWN, "written down already") if same else _CLASH
    refusal = _of_superseded(role, entry) or (_of_unknown(entry) if of_known else None)
    if refusal is not None:
        return refusal
    store(entry, person, place=place)
    return Recorded(NEW, "written down")


def _refused(role: str, kind: str) -> Recorded:
    fault = Fault("role", kind, role=role)
    return Recorded(REFUSED, f"{kind}: a {role} may not write this", fault)


def _same(known: models.Entry, entry: Entry) -> bool:
    before = replace(known.read(), received_at=None, by=None)
    return canonical(before) == canonical(entry)


def _of_superseded(role: str, entry: Entry) -> Recorded | None:
    """Who replaces or takes out an entry must be allowed to write every kind in its chain: else
    a gardener could undo a keeper's striking of a layer, or strike what a layer replaced."""
    if entry.supersedes is None:
        return None
    over = models.Entry.objects.filter(pk=entry.supersedes).values_list("place_id", flat=True)
    place = over.first()
    if place is None:
        # It may come later from another phone. Until then only those may judge who may write all
        # that happens to vessels and beds.
        return None if role in KINDS["fed"].roles else _refused(role, entry.kind)
    if place != entry.place:
        line = "supersedes: that entry is of another place"
        return Recorded(WRONG, line, Fault("elsewhere"))
    barred = (kind for kind in filing.kinds_in_chain(entry) if not may(role, f"write {kind}"))
    kind = next(barred, None)
    return None if kind is None else _refused(role, kind)


_PUT_UP_BY = {"vessel": "vessel_added", "bed": "bed_added"}


def _of_unknown(entry: Entry) -> Recorded | None:
    """Nothing is written of a vessel or a bed that this place never had."""
    for sort, thing in entry.things:
        kind = _PUT_UP_BY.get(sort)
        if kind in (None, entry.kind):
            continue
        filed = models.Filing.objects.filter(place_id=entry.place, thing=f"{sort}:{thing}")
        if not filed.filter(entry__kind=kind).exists():
            line = f"{entry.kind}: {sort}: nobody put up {thing} here"
            fault = Fault("vessel" if sort == "vessel" else "bed", entry.kind)
            return Recorded(WRONG, line, fault)
    return None


def store(
    entry: Entry,
    person: Person | None,
    by: str | None = None,
    *,
    place: models.Place | None = None,
    received_at: dt.datetime | None = None,
) -> models.Entry:
    """Number, hash and keep an entry that was checked; to be called inside a transaction."""
    holder = place or models.Place.objects.select_for_update().get(pk=entry.place)
    name = by or (person.get_username() if person is not None else "")
    now = received_at or timezone.now()
    sealed = replace(entry, received_at=now, by=name[:_BY_MOST] or None)
    row = _row(holder, sealed, now, None if person is None else person.pk)
    row.save()
    holder.last_seq, holder.last_hash = row.seq, row.hash
    holder.save(update_fields=["last_seq", "last_hash"])
    filing.file_entry(sealed)
    foreseeing.mark(holder.pk, row.seq)
    return row


def _row(place: models.Place, entry: Entry, received_at: dt.datetime, person: Any) -> models.Entry:
    things = dict(reversed(entry.things))
    return models.Entry(
        id=entry.id,
        place_id=place.pk,
        seq=place.last_seq + 1,
        kind=entry.kind,
        vessel=things.get("vessel", ""),
        bed=things.get("bed", ""),
        at=entry.at,
        written_at=entry.written_at,
        received_at=received_at,
        person_id=person,
        by=entry.by or "",
        supersedes=entry.supersedes,
        body=body_json(entry.body),
        hash_before=place.last_hash,
        hash=chain_hash(place.last_hash, entry),
    )


def entry_of(row: models.Entry) -> Entry:
    """The ledger's entry of a stored row."""
    return row.read()
