"""What pages tell the logbook: entries, photos, places that are new or called otherwise."""

from __future__ import annotations

import uuid
from collections.abc import Mapping, Sequence
from typing import Any

from django.core.files.uploadedfile import UploadedFile
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.utils import timezone

from sourloam.logbook import people, photos, recording
from sourloam.logbook.models.place import zone_or_utc
from sourloam.logbook.refusals import Refused
from sourloam.web.house import House
from sourloam.web.log import refusing
from sourloam.web.reading.reader import person_of, units_of


def record(request: HttpRequest, raw: object) -> tuple[int, str]:
    """Store an entry; a status and one line."""
    if not isinstance(raw, Mapping):
        return 422, refusing.told(None, "")
    done = recording.record_entry(person_of(request), raw, of_known=True)
    if done.stored:
        return done.status, done.detail
    return done.status, refusing.told(done.fault, units_of(request))


def keep_photo(request: HttpRequest, place: str, file: UploadedFile[Any]) -> str:
    """Keep a photo; its SHA-256."""
    return photos.keep_photo(person_of(request), place, file)


def photo(request: HttpRequest, found: House, sha256: str) -> HttpResponse:
    """The bytes of a photo of this place."""
    content = photos.photo_bytes(found.id, sha256)
    if content is None:
        raise Http404
    response = HttpResponse(content, content_type="image/jpeg")
    response["Cache-Control"] = "private, max-age=31536000, immutable"
    response["Content-Disposition"] = "inline"
    return response


def new_place(
    request: HttpRequest,
    name: str,
    document: dict[str, Any],
    furniture: Sequence[tuple[str, dict[str, Any]]] = (),
) -> str:
    """A place that begins from its plan, with what stands and lies there; its id."""
    person = person_of(request)
    zone = zone_or_utc(request.POST.get("zone", ""))
    with transaction.atomic():
        place = people.make_place(person, name, zone, units_of(request))
        for kind, body in (("place_described", {"site": document}), *furniture):
            done = recording.record_entry(person, fresh_entry(place.pk, kind, body))
            if not done.stored:
                raise Refused(refusing.told(done.fault, units_of(request)), done.status)
    return str(place.pk)


def change_place(request: HttpRequest, found: House, name: str, zone: str) -> None:
    """Another name or clock; Refused for one that can't be."""
    people.change_place(person_of(request), found.id, name, zone)


def described(place: str, site: dict[str, Any]) -> dict[str, Any]:
    """The entry that describes a place."""
    return fresh_entry(place, "place_described", {"site": site})


def fresh_entry(place: str, kind: str, body: dict[str, Any]) -> dict[str, Any]:
    """An entry that is written now, here on the server."""
    now = timezone.now().isoformat()
    raw: dict[str, Any] = {"id": str(uuid.uuid4()), "place": place, "kind": kind}
    return {**raw, "at": now, "written_at": now, "body": body}
