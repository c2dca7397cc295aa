"""Programmes of places: which ones, their settings, people, and the places in them."""

from __future__ import annotations

import datetime as dt
import uuid
from typing import Annotated, Any, Literal

from django.db import IntegrityError
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from ninja import Query, Router
from pydantic import Field

from sourloam.api import programme_shapes as shapes
from sourloam.api.caller import Programming, caller_of
from sourloam.api.operations import operation, said
from sourloam.api.paging import Asked, paged
from sourloam.api.programme_telling import place_told, programme_told
from sourloam.api.taking import Taken, body_of
from sourloam.api.trouble import Trouble, missing
from sourloam.logbook import models, programmes
from sourloam.programme import drawn, needing_help, silence

router = Router(tags=["programmes"])
Name = Annotated[str, Field(min_length=1, max_length=80)]
Latitude = Annotated[float, Field(ge=-90, le=90)]
Longitude = Annotated[float, Field(ge=-180, le=180)]
Kg = Annotated[float, Field(ge=0, le=50000)]
_LARGEST_ID = 2**63 - 1


class NewProgramme(Taken):
    """A programme that begins."""

    id: uuid.UUID
    """Made by whoever sends it: sent again, it is the same programme."""
    name: Name
    zone: Annotated[str, Field(min_length=1, max_length=64)] = "UTC"


class ChangedProgramme(Taken):
    """What becomes of its settings; what is left out stays."""

    name: Name | None = None
    hub: Annotated[str, Field(max_length=80)] | None = None
    latitude: Latitude | None = None
    longitude: Longitude | None = None
    room: Annotated[int, Field(ge=1, le=2000)] | None = None
    payload_kg: Annotated[float, Field(ge=1, le=50000)] | None = None
    starts: shapes.Clock | None = None
    ends: shapes.Clock | None = None
    bran_kg: Kg | None = None
    round_days: Annotated[int, Field(ge=1, le=90)] | None = None


class NewLink(Taken):
    """A link to join."""

    id: uuid.UUID
    """Made by whoever sends it: sent again, it is the same link, without its secret."""
    role: Literal["coordinator", "helper", "reader", "place"]


class PlaceIn(Taken):
    """A place that comes in; the token's person must coordinate it."""

    place: Annotated[str, Field(max_length=64)]


class Whereabouts(Taken):
    """Where a place lies and when it is open; what is left out or null is not known."""

    latitude: Latitude | None = None
    longitude: Longitude | None = None
    opens: shapes.Clock | None = None
    closes: shapes.Clock | None = None
    how: Annotated[str, Field(max_length=200)] = ""


@operation(router, "GET /programmes", shapes.Programmes)
def list_programmes(request: HttpRequest, asked: Query[Asked]) -> HttpResponse:
    """Every programme in which the token's person has a role; takes a token for all places."""
    found, after = paged(caller_of(request).programmes(), asked, lambda one: one.id)
    return said(shapes.Programmes(items=tuple(map(programme_told, found)), next=after))


@operation(
    router,
    "POST /programmes",
    {200: shapes.Programme, 201: shapes.Programme},
    NewProgramme,
    "manage",
)
def new_programme(request: HttpRequest) -> HttpResponse:
    """A new programme, whose coordinator the token's person is."""
    caller = caller_of(request)
    caller.everywhere()
    new = body_of(request, NewProgramme)
    known = models.Programme.objects.filter(pk=str(new.id)).exists()
    if not known:
        try:
            programmes.make_programme(caller.person, new.name, new.zone, str(new.id))
        except IntegrityError:  # the same programme was sent twice in this very moment
            known = True
    try:
        found = caller.programme(str(new.id))
    except Trouble:
        raise Trouble(409, "id: another programme has it; make a new one", "clash", "id") from None
    return said(programme_told(found), 200 if known else 201)


@operation(router, "GET /programmes/{programme}", shapes.Programme)
def programme(request: HttpRequest, programme: str) -> HttpResponse:
    """One programme."""
    return said(programme_told(caller_of(request).programme(programme)))


@operation(router, "PATCH /programmes/{programme}", shapes.Programme, ChangedProgramme, "manage")
def change_programme(request: HttpRequest, programme: str) -> HttpResponse:
    """Another name, hub, van or hours."""
    caller = caller_of(request)
    found = caller.programme(programme, "change programme")
    given = body_of(request, ChangedProgramme).model_dump(exclude_none=True)
    _both(given)
    for key in ("starts", "ends"):
        if key in given:
            given[key] = dt.time.fromisoformat(given[key])
    programmes.change(caller.person, found.row, given)
    return said(programme_told(caller.programme(programme)))


@operation(router, "GET /programmes/{programme}/people", shapes.ProgrammePeople)
def programme_people(request: HttpRequest, programme: str) -> HttpResponse:
    """Everybody with a role in it."""
    found = caller_of(request).programme(programme)
    rows = models.ProgrammeMember.objects.filter(programme=found.row, withdrawn_at=None)
    people = tuple(
        shapes.ProgrammeMember(id=row.person.pk, name=row.person.get_username(), role=row.role)
        for row in rows.select_related("person").order_by("person__username")
    )
    return said(shapes.ProgrammePeople(people=people))


@operation(
    router,
    "POST /programmes/{programme}/links",
    {200: shapes.ProgrammeLink, 201: shapes.ProgrammeLink},
    NewLink,
    "manage",
)
def programme_link(request: HttpRequest, programme: str) -> HttpResponse:
    """A link to join with a role or with a place; its secret is told this once."""
    caller = caller_of(request)
    caller.programme(programme, "invite reader")
    new = body_of(request, NewLink)
    found = caller.programme(programme, f"invite {new.role}")
    known = models.ProgrammeLink.objects.filter(pk=new.id).first()
    if known is not None:
        if known.programme_id != found.id or known.role != new.role:
            raise Trouble(409, "id: another link has it; make a new one", "clash", "id")
        return said(_link(known))
    try:
        token = programmes.invite(caller.person, found.row, new.role, new.id)
    except IntegrityError:  # the same link was sent twice in this very moment
        raise Trouble(409, "id: it is being made; ask again", "clash", "id") from None
    made = models.ProgrammeLink.objects.get(pk=new.id)
    link = request.build_absolute_uri(reverse("web:join_programme", args=[token]))
    return said(_link(made).model_copy(update={"link": link}), 201)


@operation(router, "GET /programmes/{programme}/links", shapes.ProgrammeLinks, scope="manage")
def programme_links(request: HttpRequest, programme: str) -> HttpResponse:
    """Links to join that still work, without their secrets."""
    found = caller_of(request).programme(programme, "invite reader")
    return said(_links(found))


@operation(
    router, "DELETE /programmes/{programme}/links/{link}", shapes.ProgrammeLinks, scope="manage"
)
def withdraw_programme_link(request: HttpRequest, programme: str, link: str) -> HttpResponse:
    """A link stops to work; the answer is what is left."""
    caller = caller_of(request)
    found = caller.programme(programme, "invite reader")
    try:
        known = uuid.UUID(link)
    except ValueError:
        raise missing() from None
    programmes.withdraw_link(caller.person, found.row, known)
    return said(_links(found))


def _links(found: Programming) -> shapes.ProgrammeLinks:
    return shapes.ProgrammeLinks(links=tuple(map(_link, programmes.standing_links(found.row))))


def _link(row: models.ProgrammeLink) -> shapes.ProgrammeLink:
    return shapes.ProgrammeLink(
        id=row.pk, role=row.role, by=row.made_by.get_username(), until=row.expires_at
    )


@operation(
    router, "DELETE /programmes/{programme}/people/{person}", shapes.ProgrammePeople, scope="manage"
)
def withdraw_from_programme(request: HttpRequest, programme: str, person: int) -> HttpResponse:
    """Somebody's role is taken away; the last coordinator stays. The answer is who is left."""
    caller = caller_of(request)
    found = caller.programme(programme, "withdraw reader")
    if not 0 <= person <= _LARGEST_ID:
        raise missing()
    if person == caller.person.pk:
        line = "A token does not end the role of the person who made it; use the page."
        raise Trouble(409, line, "role")
    programmes.withdraw(caller.person, found.row, person)
    return programme_people(request, programme)


@operation(router, "GET /programmes/{programme}/places", shapes.ProgrammePlaces)
def programme_places(request: HttpRequest, programme: str, asked: Query[Asked]) -> HttpResponse:
    """Its places with their facts: vessels and what is foreseen of them, risks, silence."""
    found = caller_of(request).programme(programme)
    rows, after = paged(_rows(found), asked, lambda row: str(row.place_id))
    return said(shapes.ProgrammePlaces(items=tuple(_told(found, row) for row in rows), next=after))


@operation(
    router,
    "POST /programmes/{programme}/places",
    {200: shapes.ProgrammePlace, 201: shapes.ProgrammePlace},
    PlaceIn,
    "manage",
)
def bring_place_in(request: HttpRequest, programme: str) -> HttpResponse:
    """A place of one's own comes in; one that left comes back."""
    caller = caller_of(request)
    found = caller.programme(programme, "add place")
    place = body_of(request, PlaceIn).place
    caller.house(place, "change place")
    known = any(row.place_id == place for row in _rows(found))
    programmes.add_place(caller.person, found.row, place)
    return said(_told(found, _row(found, place)), 200 if known else 201)


@operation(router, "GET /programmes/{programme}/places/{place}", shapes.ProgrammePlace)
def programme_place(request: HttpRequest, programme: str, place: str) -> HttpResponse:
    """One place as its programme sees it."""
    found = caller_of(request).programme(programme)
    return said(_told(found, _row(found, place)))


@operation(
    router,
    "PUT /programmes/{programme}/places/{place}/whereabouts",
    shapes.ProgrammePlace,
    Whereabouts,
    "log",
)
def settle_place(request: HttpRequest, programme: str, place: str) -> HttpResponse:
    """Where a place lies, its hours, how it is found: all of it is replaced."""
    caller = caller_of(request)
    found = caller.programme(programme, "write")
    _row(found, place)
    given: dict[str, Any] = body_of(request, Whereabouts).model_dump()
    if (given["latitude"] is None) != (given["longitude"] is None):
        raise Trouble(422, "give latitude and longitude, or neither", "together", "latitude")
    for key in ("opens", "closes"):
        given[key] = None if given[key] is None else dt.time.fromisoformat(given[key])
    programmes.settle(caller.person, found.row, place, given)
    return said(_told(found, _row(found, place)))


@operation(
    router, "DELETE /programmes/{programme}/places/{place}", shapes.Programme, scope="manage"
)
def let_place_go(request: HttpRequest, programme: str, place: str) -> HttpResponse:
    """A place leaves the programme; its log is its own and stays."""
    caller = caller_of(request)
    found = caller.programme(programme, "let place go")
    programmes.let_go(caller.person, found.row, place)
    return said(programme_told(found))


def _both(given: dict[str, Any]) -> None:
    if ("latitude" in given) != ("longitude" in given):
        raise Trouble(422, "give latitude and longitude, or neither", "together", "latitude")


def _rows(found: Programming) -> list[models.ProgrammePlace]:
    rows = models.ProgrammePlace.objects.filter(programme=found.row, left=None)
    return list(rows.select_related("place"))


def _row(found: Programming, place: str) -> models.ProgrammePlace:
    row = next((row for row in _rows(found) if row.place_id == place), None)
    if row is None:
        raise missing()
    return row


def _told(found: Programming, row: models.ProgrammePlace) -> shapes.ProgrammePlace:
    _morning, every = programmes.morning_of(found.row)
    facts = next((one for one in every if one.id == row.place_id), None)
    if facts is None:
        return place_told(row, None, (), None)
    helped = needing_help([facts], found.today, drawn())
    risks = helped[0].risks if helped else ()
    return place_told(row, facts, risks, silence(facts, found.today, drawn()))
