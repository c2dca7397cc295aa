"""The one way in for an entry: checked, allowed, numbered, hashed, stored once."""

from __future__ import annotations

import datetime as dt
import logging
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from django.db import Error as StoreError
from django.db import IntegrityError
from django.utils import timezone

from sourloam.ledger import KINDS, Entry, EntryError, Fault, chain_hash, parse_entry
from sourloam.ledger.entries import body_json, canonical
from sourloam.logbook import filing, foreseeing, models, standing, unwritten
from sourloam.logbook.permissions import Person, lower_of, may, role_of
from sourloam.logbook.turns import Turns

NEW, KNOWN, REFUSED, CONFLICT, WRONG, LATER = 201, 200, 403, 409, 422, 503
_log = logging.getLogger(__name__)
_BY_SERVER = ("received_at", "by")
_BY_MOST = 80
_MANY = 500  # rows written at once


@dataclass(frozen=True)
class Recorded:
    """How it went: 201 stored now, 200 stored already, 403, 409 or 422 refused, 503 to be sent
    again, with one line.

    ``fault`` says a refusal in parts, for pages in a reader's language.
    """

    status: int
    detail: str
    fault: Fault | None = None

    @property
    def stored(self) -> bool:
        """Whether the entry is in the store, on the disk."""
        return self.status < 300


@dataclass(frozen=True)
class Writer:
    """Who writes: a person, or a program with a token of theirs. ``most`` is the highest role that
    counts, ``by`` the name that is kept beside the person's id."""

    person: Person
    most: str = "coordinator"
    by: str | None = None


def record_entry(
    by: Person | Writer, raw: Mapping[str, Any], *, of_known: bool = False
) -> Recorded:
    """Store an entry; the same one sent again is the same one entry.

    What the server says itself (``received_at``, ``by``) is never taken from a device. An answer
    of 201 or 200 means that the entry outlives a power cut. ``of_known`` refuses what is about a
    vessel or a bed that nobody put up: pages put them up here, before anything is said of them.
    """
    try:
        entry = parse_entry(_of_device(raw))
    except EntryError as error:
        return Recorded(WRONG, str(error), error.fault)
    writer = by if isinstance(by, Writer) else Writer(by)
    role = role_of(writer.person, entry.place)
    if role is None:
        return Recorded(REFUSED, "place: not one of yours", Fault("place"))
    role = lower_of(role, writer.most)
    try:
        answer = _at_the_door(role, entry, of_known)
        if answer is None:
            answer = _turns.take(_Asked(writer, role, entry))
    except IntegrityError:  # the id was taken in this very moment
        return _known(entry) or _CLASH
    except StoreError as error:
        if not unwritten.of_store(error):
            raise
        return _later(error)
    if answer.status == NEW:
        foreseeing.wake()
    return answer


_CLASH = Recorded(
    CONFLICT, "id: another entry has it; write this one under a new id", Fault("clash")
)


def _later(error: Exception) -> Recorded:
    """Nothing was kept, for a reason that is not the entry's: whoever sent it keeps it."""
    why = unwritten.reason(error)
    _log.error("an entry was not kept: %s", error)
    return Recorded(LATER, str(unwritten.SAID[why]), Fault(why))


def _of_device(raw: Mapping[str, Any]) -> Mapping[str, Any]:
    if isinstance(raw, Mapping):
        return {key: value for key, value in raw.items() if key not in _BY_SERVER}
    return raw


def _at_the_door(role: str, entry: Entry, of_known: bool) -> Recorded | None:
    """All that can be said before it is this entry's turn to be written: entries are never taken
    away, so what is known, and what was put up, stays so."""
    if not may(role, f"write {entry.kind}"):
        return _refused(role, entry.kind)
    return _known(entry) or (_of_unknown(entry) if of_known else None)


def _known(entry: Entry) -> Recorded | None:
    """The answer to an entry of whose id there is one already."""
    known = models.Entry.objects.filter(pk=entry.id).first()
    if known is None:
        return None
    same = known.place_id == entry.place and _same(known, entry)
    return Recorded(KNOWN, "written down already") if same else _CLASH


@dataclass(frozen=True)
class _Asked:
    """An entry that passed the door."""

    writer: Writer
    role: str
    entry: Entry


def _record(asked: Sequence[_Asked]) -> list[Recorded]:
    """Store them in their order; an answer for each. Places are held in one order everywhere, lest
    two servers wait for each other."""
    refused = {one.entry.id: _of_superseded(one.role, one.entry) for one in asked}
    for place in sorted({one.entry.place for one in asked}):
        good = (o for o in asked if o.entry.place == place and refused[o.entry.id] is None)
        _keep(
            models.Place.objects.select_for_update().get(pk=place),
            ((replace(one.entry, by=one.writer.by), one.writer.person) for one in good),
        )
    return [refused[one.entry.id] or Recorded(NEW, "written down") for one in asked]


_turns = Turns(_record)


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
        if kind in (None, entry.kind) or standing.is_up(entry.place, sort, thing):
            continue
        filed = models.Filing.objects.filter(place_id=entry.place, thing=f"{sort}:{thing}")
        if not filed.filter(entry__kind=kind).exists():
            line = f"{entry.kind}: {sort}: nobody put up {thing} here"
            fault = Fault("vessel" if sort == "vessel" else "bed", entry.kind)
            return Recorded(WRONG, line, fault)
    return None


def store(entry: Entry, person: Person | None, by: str | None = None) -> None:
    """Number, hash and keep one entry that was checked; inside a transaction."""
    place = models.Place.objects.select_for_update().get(pk=entry.place)
    store_all([replace(entry, received_at=None, by=by)], person, place)


def store_all(entries: Iterable[Entry], person: Person | None, place: models.Place) -> None:
    """Number, hash and keep entries of one place that were checked, in their order; inside a
    transaction in which ``place`` was read to be changed. Who wrote one, and when it came in, is
    as it says; else the person, and now."""
    _keep(place, ((entry, person) for entry in entries))


def _keep(place: models.Place, written: Iterable[tuple[Entry, Person | None]]) -> None:
    now = timezone.now()
    sealed, rows = [], []
    for entry, person in written:
        came, name = entry.received_at or now, "" if person is None else person.get_username()
        one = replace(entry, received_at=came, by=(entry.by or name)[:_BY_MOST] or None)
        row = _row(place, one, came, None if person is None else person.pk)
        place.last_seq, place.last_hash = row.seq, row.hash
        sealed.append(one)
        rows.append(row)
    if not rows:
        return
    models.Entry.objects.bulk_create(rows, batch_size=_MANY)
    place.save(update_fields=["last_seq", "last_hash"])
    filing.file_entries(place.pk, sealed)
    foreseeing.mark(place.pk, place.last_seq)


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
