"""People of a programme: links that invite, joining by one, roles given up or taken away."""

from __future__ import annotations

import datetime as dt
import uuid

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from sourloam.logbook.hidden import hashed, new_secret
from sourloam.logbook.models import Place, Programme, ProgrammeLink, ProgrammeMember
from sourloam.logbook.models.programme import LINK_ROLES
from sourloam.logbook.people import account, make_place
from sourloam.logbook.permissions import must_in_programme
from sourloam.logbook.programmes.places import bring
from sourloam.logbook.refusals import Refused

_VALID = dt.timedelta(days=14)
_ORDER = {"coordinator": 0, "helper": 1, "reader": 2}


def invite(person: User, programme: Programme, role: str, link: uuid.UUID | None = None) -> str:
    """The secret of a fresh link; it is told this once."""
    if role not in LINK_ROLES:
        raise Refused(_("There is no such role."), 422)
    must_in_programme(person, programme.pk, f"invite {role}")
    token = new_secret()
    ProgrammeLink.objects.create(
        id=link or uuid.uuid4(),
        programme=programme,
        role=role,
        token_hash=hashed(token),
        made_by=person,
        expires_at=timezone.now() + _VALID,
    )
    return token


def find_link(token: str) -> ProgrammeLink:
    """The link if it still works; else Refused with 404."""
    rows = ProgrammeLink.objects.select_related("programme")
    now = timezone.now()
    found = rows.filter(token_hash=hashed(token), withdrawn_at=None, expires_at__gt=now).first()
    if found is None:
        raise Refused(_("This link no longer works"), 404)
    return found


def join(person: User, token: str, place: str = "") -> Programme:
    """Take the role of a link, or bring a place in by it. A role that is held is never lowered; a
    withdrawn one comes back only by a link that was made after it was withdrawn."""
    with transaction.atomic():
        link = find_link(token)
        if link.role == "place":
            bring(person, link.programme, place)
            return link.programme
        held, new = ProgrammeMember.objects.get_or_create(
            programme=link.programme, person=person, defaults={"role": link.role}
        )
        if held.withdrawn_at is not None:
            if link.made_at <= held.withdrawn_at:
                raise Refused(_("This link no longer works"), 404)
            held.role, held.withdrawn_at, held.since = link.role, None, timezone.now()
            held.save()
        elif not new and _ORDER[link.role] < _ORDER[held.role] and link.made_at > held.since:
            held.role = link.role
            held.save(update_fields=["role"])
        return link.programme


def join_as_new(token: str, name: str, password: str) -> User:
    """An account for somebody new, with the role of the link; a place is brought in afterwards."""
    with transaction.atomic():
        link = find_link(token)
        person = account(name, password)
        if link.role != "place":
            join(person, token)
        return person


def join_with_new_place(person: User, token: str, name: str) -> Place:
    """A new place of one's own, brought in by a link; Refused (422) for a name that can't be."""
    with transaction.atomic():
        link = find_link(token)
        if link.role != "place":
            raise Refused(_("This link brings no place in."), 422)
        made = make_place(person, name, link.programme.zone)
        join(person, token, made.pk)
        return made


def standing_links(programme: Programme) -> list[ProgrammeLink]:
    """Links that still work, the newest first."""
    rows = ProgrammeLink.objects.filter(programme=programme, withdrawn_at=None)
    works = rows.filter(expires_at__gt=timezone.now()).select_related("made_by")
    return list(works.order_by("-made_at"))


def withdraw_link(by: User, programme: Programme, link: uuid.UUID) -> None:
    """A link stops to work."""
    found = ProgrammeLink.objects.filter(programme=programme, pk=link, withdrawn_at=None).first()
    if found is None:
        raise Refused(_("There is no such link."), 404)
    must_in_programme(by, programme.pk, f"invite {found.role}")
    found.withdrawn_at = timezone.now()
    found.save(update_fields=["withdrawn_at"])


def withdraw(by: User, programme: Programme, person: int) -> None:
    """Take a role away with the links its holder made; the last coordinator stays."""
    with transaction.atomic():
        rows = ProgrammeMember.objects.filter(programme=programme, withdrawn_at=None)
        held = rows.select_for_update().filter(person_id=person).first()
        if held is None:
            raise Refused(_("Nobody of that name is here."), 404)
        action = "see" if person == by.pk else f"withdraw {held.role}"  # anybody may leave
        must_in_programme(by, programme.pk, action)
        others = rows.filter(role="coordinator").exclude(person_id=person)
        if held.role == "coordinator" and not others.exists():
            raise Refused(
                _("A programme keeps one coordinator: somebody must be able to do everything."), 409
            )
        held.withdrawn_at = timezone.now()
        held.save(update_fields=["withdrawn_at"])
        links = ProgrammeLink.objects.filter(programme=programme, made_by_id=person)
        links.filter(withdrawn_at=None).update(withdrawn_at=held.withdrawn_at)
