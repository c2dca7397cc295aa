"""People of a place: who has a role, links to join, joining by one."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest
from django.utils import timezone

from sourloam.logbook import models, people, permissions
from sourloam.web.house import House
from sourloam.web.reading.reader import person_of, sign_in


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
