"""The only door of the pages to the logbook: what is asked of the store, and told to it."""

from __future__ import annotations

import datetime as dt
import json
import uuid
from collections.abc import Collection, Mapping, Sequence
from functools import lru_cache
from typing import Any
from zoneinfo import ZoneInfo

from django.contrib.auth import login
from django.contrib.auth.models import User
from django.core.files.uploadedfile import UploadedFile
from django.db import transaction
from django.db.models import Count, Max, QuerySet
from django.http import Http404, HttpRequest, HttpResponse
from django.utils import timezone

from sourloam.ledger import bodies as b
from sourloam.ledger.state import PlaceState, Record
from sourloam.logbook import (
    achieving,
    foreseeing,
    models,
    people,
    permissions,
    photos,
    recording,
    signing_in,
)
from sourloam.logbook.refusals import Refused
from sourloam.logbook.standing import state_at
from sourloam.site import Site
from sourloam.web.bran import warned
from sourloam.web.house import House, Inside
from sourloam.web.known import foreseen_of
from sourloam.web.log import refusing
from sourloam.web.vessel.foresight import Foresight

__all__ = ["Refused"]
_FEW = 100  # forecasts that are asked for by name


def person_of(request: HttpRequest) -> User:
    """Who asks; only for views that let nobody else in."""
    assert isinstance(request.user, User)
    return request.user


def preference(request: HttpRequest) -> models.Preference | None:
    """How the reader likes to read; asked once a request."""
    if not hasattr(request, "_sourloam_preference"):
        found = models.Preference.objects.filter(person_id=request.user.pk).first()
        request._sourloam_preference = found  # type: ignore[attr-defined]
    return request._sourloam_preference  # type: ignore[attr-defined,no-any-return]


def units_of(request: HttpRequest, place: models.Place | None = None) -> str:
    """The reader's units: their own wish, else the place's."""
    mine = preference(request)
    if mine is not None and mine.units:
        return str(mine.units)
    return str(place.units) if place is not None else "metric"


def _house(request: HttpRequest, member: models.Membership) -> House:
    place = member.place
    zone = ZoneInfo(place.zone)
    today = timezone.now().astimezone(zone).date()
    units = units_of(request, place)
    return House(
        place.pk,
        place.name,
        zone,
        member.role,
        units,
        today,
        place,
        lambda: _warnings(request, today),
    )


def state_of(found: House) -> PlaceState:
    """What follows from the entries of a place, with what the reader's other places know of its
    lots of bran; no query unless there is news."""
    state = _alone(found.place)
    if not any(lot.stage == "store" for lot in state.lots):
        return state
    return warned.told(found.id, state, found.warnings())


def _alone(place: models.Place) -> PlaceState:
    return state_at(place.pk, place.zone, place.last_seq, place.last_hash)[0]


def _warnings(request: HttpRequest, today: dt.date) -> warned.Warnings:
    """What all places of the reader warn of; asked once a request."""
    if not hasattr(request, "_sourloam_warnings"):
        found = warnings_for(request.user, today)
        request._sourloam_warnings = found  # type: ignore[attr-defined]
    return request._sourloam_warnings  # type: ignore[attr-defined,no-any-return]


def warnings_for(person: permissions.Person, today: dt.date) -> warned.Warnings:
    """What all places of a person warn of."""
    places = [member.place for member in permissions.memberships(person)]
    return warned.warnings(((place.pk, place.name, _alone(place)) for place in places), today)


def houses(request: HttpRequest) -> list[House]:
    """All places of the reader."""
    return [_house(request, member) for member in permissions.memberships(request.user)]


def house(request: HttpRequest, place: str) -> House:
    """One place of the reader; 404 for a stranger."""
    named = place.isprintable()  # some stores refuse to look for what is not
    member = permissions.memberships(request.user).filter(place_id=place).first() if named else None
    if member is None:
        raise Http404
    return _house(request, member)


def inside(found: House) -> Inside:
    """What is in a place today."""
    return insides_of([found])[0]


def achieved(found: House, question: achieving.Question) -> achieving.Standing:
    """What is known of what a place achieved; what is not is reckoned by and by."""
    return achieving.ask(found.id, found.place.last_seq, question)


def insides(request: HttpRequest) -> list[Inside]:
    """What is in all places of the reader; forecasts of all of them in one query."""
    return insides_of(houses(request))


def insides_of(found: list[House]) -> list[Inside]:
    """What is in these places today."""
    ids = [house.id for house in found]
    stamps = models.Forecast.objects.filter(place_id__in=ids).values_list("place_id")
    newest = {
        place: (last, many)
        for place, last, many in stamps.annotate(last=Max("made_at"), many=Count("pk"))
    }
    return [Inside(h, state_of(h), _foreseen(h, newest.get(h.id))) for h in found]


def _foreseen(found: House, stamp: tuple[object, ...] | None) -> Mapping[str, Foresight]:
    """Forecasts of a place; read from the store only where there are new ones."""

    def rows() -> QuerySet[models.Forecast]:
        return models.Forecast.objects.filter(place_id=found.id)

    def made() -> Mapping[str, dt.datetime]:
        return dict(rows().values_list("vessel", "made_at"))

    def load(vessels: Collection[str]) -> Mapping[str, Foresight]:
        new = rows().filter(vessel__in=vessels) if len(vessels) < _FEW else rows()
        return {vessel: Foresight(said) for vessel, said in new.values_list("vessel", "summary")}

    return foreseen_of(found.id, stamp or (), made if stamp else dict, load)


def is_reckoned_anew(found: House, vessel: str) -> bool:
    """Whether entries came since a vessel was foreseen."""
    return foreseeing.is_behind(found.id, vessel)


def last_fed(inside: Inside) -> Record[b.Fed] | None:
    """The newest layer of the place: what a new vessel's form begins with."""
    layers = [
        layer
        for vessel in inside.state.vessels
        for turn in vessel.turns[-1:]
        for layer in turn.layers[-1:]
    ]
    return max(layers, key=lambda r: (r.at, r.entry), default=None)


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


def site_document(found: House) -> dict[str, Any] | None:
    """The place's newest description as it was written."""
    described = state_of(found).stores.described
    return None if described is None else described.body.site


def site(document: dict[str, Any]) -> Site:
    """A description as the science takes it."""
    return _site(json.dumps(document, sort_keys=True))


@lru_cache(maxsize=256)
def _site(text: str) -> Site:
    return Site.model_validate(json.loads(text))


def kind_document(found: House, name: str) -> dict[str, Any] | None:
    """The section of the description on one kind of vessel, without what is counted there."""
    document = site_document(found) or {}
    kind = next((k for k in document.get("vessel", ()) if k["name"] == name), None)
    return {k: v for k, v in kind.items() if k not in ("owned", "most")} if kind else None


def new_place(
    request: HttpRequest,
    name: str,
    document: dict[str, Any],
    furniture: Sequence[tuple[str, dict[str, Any]]] = (),
) -> str:
    """A place that begins from its plan, with what stands and lies there; its id."""
    person = person_of(request)
    zone = _zone(request.POST.get("zone", ""))
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


def _zone(name: str) -> str:
    """The browser's time zone if it is one."""
    try:
        return ZoneInfo(name).key
    except (ValueError, OSError, LookupError):
        return "UTC"


def first_start() -> bool:
    """Whether nobody is keeper yet."""
    return people.is_first_start()


def places_wait() -> bool:
    """Whether places stand here before their keeper comes, as the demo's do."""
    return models.Place.objects.exists()


def first_keeper(request: HttpRequest, name: str, password: str) -> None:
    """Make the first account and sign it in."""
    sign_in(request, people.make_first_keeper(name, password))


def sign_in(request: HttpRequest, person: User) -> None:
    """Somebody who just made their name is in."""
    login(request, person, backend="django.contrib.auth.backends.ModelBackend")


def prefer(request: HttpRequest, units: str, language: str) -> None:
    """Keep how the reader likes to read."""
    signing_in.prefer(request, units, language)


def members(found: House, request: HttpRequest) -> list[dict[str, Any]]:
    """Everybody with a role, and whether the reader may take it away."""
    rows = models.Membership.objects.filter(place_id=found.id, withdrawn_at=None)
    mine = permissions.roles_to("withdraw", found.role)
    return [
        {
            "id": row.person.pk,
            "name": row.person.get_username(),
            "role": row.role,
            "may_withdraw": row.role in mine and row.person.pk != request.user.pk,
        }
        for row in rows.select_related("person").order_by("person__username")
    ]


def roles_to_invite(found: House) -> tuple[str, ...]:
    """Roles that the reader may give."""
    return permissions.roles_to("invite", found.role)


def links(found: House) -> list[dict[str, Any]]:
    """Links to join that still work, for those who may make such."""
    roles = roles_to_invite(found)
    rows = models.Invitation.objects.filter(
        place_id=found.id, withdrawn_at=None, expires_at__gt=timezone.now(), role__in=roles
    )
    return [
        {
            "id": str(row.pk),
            "role": row.role,
            "by": row.made_by.get_username(),
            "until": row.expires_at.astimezone(found.zone).date(),
        }
        for row in rows.select_related("made_by").order_by("expires_at")
    ]


def invite(request: HttpRequest, found: House, role: str) -> str:
    """The secret of a fresh link."""
    return people.invite(person_of(request), found.id, role)


def withdraw_person(request: HttpRequest, found: House, person: int) -> None:
    """Take a role away."""
    people.withdraw_person(person_of(request), found.id, person)


def withdraw_link(request: HttpRequest, found: House, link: str) -> None:
    """End a link."""
    people.withdraw_invitation(person_of(request), found.id, link)


def invitation(token: str) -> dict[str, str]:
    """What a link gives: the place's name and the role; Refused with 404 if it no longer works."""
    found = people.find_invitation(token)
    return {"place": found.place.name, "role": found.role}


def join(request: HttpRequest, token: str) -> tuple[str, str]:
    """Take the role of a link; the place's id, and the role that is now held there."""
    person = person_of(request)
    place = str(people.join(person, token).pk)
    return place, people.role_of(person, place) or ""


def join_as(request: HttpRequest, token: str, name: str, password: str) -> str:
    """An account for somebody new, with the role of a link; the place's id."""
    person, place = people.join_as_new(token, name, password)
    sign_in(request, person)
    return str(place.pk)
