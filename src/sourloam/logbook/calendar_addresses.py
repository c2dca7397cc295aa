"""Private addresses for calendar programs: made, found again, withdrawn."""

from __future__ import annotations

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from sourloam.logbook.hidden import hashed, new_secret
from sourloam.logbook.models import CalendarAddress
from sourloam.logbook.permissions import must, role_of
from sourloam.logbook.refusals import Refused

_LONGEST_TOKEN = 64


def standing(person: User, place: str) -> CalendarAddress | None:
    """The person's address for a place, None if there is none."""
    rows = CalendarAddress.objects.filter(place_id=place, person_id=person.pk, withdrawn_at=None)
    return rows.first()


def make(person: User, place: str, language: str, units: str) -> str:
    """The secret of a fresh address, told this once; an older one of the person stops to work."""
    must(person, place, "see")
    token = new_secret()
    with transaction.atomic():
        withdraw(person, place)
        CalendarAddress.objects.create(
            place_id=place,
            person_id=person.pk,
            token_hash=hashed(token),
            language=language,
            units=units,
        )
    return token


def withdraw(person: User, place: str) -> None:
    """The person's address for a place stops to work."""
    rows = CalendarAddress.objects.filter(place_id=place, person_id=person.pk, withdrawn_at=None)
    rows.update(withdrawn_at=timezone.now())


def find(token: str) -> CalendarAddress:
    """The address of a token, as long as its person still has a role in the place; else Refused
    with 404, whatever the reason."""
    known = None
    if 0 < len(token) <= _LONGEST_TOKEN:
        rows = CalendarAddress.objects.select_related("place", "person")
        known = rows.filter(token_hash=hashed(token), withdrawn_at=None).first()
    if known is None or role_of(known.person, known.place_id) is None:
        raise Refused(_("This address no longer works"), 404)
    return known
