"""An entry of the ledger: written once, never changed; read and checked here, and hashed."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any
from uuid import UUID

from pydantic import ValidationError

from sourloam.ledger import bodies
from sourloam.ledger.faults import Fault, of_body
from sourloam.ledger.fields import read_id
from sourloam.ledger.kinds import KINDS, Kind
from sourloam.site.explaining import explain
from sourloam.site.wording import nearest, shown

FIRST = dt.datetime(1990, 1, 1, tzinfo=dt.UTC)
LAST = dt.datetime(2100, 12, 31, 23, 59, 59, tzinfo=dt.UTC)
_MOST_BY = 80
_REQUIRED = ("id", "place", "kind", "at", "written_at", "body")
_OPTIONAL = ("supersedes", "received_at", "by")
_WHOLE_MOST = 2**53  # beyond it a float no longer tells whole numbers apart


class EntryError(ValueError):
    """What was sent is no entry; the message is one line: where, what was found, what is right.

    ``fault`` says the same in parts where a person may have caused it; None for a device's fault.
    """

    def __init__(self, line: str, fault: Fault | None = None) -> None:
        super().__init__(line)
        self.fault = fault


@dataclass(frozen=True)
class Entry:
    """One entry. Times are aware and in UTC; ``at`` is when it happened, ``written_at`` when it
    was written down, both by the device's clock; ``received_at`` and ``by`` are the server's."""

    id: UUID
    place: str
    kind: str
    at: dt.datetime
    written_at: dt.datetime
    body: bodies.Body
    supersedes: UUID | None = None
    received_at: dt.datetime | None = None
    by: str | None = None

    @property
    def rule(self) -> Kind:
        """What the register says of its kind."""
        return KINDS[self.kind]

    @cached_property
    def things(self) -> tuple[tuple[str, str], ...]:
        """What it is about, foremost first: ``(("vessel", id), ("bed", id))``; may be empty."""
        body = self.body
        found = [(field, getattr(body, field)) for field in KINDS[self.kind].things]
        return tuple([(field, value) for field, value in found if value is not None])

    @property
    def order(self) -> tuple[dt.datetime, dt.datetime, UUID]:
        """Where it stands in the course of events."""
        return self.at, self.written_at, self.id

    def as_json(self) -> dict[str, Any]:
        """The entry as plain JSON, such as ``parse_entry`` reads; what is not known is left out."""
        said = {
            "id": str(self.id),
            "place": self.place,
            "kind": self.kind,
            "at": self.at.isoformat(),
            "written_at": self.written_at.isoformat(),
            "supersedes": None if self.supersedes is None else str(self.supersedes),
            "received_at": None if self.received_at is None else self.received_at.isoformat(),
            "by": self.by,
            "body": body_json(self.body),
        }
        return {key: value for key, value in said.items() if value is not None}


def body_json(body: bodies.Body) -> dict[str, Any]:
    """A body as plain JSON, without the fields that are not known."""
    return body.model_dump(mode="json", exclude_none=True)


def parse_entry(raw: Mapping[str, Any]) -> Entry:
    """The entry in ``raw``, decoded JSON; EntryError with one line where something is wrong."""
    if not isinstance(raw, Mapping):
        raise EntryError(f"entry: found {shown(raw)}; write an object with its keys")
    known = (*_REQUIRED, *_OPTIONAL)
    for key in raw:
        if key not in known:
            raise EntryError(f"{shown(key)}: unknown key;{nearest(key, known)} known: {known}")
    for key in _REQUIRED:
        if raw.get(key) is None:
            raise EntryError(f"{key}: missing")
    kind = _kind(raw["kind"])
    supersedes = _optional(_uuid, raw, "supersedes")
    if kind.name == "struck" and supersedes is None:
        raise EntryError("struck: supersedes: missing; give the id of the entry to take out")
    entry = Entry(
        id=_uuid(raw["id"], "id"),
        place=_place(raw["place"]),
        kind=kind.name,
        at=_time(raw["at"], "at"),
        written_at=_time(raw["written_at"], "written_at"),
        body=parse_body(kind.name, raw["body"]),
        supersedes=supersedes,
        received_at=_optional(_time, raw, "received_at"),
        by=_optional(_by, raw, "by"),
    )
    if entry.supersedes == entry.id:
        raise EntryError("supersedes: an entry can't supersede itself")
    return entry


def parse_body(kind: str, raw: object) -> bodies.Body:
    """The checked body of an entry of this kind; EntryError where something is wrong."""
    model = _kind(kind).body
    if not isinstance(raw, dict):
        raise EntryError(f"{kind}: body: found {shown(raw)}; write an object with its keys")
    try:
        return model.model_validate(raw)
    except ValidationError as error:
        line = f"{kind}: {explain(error, model, '')}"
        raise EntryError(line, of_body(error, kind, model)) from None
    except RecursionError:
        raise EntryError(f"{kind}: body: nested too deep") from None


def _kind(value: object) -> Kind:
    if not isinstance(value, str) or value not in KINDS:
        raise EntryError(
            f"kind: found {shown(value)};{nearest(value, KINDS)} choose from {', '.join(KINDS)}"
        )
    return KINDS[value]


def _optional(reader: Any, raw: Mapping[str, Any], key: str) -> Any:
    value = raw.get(key)
    return None if value is None else reader(value, key)


def _uuid(value: object, key: str) -> UUID:
    if isinstance(value, UUID):
        return value
    try:
        if not isinstance(value, str) or len(value) != len(str(UUID(int=0))):
            raise ValueError
        return UUID(value)
    except ValueError:
        raise EntryError(f"{key}: found {shown(value)}; write a UUID") from None


def _place(value: object) -> str:
    try:
        return read_id(str(value) if isinstance(value, UUID) else value)
    except ValueError as error:
        raise EntryError(f"place: {error}") from None


def _by(value: object, key: str) -> str:
    if not isinstance(value, str) or not 0 < len(value) <= _MOST_BY or not value.isprintable():
        raise EntryError(f"{key}: found {shown(value)}; write at most {_MOST_BY} letters")
    return value


def _time(value: object, key: str) -> dt.datetime:
    """An aware time in UTC, within the years that an entry can speak of."""
    try:
        moment = value if isinstance(value, dt.datetime) else dt.datetime.fromisoformat(_str(value))
        if moment.tzinfo is None:
            raise EntryError(f"{key}: found {shown(str(value))}; say the zone: end it with Z")
        moment = moment.astimezone(dt.UTC)
    except EntryError:
        raise
    except (ValueError, OverflowError):
        raise EntryError(
            f"{key}: found {shown(value)}; write a time as 2026-03-01T18:30:00Z", Fault("time")
        ) from None
    if not FIRST <= moment <= LAST:
        line = f"{key}: found {shown(str(value))}; must lie between 1990 and 2100"
        raise EntryError(line, Fault("years"))
    return moment


def _str(value: object) -> str:
    if not isinstance(value, str):
        raise ValueError
    return value


def canonical(entry: Entry) -> bytes:
    """The entry as the same bytes wherever it is written: JSON with sorted keys, no spaces."""
    plain = _plain(entry.as_json())
    text = json.dumps(
        plain, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False
    )
    return text.encode("utf-8")


def of_device(entry: Entry) -> bytes:
    """``canonical`` without what the server adds: alike however often an entry is sent."""
    return canonical(replace(entry, received_at=None, by=None))


def _plain(value: Any) -> Any:
    """1.0 and 1 are one number in JSON, so they must be written alike."""
    if isinstance(value, dict):
        return {key: _plain(part) for key, part in value.items()}
    if isinstance(value, list):
        return [_plain(part) for part in value]
    if isinstance(value, float) and value.is_integer() and abs(value) < _WHOLE_MOST:
        return int(value)
    return value


def chain_hash(previous: str, entry: Entry) -> str:
    """SHA-256 (hexadecimal) of an entry and of all before it; ``previous`` is "" for the first."""
    return hashlib.sha256(previous.encode("ascii") + b"\n" + canonical(entry)).hexdigest()
