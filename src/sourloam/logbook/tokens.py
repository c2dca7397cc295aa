"""Tokens for programs: made, listed, withdrawn, found again by what they hide."""

from __future__ import annotations

import datetime as dt
import uuid

from django.contrib.auth.models import User
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext as _

from sourloam.logbook.hidden import hashed, new_secret
from sourloam.logbook.models import Membership, ProgrammeMember, Token
from sourloam.logbook.permissions import SCOPES, may, must, must_in_programme
from sourloam.logbook.refusals import Refused

LONGEST_NAME = 40
MOST = 50  # that stand at once, of one person
_BEGINS = "loam_"  # so that a search for lost secrets finds it
_TOKEN_BYTES = 32
_LONGEST_TOKEN = 80
_NOTED_EVERY = dt.timedelta(hours=1)


def make(person: User, place: str, name: str, scope: str, everywhere: bool = False) -> str:
    """The secret of a fresh token, told this once. ``everywhere``: for all places of the person."""
    must(person, place, "make token")
    return _made(person, None if everywhere else place, name, scope)


def make_in_programme(person: User, programme: str, name: str, scope: str) -> str:
    """The same from a programme's page, for somebody who may have no place at all: it reaches all
    programmes and places of the person."""
    must_in_programme(person, programme, "make token")
    return _made(person, None, name, scope)


def _made(person: User, place: str | None, name: str, scope: str) -> str:
    name = " ".join(name.split())
    if not 0 < len(name) <= LONGEST_NAME or not name.isprintable():
        raise Refused(_("Give the token a name of 1 to 40 letters."), 422)
    if scope not in SCOPES:
        raise Refused(_("Choose what the token may do."), 422)
    if Token.objects.filter(person_id=person.pk, withdrawn_at=None).count() >= MOST:
        raise Refused(_("Withdraw tokens that nobody uses first; 50 may stand."), 409)
    secret = _BEGINS + new_secret(_TOKEN_BYTES)
    Token.objects.create(
        place_id=place,
        person_id=person.pk,
        name=name,
        scope=scope,
        token_hash=hashed(secret),
    )
    return secret


def standing(place: str) -> list[Token]:
    """Tokens that reach a place: its own, and those of its people for all their places."""
    members = Membership.objects.filter(place_id=place, withdrawn_at=None).values("person_id")
    reaching = Q(place_id=place) | Q(place=None, person_id__in=members)
    rows = Token.objects.filter(reaching, withdrawn_at=None).select_related("person")
    return list(rows.order_by("made_at", "pk"))


def standing_in_programme(programme: str) -> list[Token]:
    """Tokens that reach a programme: those of its people for all that they have."""
    members = ProgrammeMember.objects.filter(programme_id=programme, withdrawn_at=None)
    rows = Token.objects.filter(place=None, person_id__in=members.values("person_id"))
    return list(rows.filter(withdrawn_at=None).select_related("person").order_by("made_at", "pk"))


def may_withdraw(person: User, role: str, token: Token) -> bool:
    """Coordinators end any token of their place, whoever made one may always end it."""
    return token.person_id == person.pk or (token.place_id is not None and may(role, "make token"))


def withdraw(person: User, place: str, token: str) -> None:
    """A token stops to work."""
    role = must(person, place, "see")
    found = _among(standing(place), token)
    if found is None or not may_withdraw(person, role, found):
        raise Refused(_("There is no such token."), 404)
    _end(found)


def withdraw_in_programme(person: User, programme: str, token: str) -> None:
    """The same; in a programme only whoever made a token ends it."""
    must_in_programme(person, programme, "see")
    found = _among(standing_in_programme(programme), token)
    if found is None or found.person_id != person.pk:
        raise Refused(_("There is no such token."), 404)
    _end(found)


def _among(some: list[Token], token: str) -> Token | None:
    try:
        wanted = uuid.UUID(token)
    except ValueError:
        return None
    return next((one for one in some if one.pk == wanted), None)


def _end(found: Token) -> None:
    found.withdrawn_at = timezone.now()
    found.save(update_fields=["withdrawn_at"])


def find(secret: str) -> Token | None:
    """The token of a secret, None unless it stands; that it was used is noted once an hour."""
    if not 0 < len(secret) <= _LONGEST_TOKEN:
        return None
    rows = Token.objects.select_related("person")
    found = rows.filter(token_hash=hashed(secret), withdrawn_at=None).first()
    if found is None or not found.person.is_active:
        return None
    now = timezone.now()
    if found.used_at is None or now - found.used_at > _NOTED_EVERY:
        Token.objects.filter(pk=found.pk).update(used_at=now)
    return found
