"""Places: which ones a token reaches, what they are, new ones, their people."""

from __future__ import annotations

import datetime as dt
import uuid
from typing import Annotated, Literal

from django.db import IntegrityError
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils import timezone
from ninja import Query, Router
from pydantic import Field

from sourloam.api import shapes
from sourloam.api.caller import Caller, caller_of
from sourloam.api.operations import operation, said
from sourloam.api.paging import Asked, paged
from sourloam.api.taking import Taken, body_of
from sourloam.api.trouble import Trouble, missing
from sourloam.logbook import models, people
from sourloam.logbook.permissions import roles_to
from sourloam.web import reading
from sourloam.web.house import House

router = Router(tags=["places"])
Name = Annotated[str, Field(min_length=1, max_length=80)]
Zone = Annotated[str, Field(min_length=1, max_length=64, examples=["Europe/Dublin"])]
Role = Literal["coordinator", "keeper", "gardener", "reader"]
_LARGEST_ID = 2**63 - 1


class NewPlace(Taken):
    """A place that begins."""

    id: uuid.UUID
    """Made by whoever sends it: sent again, it is the same place."""
    name: Name
    zone: Zone = "UTC"
    units: Literal["metric", "us"] = "metric"


class ChangedPlace(Taken):
    """What becomes of a place's name and clock; what is left out stays."""

    name: Name | None = None
    zone: Zone | None = None


class NewInvitation(Taken):
    """A link to join."""

    id: uuid.UUID
    """Made by whoever sends it: sent again, it is the same link, without its secret."""
    role: Role


@operation(router, "GET /me", shapes.Me)
def me(request: HttpRequest) -> HttpResponse:
    """This token, and the time."""
    token = caller_of(request).token
    return said(
        shapes.Me(
            name=token.name,
            scope=token.scope,
            person=token.person.get_username(),
            place=token.place_id,
            now=timezone.now(),
        )
    )


@operation(router, "GET /places", shapes.Places)
def places(request: HttpRequest, asked: Query[Asked]) -> HttpResponse:
    """Every place that the token reaches."""
    found, after = paged(caller_of(request).houses(), asked, lambda house: house.id)
    return said(shapes.Places(items=tuple(map(_place, found)), next=after))


@operation(router, "POST /places", {200: shapes.Place, 201: shapes.Place}, NewPlace, "manage")
def new_place(request: HttpRequest) -> HttpResponse:
    """A new place, whose coordinator the token's person is.

    Takes a token for all places with the scope manage. Describe it next by an entry of the kind
    place_described, and put up vessels and beds by entries of theirs.
    """
    caller = caller_of(request)
    caller.everywhere()
    new = body_of(request, NewPlace)
    known = models.Place.objects.filter(pk=str(new.id)).exists()
    if not known:
        known = not _made(caller, new)
    try:
        house = caller.house(str(new.id))
    except Trouble:
        raise Trouble(409, "id: another place has it; make a new one", "clash", "id") from None
    return said(_place(house), 200 if known else 201)


def _made(caller: Caller, new: NewPlace) -> bool:
    try:
        people.make_place(caller.person, new.name, new.zone, new.units, str(new.id))
    except IntegrityError:  # the same place was sent twice in this very moment
        return False
    return True


@operation(router, "GET /places/{place}", shapes.Place)
def place(request: HttpRequest, place: str) -> HttpResponse:
    """One place."""
    return said(_place(caller_of(request).house(place)))


@operation(router, "PATCH /places/{place}", shapes.Place, ChangedPlace, "manage")
def change_place(request: HttpRequest, place: str) -> HttpResponse:
    """Another name or clock."""
    caller = caller_of(request)
    house = caller.house(place, "change place")
    change = body_of(request, ChangedPlace)
    people.change_place(
        caller.person, place, change.name or house.name, change.zone or house.zone.key
    )
    return said(_place(caller.house(place)))


@operation(router, "GET /places/{place}/description", shapes.Description)
def description(request: HttpRequest, place: str) -> HttpResponse:
    """The place as a site document; the newest entry of the kind place_described."""
    found = reading.state_of(caller_of(request).house(place)).stores.described
    if found is None:
        return said(shapes.Description(site=None, entry=None))
    return said(shapes.Description(site=found.body.site, entry=found.entry))


@operation(router, "GET /places/{place}/people", shapes.People)
def people_of(request: HttpRequest, place: str) -> HttpResponse:
    """Everybody with a role, and links to join that still work."""
    house = caller_of(request).house(place)
    rows = models.Membership.objects.filter(place_id=place, withdrawn_at=None)
    members = tuple(
        shapes.Member(id=row.person.pk, name=row.person.get_username(), role=row.role)
        for row in rows.select_related("person").order_by("person__username")
    )
    links = models.Invitation.objects.filter(
        place_id=place,
        withdrawn_at=None,
        expires_at__gt=timezone.now(),
        role__in=roles_to("invite", house.role),
    )
    found = links.select_related("made_by").order_by("expires_at")
    return said(shapes.People(people=members, invitations=tuple(map(_invitation, found))))


@operation(
    router,
    "POST /places/{place}/invitations",
    {200: shapes.Invitation, 201: shapes.Invitation},
    NewInvitation,
    "manage",
)
def invite(request: HttpRequest, place: str) -> HttpResponse:
    """A link to join with a role; its secret is told this once."""
    caller = caller_of(request)
    caller.house(place)
    new = body_of(request, NewInvitation)
    caller.house(place, f"invite {new.role}")
    known = models.Invitation.objects.filter(pk=new.id).select_related("made_by").first()
    if known is not None:
        if known.place_id != place or known.role != new.role:
            raise Trouble(409, "id: another link has it; make a new one", "clash", "id")
        return said(_invitation(known))
    try:
        token = people.invite(caller.person, place, new.role, new.id)
    except IntegrityError:  # the same link was sent twice in this very moment
        raise Trouble(409, "id: it is being made; ask again", "clash", "id") from None
    link = request.build_absolute_uri(reverse("web:join", args=[token]))
    made = models.Invitation.objects.select_related("made_by").get(pk=new.id)
    return said(_invitation(made).model_copy(update={"link": link}), 201)


@operation(router, "DELETE /places/{place}/invitations/{invitation}", shapes.People, scope="manage")
def withdraw_invitation(request: HttpRequest, place: str, invitation: str) -> HttpResponse:
    """A link stops to work; the answer is who and what is left."""
    caller = caller_of(request)
    house = caller.house(place)
    found = models.Invitation.objects.filter(place_id=place, pk=_uuid(invitation)).first()
    if found is None:
        raise missing()
    caller.house(place, f"withdraw {found.role}")
    people.withdraw_invitation(caller.person, house.id, invitation)
    return people_of(request, place)


@operation(router, "DELETE /places/{place}/people/{person}", shapes.People, scope="manage")
def withdraw_person(request: HttpRequest, place: str, person: int) -> HttpResponse:
    """Somebody's role is taken away; the last coordinator stays. The answer is who is left."""
    caller = caller_of(request)
    caller.house(place)
    rows = models.Membership.objects.filter(place_id=place, withdrawn_at=None)
    held = rows.filter(person_id=person).first() if 0 <= person <= _LARGEST_ID else None
    if held is None:
        raise missing()
    caller.house(place, f"withdraw {held.role}")
    if held.person_id == caller.person.pk:
        line = "A token does not end the role of the person who made it; use the page."
        raise Trouble(409, line, "role")
    people.withdraw_person(caller.person, place, person)
    return people_of(request, place)


def _uuid(text: str) -> uuid.UUID:
    try:
        return uuid.UUID(text)
    except ValueError:
        raise missing() from None


def _place(house: House) -> shapes.Place:
    row = house.place
    return shapes.Place(
        id=house.id,
        name=house.name,
        zone=house.zone.key,
        units=row.units,
        language=row.language,
        country=row.country,
        role=house.role,
        today=house.today,
        entries=row.last_seq,
    )


def _invitation(row: models.Invitation) -> shapes.Invitation:
    until: dt.datetime = row.expires_at
    return shapes.Invitation(id=row.pk, role=row.role, by=row.made_by.get_username(), until=until)
