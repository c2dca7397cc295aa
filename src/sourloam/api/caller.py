"""Who asks: a token, the person who made it, and what both together may do."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache, cached_property, partial
from typing import Any
from zoneinfo import ZoneInfo

from django.contrib.auth.models import User
from django.http import HttpRequest
from django.utils import timezone
from ninja.security import HttpBearer

from sourloam.api.pacing import of_strangers, of_tokens
from sourloam.api.trouble import Trouble, missing
from sourloam.logbook import models, permissions, programmes, tokens
from sourloam.logbook.recording import Writer
from sourloam.web import reading
from sourloam.web.bran.warned import Warnings
from sourloam.web.house import House

MOST_JSON, MOST_FORM = 4_000_000, 13_000_000
_MOST_BY = 80


@dataclass(frozen=True)
class Programming:
    """A programme with the role that the token acts with there, and the date there."""

    row: models.Programme
    role: str
    today: dt.date

    @property
    def id(self) -> str:
        """The programme's id."""
        return str(self.row.pk)


@dataclass(frozen=True)
class Caller:
    """A standing token."""

    token: models.Token

    @property
    def person(self) -> User:
        """Whose token it is."""
        found = self.token.person
        assert isinstance(found, User)
        return found

    @property
    def writer(self) -> Writer:
        """Who writes its entries: the token's name stands before its maker's."""
        by = f"{self.token.name} ({self.person.get_username()})"
        return Writer(self.person, permissions.SCOPES[self.token.scope], by[:_MOST_BY])

    def houses(self) -> list[House]:
        """Every place that it reaches, by id."""
        rows = permissions.memberships(self.person)
        if self.token.place_id is not None:
            rows = rows.filter(place_id=self.token.place_id)
        return [self._house(member) for member in rows.order_by("place_id")]

    def house(self, place: str, action: str = "see") -> House:
        """A place in which it holds an action; Trouble otherwise."""
        reached = self.token.place_id in (None, place) and place.isprintable()
        rows = permissions.memberships(self.person)
        member = rows.filter(place_id=place).first() if reached else None
        if member is None:
            raise missing()
        if not permissions.may_by_token(member.role, self.token.scope, action):
            raise self._refusal(member.role, action)
        return self._house(member)

    def programmes(self) -> list[Programming]:
        """Every programme that it reaches."""
        self._all_places()
        return [self._programming(row) for row in permissions.programmes_of(self.person)]

    def programme(self, programme: str, action: str = "see") -> Programming:
        """A programme in which it holds an action; Trouble otherwise."""
        wanted = permissions.PROGRAMME_SCOPES[self.token.scope]
        if not permissions.may_in_programme(wanted, action):
            line = f"{action}: not within the scope {self.token.scope} of this token"
            raise Trouble(403, line, "scope")
        self._all_places()
        rows = permissions.programmes_of(self.person)
        known = programme.isprintable()
        row = rows.filter(programme_id=programme).first() if known else None
        if row is None:
            raise missing()
        if not permissions.may_in_programme_by_token(row.role, self.token.scope, action):
            raise Trouble(403, f"{action}: a {row.role} may not do this", "role")
        return self._programming(row)

    def _all_places(self) -> None:
        if self.token.place_id is not None:
            raise Trouble(403, "Programmes take a token for all your places.", "scope")

    def _programming(self, row: models.ProgrammeMember) -> Programming:
        most = permissions.PROGRAMME_SCOPES[self.token.scope]
        role = permissions.lower_in_programme(row.role, most)
        return Programming(row.programme, role, programmes.today(row.programme))

    def writes(self) -> None:
        """Trouble for a token that only reads."""
        if self.token.scope == "read":
            raise Trouble(403, "this token only reads: make one with the scope log", "scope")

    def everywhere(self) -> None:
        """Trouble unless it reaches all places of its maker, with the widest scope."""
        if self.token.place_id is not None or self.token.scope != "manage":
            line = "A new place takes a token for all your places, with the scope manage."
            raise Trouble(403, line, "scope")

    def _refusal(self, role: str, action: str) -> Trouble:
        if permissions.may(role, action):
            line = f"{action}: not within the scope {self.token.scope} of this token"
            return Trouble(403, line, "scope")
        return Trouble(403, f"{action}: a {role} may not do this", "role")

    def _house(self, member: models.Membership) -> House:
        place = member.place
        zone = ZoneInfo(place.zone)
        role = permissions.lower_of(member.role, permissions.SCOPES[self.token.scope])
        today = timezone.now().astimezone(zone).date()
        told = partial(self._warnings, today)
        return House(place.pk, place.name, zone, role, "metric", today, place, told)

    @cached_property
    def _warnings(self) -> Callable[[dt.date], Warnings]:
        """What the places of its maker warn of on a day; asked once a request."""
        return cache(partial(reading.warnings_for, self.person))


class Bearer(HttpBearer):
    """``Authorization: Bearer TOKEN``; the pace and the size of a request are looked at here too,
    before anything of it is read."""

    def __call__(self, request: HttpRequest) -> Any:
        """The caller, or Trouble."""
        found = super().__call__(request)
        if found is None:
            raise _unknown(request)
        return found

    def authenticate(self, request: HttpRequest, token: str) -> Caller | None:
        """The caller of a token, None if it does not stand."""
        address = request.META.get("REMOTE_ADDR", "")
        _keep_pace(of_strangers.wait_s(address, count=False))
        found = tokens.find(token)
        if found is None:
            return None
        _keep_pace(of_tokens.wait_s(found.pk))
        _keep_small(request)
        return Caller(found)


def caller_of(request: HttpRequest) -> Caller:
    """Who asks, in an operation that takes a token."""
    found = request.auth  # type: ignore[attr-defined]
    assert isinstance(found, Caller)
    return found


def _unknown(request: HttpRequest) -> Trouble:
    _keep_pace(of_strangers.wait_s(request.META.get("REMOTE_ADDR", "")))
    line = (
        "Send a standing token: Authorization: Bearer TOKEN. The page of tokens of a place or of a "
        "programme makes one."
    )
    return Trouble(401, line, "token")


def _keep_pace(wait_s: int | None) -> None:
    if wait_s is not None:
        line = f"Too many requests; ask again in {wait_s} s."
        raise Trouble(429, line, "pace", wait_s=wait_s)


def _keep_small(request: HttpRequest) -> None:
    form = request.content_type == "multipart/form-data"
    most = MOST_FORM if form else MOST_JSON
    try:
        size = int(request.META.get("CONTENT_LENGTH") or 0)
    except ValueError:
        size = 0
    if size > most:
        raise Trouble(413, f"{size} bytes; send at most {most}.", "size")
