"""The first keeper, new places, links to join, roles taken away: all changes go through here."""

from __future__ import annotations

import datetime as dt
import uuid

from django.contrib.auth.models import AbstractBaseUser, User
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.db.models import F
from django.utils import timezone
from django.utils.translation import gettext as _

from sourloam.ledger import ROLES
from sourloam.logbook import foreseeing
from sourloam.logbook.demo.ids import TOWN
from sourloam.logbook.hidden import hashed, new_secret
from sourloam.logbook.models import (
    Invitation,
    Membership,
    Place,
    Programme,
    ProgrammeMember,
    ProgrammePlace,
    Token,
)
from sourloam.logbook.models.place import known_zone
from sourloam.logbook.permissions import must, role_of, roles_to
from sourloam.logbook.refusals import Refused

__all__ = [
    "Refused",
    "account",
    "change_place",
    "find_invitation",
    "invite",
    "is_first_start",
    "join",
    "join_as_new",
    "make_first_keeper",
    "make_place",
    "role_of",
    "roles_to",
    "withdraw_invitation",
    "withdraw_person",
]
_VALID = dt.timedelta(days=14)
_LONGEST_NAME = 80
_LARGEST_ID = 2**63 - 1  # no store looks for a larger one
#: Whom each role may ask in.


def is_first_start() -> bool:
    """Whether nobody has an account yet: the only page then asks for a name and a password."""
    return not User.objects.exists()


def make_first_keeper(name: str, password: str) -> User:
    """The first account, coordinator of places and programmes that wait for one: the demo's. Places
    of the invented town keep their own people. Refused if there is an account already,
    ValidationError for a weak password."""
    with transaction.atomic():
        if not is_first_start():
            raise Refused(_("Somebody has set this up already; sign in, or ask for a link."), 409)
        person = account(name, password)
        Membership.objects.bulk_create(
            Membership(place=place, person=person, role="coordinator")
            for place in Place.objects.filter(memberships=None).exclude(
                pk__in=ProgrammePlace.objects.filter(programme=TOWN).values("place_id")
            )
        )
        ProgrammeMember.objects.bulk_create(
            ProgrammeMember(programme=programme, person=person, role="coordinator")
            for programme in Programme.objects.filter(members=None)
        )
        return person


def account(name: str, password: str) -> User:
    """A new account; Refused (422) for a bad name, ValidationError for a weak password."""
    name = User.normalize_username(name.strip())
    if not 0 < len(name) <= _LONGEST_NAME or not name.isprintable():
        raise Refused(_("A name has 1 to 80 letters."), 422)
    validate_password(password, User(username=name))
    if User.objects.filter(username__iexact=name).exists():
        raise Refused(_("Somebody here has that name already."), 422)
    try:
        with transaction.atomic():
            return User.objects.create_user(name, password=password)
    except IntegrityError:
        raise Refused(_("Somebody here has that name already."), 422) from None


def make_place(
    person: AbstractBaseUser,
    name: str,
    zone: str = "UTC",
    units: str = "metric",
    place_id: str | None = None,
) -> Place:
    """A new place, with its maker as coordinator; Refused (422) for a name that can't be."""
    given = {} if place_id is None else {"id": place_id}
    place = Place(name=_name(name), zone=_zone(zone), units=units, **given)
    with transaction.atomic():
        place.save(force_insert=True)
        Membership.objects.create(place=place, person_id=person.pk, role="coordinator")
    return place


def change_place(person: AbstractBaseUser, place: str, name: str, zone: str) -> None:
    """A new name or clock for a place; what was written keeps its moment, days are read anew."""
    must(person, place, "change place")
    found = Place.objects.get(pk=place)
    found.name, found.zone = _name(name), _zone(zone)
    with transaction.atomic():
        found.save(update_fields=["name", "zone"])
        foreseeing.mark_anew(place)
    foreseeing.wake()


def _name(text: str) -> str:
    name = " ".join(text.split())
    if not 0 < len(name) <= _LONGEST_NAME or not name.isprintable():
        raise Refused(_("A name has 1 to 80 letters."), 422)
    return name


def _zone(name: str) -> str:
    try:
        known_zone(name)
    except ValidationError:
        raise Refused(_("This clock is not known; choose one from the list."), 422) from None
    return name


def invite(
    person: AbstractBaseUser, place: str, role: str, invitation: uuid.UUID | None = None
) -> str:
    """The secret of a fresh link; it is told this once."""
    if role not in ROLES:
        raise Refused(_("There is no such role."), 422)
    must(person, place, f"invite {role}")
    token = new_secret()
    Invitation.objects.create(
        id=invitation or uuid.uuid4(),
        place_id=place,
        role=role,
        token_hash=hashed(token),
        made_by_id=person.pk,
        expires_at=timezone.now() + _VALID,
    )
    return token


def find_invitation(token: str) -> Invitation:
    """The link's invitation if it still works; else Refused with 404."""
    found = (
        Invitation.objects.select_related("place")
        .filter(token_hash=hashed(token), withdrawn_at=None, expires_at__gt=timezone.now())
        .first()
    )
    if found is None:
        raise Refused(_("This link no longer works"), 404)
    return found


def join(person: AbstractBaseUser, token: str) -> Place:
    """Take the role of a link. A role that is held is raised, never lowered. A withdrawn one comes
    back, and a held one rises, only by a link that was made after it was withdrawn or given."""
    with transaction.atomic():
        invitation = find_invitation(token)
        held, new = Membership.objects.get_or_create(
            place=invitation.place, person_id=person.pk, defaults={"role": invitation.role}
        )
        if held.withdrawn_at is not None:
            if invitation.made_at <= held.withdrawn_at:
                raise Refused(_("This link no longer works"), 404)
            held.role, held.withdrawn_at, held.since = invitation.role, None, timezone.now()
            held.save()
            new = True
        elif not new and _raises(held, invitation):
            held.role = invitation.role
            held.save(update_fields=["role"])
            new = True
        if new:
            Invitation.objects.filter(pk=invitation.pk).update(used=F("used") + 1)
        return invitation.place


def _raises(held: Membership, invitation: Invitation) -> bool:
    """Whether a link gives a standing member a higher role. One made before they came in does not:
    it would give back what a withdrawal had taken."""
    higher = ROLES.index(invitation.role) < ROLES.index(held.role)
    return higher and invitation.made_at > held.since


def join_as_new(token: str, name: str, password: str) -> tuple[User, Place]:
    """An account for somebody new, with the role of the link."""
    with transaction.atomic():
        find_invitation(token)
        person = account(name, password)
        return person, join(person, token)


def withdraw_person(by: AbstractBaseUser, place: str, person: int) -> None:
    """Take a role away, and end links and tokens of whoever held it; the last coordinator stays."""
    with transaction.atomic():
        must(by, place, "see")
        standing = Membership.objects.filter(place_id=place, withdrawn_at=None)
        known = person <= _LARGEST_ID
        held = standing.select_for_update().filter(person_id=person).first() if known else None
        if held is None:
            raise Refused(_("Nobody of that name is here."), 404)
        if held.person_id != by.pk:  # anybody may leave
            must(by, place, f"withdraw {held.role}")
        others = standing.filter(role="coordinator").exclude(person_id=person)
        if held.role == "coordinator" and not others.exists():
            raise Refused(
                _("A place keeps one coordinator: somebody must be able to do everything."), 409
            )
        held.withdrawn_at = timezone.now()
        held.save(update_fields=["withdrawn_at"])
        made = Invitation.objects.filter(place_id=place, made_by_id=person, withdrawn_at=None)
        made.update(withdrawn_at=held.withdrawn_at)
        tokens = Token.objects.filter(place_id=place, person_id=person, withdrawn_at=None)
        tokens.update(withdrawn_at=held.withdrawn_at)


def withdraw_invitation(by: AbstractBaseUser, place: str, invitation: str) -> None:
    """A link stops to work."""
    must(by, place, "see")
    try:
        found = Invitation.objects.filter(place_id=place, pk=uuid.UUID(invitation)).first()
    except ValueError:
        found = None
    if found is None:
        raise Refused(_("There is no such link."), 404)
    must(by, place, f"withdraw {found.role}")
    found.withdrawn_at = found.withdrawn_at or timezone.now()
    found.save(update_fields=["withdrawn_at"])
