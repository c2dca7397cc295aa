"""Entries and readings: written down once, read in the order in which they came."""

from __future__ import annotations

import datetime as dt
import uuid
from typing import Annotated, Any

from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from ninja import Query, Router
from pydantic import AwareDatetime, BaseModel, ConfigDict, Field, RootModel

from sourloam.api import shapes
from sourloam.api.caller import Caller, caller_of
from sourloam.api.operations import operation, said
from sourloam.api.paging import USUAL, Limit
from sourloam.api.taking import Taken, object_of, read
from sourloam.api.trouble import Trouble, missing
from sourloam.ledger import KINDS
from sourloam.logbook import models
from sourloam.logbook.recording import CONFLICT, LATER, REFUSED, WRONG, Recorded, record_entry
from sourloam.web.house import House

router = Router(tags=["entries"])
MOST_AT_ONCE = 200
_AGAIN_S = 60
_OLDEST = dt.datetime(2000, 1, 1, tzinfo=dt.UTC)  # a clock that was never set is older
_FAST = dt.timedelta(minutes=10)  # a clock may be
_FAMILY = uuid.uuid5(uuid.NAMESPACE_URL, "tag:sourloam,2026:readings")
_ID = r"^[a-z0-9][a-z0-9_-]{0,63}$"
_LATEST = 2**63 - 1
_ENVELOPE = ("id", "place", "kind", "at", "written_at", "supersedes", "body")


class AskedEntries(BaseModel):
    """Which entries are asked for."""

    model_config = ConfigDict(frozen=True)

    limit: Limit = USUAL
    after: Annotated[
        int,
        Field(ge=0, le=_LATEST, description="number of the last entry that is known; 0: none"),
    ] = 0
    kind: Annotated[str, Field(pattern=r"^[a-z_]{0,32}$", description="one kind only")] = ""
    vessel: Annotated[
        str, Field(pattern=r"^[a-z0-9_-]{0,64}$", description="about one vessel only")
    ] = ""
    bed: Annotated[str, Field(pattern=r"^[a-z0-9_-]{0,64}$", description="about one bed only")] = ""


class _Reading(Taken):
    """What a sensor read."""

    at: AwareDatetime
    """When it was read, with its zone. Together with token, vessel and kind it makes the entry's
    id: the same reading sent again is one entry."""
    id: uuid.UUID | None = None
    """An id of one's own instead."""


class WarmthReading(_Reading):
    """A temperature: an entry of the kind warmth_read."""

    temperature_c: Annotated[float, Field(ge=-40, le=70)]
    vessel: Annotated[str, Field(pattern=_ID)] | None = None
    """The vessel that it was read in; the room's if left out."""


class WeightReading(_Reading):
    """A weight: an entry of the kind weighed."""

    mass_kg: Annotated[float, Field(ge=0.001, le=500)]
    vessel: Annotated[str, Field(pattern=_ID)]
    empty_kg: Annotated[float, Field(ge=0.001, le=500)] | None = None
    """Mass of the empty vessel, to be taken off; left out if the scale showed the contents."""


class Reading(RootModel[WarmthReading | WeightReading]):
    """A temperature or a weight."""


@operation(router, "GET /places/{place}/entries", shapes.Entries)
def entries(request: HttpRequest, place: str, asked: Query[AskedEntries]) -> HttpResponse:
    """Entries in the order in which they came.

    Ask with the number of the last one that you know: only what is new comes.
    """
    house = caller_of(request).house(place)
    rows = models.Entry.objects.filter(place_id=house.id, seq__gt=asked.after)
    if asked.kind:
        rows = rows.filter(kind=asked.kind)
    for thing in (f"vessel:{asked.vessel}", f"bed:{asked.bed}"):
        if not thing.endswith(":"):
            filed = models.Filing.objects.filter(place_id=house.id, thing=thing)
            rows = rows.filter(pk__in=filed.values("entry_id"))
    found = list(rows.order_by("seq")[: asked.limit + 1])
    part = found[: asked.limit]
    after = str(part[-1].seq) if len(found) > len(part) else None
    return said(shapes.Entries(items=tuple(map(_entry, part)), next=after))


@operation(router, "GET /places/{place}/entries/{entry}", shapes.Entry)
def entry(request: HttpRequest, place: str, entry: str) -> HttpResponse:
    """One entry."""
    house = caller_of(request).house(place)
    try:
        found = models.Entry.objects.filter(place_id=house.id, pk=uuid.UUID(entry)).first()
    except ValueError:
        found = None
    if found is None:
        raise missing()
    return said(_entry(found))


@operation(
    router,
    "POST /places/{place}/entries",
    {200: shapes.Kept, 201: shapes.Kept},
    "EntryToWrite",
    "log",
)
def write_entry(request: HttpRequest, place: str) -> HttpResponse:
    """Write one entry down.

    Its id, made by whoever writes it, is the key that keeps it one entry: 201 says that it was
    written down now, 200 that it was before; both that it is on the disk. Another entry under the
    same id is refused with 409.
    """
    caller = caller_of(request)
    caller.writes()
    house = caller.house(place)
    return _answered(_write(caller, house, object_of(request)))


@operation(router, "POST /places/{place}/many-entries", shapes.KeptOnes, "EntriesToWrite", "log")
def write_entries(request: HttpRequest, place: str) -> HttpResponse:
    """Write up to 200 entries down, each by itself: one that is refused stops no other."""
    caller = caller_of(request)
    caller.writes()
    house = caller.house(place)
    sent = object_of(request)
    many = sent.get("entries")
    if set(sent) != {"entries"} or not isinstance(many, list) or len(many) > MOST_AT_ONCE:
        line = f"entries: write a list of at most {MOST_AT_ONCE} entries, and nothing beside it"
        raise Trouble(422, line, "field", "entries")
    return said(shapes.KeptOnes(items=tuple(_write(caller, house, raw) for raw in many)))


@operation(
    router, "POST /places/{place}/readings", {200: shapes.Kept, 201: shapes.Kept}, Reading, "log"
)
def write_reading(request: HttpRequest, place: str) -> HttpResponse:
    """Write down what a sensor read: a temperature or a weight.

    It becomes an entry as a person would write it. One reading an hour is plenty: a vessel
    changes slowly, and every entry stays.
    """
    caller = caller_of(request)
    caller.writes()
    house = caller.house(place)
    raw = object_of(request)
    found: WarmthReading | WeightReading
    found = read(raw, WeightReading) if "mass_kg" in raw else read(raw, WarmthReading)
    _when(found.at)
    return _answered(_write(caller, house, _of_reading(caller, house, found)))


def _when(at: dt.datetime) -> None:
    """A sensor's clock may be a little fast; what it will read nobody knows."""
    if at > timezone.now() + _FAST:
        line = "at: lies in the future; set the sensor's clock by the time that /me tells"
        raise Trouble(422, line, "field", "at")
    if at < _OLDEST:
        line = f"at: lies before {_OLDEST:%Y}; set the sensor's clock by the time that /me tells"
        raise Trouble(422, line, "field", "at")


def _of_reading(caller: Caller, house: House, found: WarmthReading | WeightReading) -> Any:
    kind = "weighed" if isinstance(found, WeightReading) else "warmth_read"
    at = found.at.astimezone(dt.UTC).isoformat()
    body = found.model_dump(exclude={"at", "id"}, exclude_none=True)
    made = uuid.uuid5(
        _FAMILY, "\n".join((str(caller.token.pk), house.id, kind, found.vessel or "", at))
    )
    return {
        "id": str(found.id or made),
        "place": house.id,
        "kind": kind,
        "at": at,
        "written_at": at,
        "body": body,
    }


def _write(caller: Caller, house: House, raw: Any) -> shapes.Kept:
    if not isinstance(raw, dict):
        return shapes.Kept(
            id=None, status=WRONG, detail="write an object with its keys", reason="wrong"
        )
    raw = {"place": house.id, **raw}
    if raw["place"] != house.id:
        line = "place: another one than in the address; leave it out"
        return _kept(raw, Recorded(WRONG, line), "place")
    kind = raw.get("kind")
    if isinstance(kind, str) and kind in KINDS:
        try:
            caller.house(house.id, f"write {kind}")
        except Trouble as trouble:
            problem = trouble.problem
            return shapes.Kept(
                id=_id(raw.get("id")),
                status=REFUSED,
                detail=problem.detail,
                reason=problem.reason,
                field="kind",
            )
    return _kept(raw, record_entry(caller.writer, raw, of_known=True))


def _kept(raw: dict[str, Any], done: Recorded, field: str | None = None) -> shapes.Kept:
    if done.stored:
        return shapes.Kept(id=uuid.UUID(str(raw["id"])), status=done.status, detail=done.detail)
    fault = done.fault
    first = done.detail.partition(":")[0]
    inner = (fault.field or None) if fault is not None else None
    return shapes.Kept(
        id=_id(raw.get("id")),
        status=done.status,
        detail=done.detail,
        reason=fault.sort if fault is not None else "field",
        field=field or inner or (first if first in _ENVELOPE else None),
    )


def _id(value: object) -> uuid.UUID | None:
    try:
        return uuid.UUID(value) if isinstance(value, str) else None
    except ValueError:
        return None


def _answered(kept: shapes.Kept) -> HttpResponse:
    if kept.status not in (200, 201):
        field = "id" if kept.status == CONFLICT else kept.field
        wait_s = _AGAIN_S if kept.status == LATER else None
        raise Trouble(kept.status, kept.detail, kept.reason or "field", field, wait_s)
    return said(kept, kept.status)


def _entry(row: models.Entry) -> shapes.Entry:
    one = row.read().as_json()
    return shapes.Entry(
        seq=row.seq,
        id=row.pk,
        place=one["place"],
        kind=one["kind"],
        at=one["at"],
        written_at=one["written_at"],
        received_at=one["received_at"],
        by=one.get("by"),
        supersedes=row.supersedes,
        body=one["body"],
        hash=row.hash,
    )
