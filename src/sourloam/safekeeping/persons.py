"""What is kept about one person, and taking their name out of the logbook.

Entries are never changed, but for this: a person may ask that their name goes. Then ``by`` of what
they wrote becomes a name that is nobody's, and the chain of each place is sealed anew from there.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from importlib import import_module
from typing import Any

from django.contrib.auth.models import User
from django.contrib.sessions.models import Session
from django.db import connection, models, transaction
from django.utils import timezone

from sourloam.ledger import chain_hash
from sourloam.logbook.models import (
    CalendarAddress,
    Entry,
    Invitation,
    Membership,
    Photo,
    Place,
    Preference,
    ProgrammeEntry,
    ProgrammeLink,
    ProgrammeMember,
    Token,
)
from sourloam.safekeeping.trouble import BackupError

_LOCKS = (
    "sourloam.logbook.migrations.0002_append_only",
    "sourloam.logbook.migrations.0007_programme_append_only",
)
_BATCH = 1000


@dataclass(frozen=True)
class Erased:
    """What a name was taken out of, and whether its spelling still stands in somebody's notes."""

    name: str
    entries: int
    places: int
    mentioned: int


def found(name: str) -> User:
    """The account; BackupError where there is none."""
    person = User.objects.filter(username=name).first()
    if person is None:
        raise BackupError(f"{name}: nobody here has that name; the page of a place lists them")
    return person


def about(person: User) -> dict[str, Any]:
    """Everything that is kept about a person, as plain JSON."""
    wish = Preference.objects.filter(person=person).first()
    return {
        "name": person.get_username(),
        "joined": person.date_joined.isoformat(),
        "last signed in": None if person.last_login is None else person.last_login.isoformat(),
        "units": "" if wish is None else wish.units,
        "language": "" if wish is None else wish.language,
        "roles": [
            {
                "place": one.place.name,
                "role": one.role,
                "since": one.since.isoformat(),
                "withdrawn": None if one.withdrawn_at is None else one.withdrawn_at.isoformat(),
            }
            for one in Membership.objects.filter(person=person).select_related("place")
        ],
        "programmes": [
            {"programme": one.programme.name, "role": one.role, "since": one.since.isoformat()}
            for one in ProgrammeMember.objects.filter(person=person).select_related("programme")
        ],
        "lines in programmes": [
            {"kind": row.kind, "day": row.day.isoformat(), "body": row.body}
            for row in ProgrammeEntry.objects.filter(person_id=person.pk).order_by("day")
        ],
        "links to join": Invitation.objects.filter(made_by=person).count(),
        "calendar addresses": CalendarAddress.objects.filter(person=person).count(),
        "tokens": list(Token.objects.filter(person=person).values_list("name", flat=True)),
        "photos": list(Photo.objects.filter(person=person).values_list("sha256", flat=True)),
        "entries": [
            {"place": row.place_id, **row.read().as_json()}
            for row in _written(person).order_by("place_id", "seq").iterator(_BATCH)
        ],
    }


def _written(person: User) -> models.QuerySet[Entry]:
    return Entry.objects.filter(person_id=person.pk)


def erase(person: User) -> Erased:
    """Take the name out: account, sessions, links, and who wrote each entry. What was written
    stays. BackupError where a place would be left without a coordinator."""
    name, nobody = person.get_username(), f"gone-{person.pk}"
    with transaction.atomic():
        _refuse_last(person)
        places = list(_written(person).values_list("place_id", flat=True).distinct())
        with _unlocked():
            entries = sum(_sealed_anew(place, person.pk, nobody) for place in places)
            lines: models.QuerySet[ProgrammeEntry] = models.QuerySet(ProgrammeEntry)
            lines.filter(person_id=person.pk).update(by=nobody)
        _forget(person, nobody)
    mentioned = Entry.objects.filter(body__icontains=name).count() if len(name) > 2 else 0
    return Erased(name, entries, len(places), mentioned)


def _refuse_last(person: User) -> None:
    standing = Membership.objects.filter(withdrawn_at=None)
    for mine in standing.filter(person=person, role="coordinator").select_related("place"):
        others = standing.filter(place=mine.place).exclude(person=person)
        if others.exists() and not others.filter(role="coordinator").exists():
            raise BackupError(
                f"{mine.place.name}: its only coordinator; make somebody else coordinator first"
            )
    many = ProgrammeMember.objects.filter(withdrawn_at=None)
    for role in many.filter(person=person, role="coordinator").select_related("programme"):
        rest = many.filter(programme=role.programme).exclude(person=person)
        if rest.exists() and not rest.filter(role="coordinator").exists():
            raise BackupError(
                f"{role.programme.name}: its only coordinator; make somebody else coordinator first"
            )


@contextmanager
def _unlocked() -> Iterator[None]:
    """Within one transaction the database lets entries be changed."""
    locks = [import_module(name) for name in _LOCKS]
    with connection.cursor() as cursor:
        for statement in (one for lock in locks for one in lock._BACK[connection.vendor]):
            cursor.execute(statement)
        yield
        for statement in (one for lock in locks for one in lock._FORTH[connection.vendor]):
            cursor.execute(statement)


def _sealed_anew(place: str, person: int, nobody: str) -> int:
    """Who wrote what becomes nobody, and every seal from the first such entry on is made anew."""
    rows: models.QuerySet[Entry] = models.QuerySet(Entry).filter(place_id=place)
    first = rows.filter(person_id=person).order_by("seq").first()
    assert first is not None
    before, changed = first.hash_before, 0
    for row in rows.filter(seq__gte=first.seq).order_by("seq").iterator(_BATCH):
        mine = row.person_id == person
        entry = replace(row.read(), by=nobody) if mine else row.read()
        seal = chain_hash(before, entry)
        rows.filter(pk=row.pk).update(by=entry.by or "", hash_before=before, hash=seal)
        before, changed = seal, changed + mine
    Place.objects.filter(pk=place).update(last_hash=before)
    return changed


def _forget(person: User, nobody: str) -> None:
    now = timezone.now()
    Membership.objects.filter(person=person, withdrawn_at=None).update(withdrawn_at=now)
    ProgrammeMember.objects.filter(person=person, withdrawn_at=None).update(withdrawn_at=now)
    ProgrammeLink.objects.filter(made_by=person, withdrawn_at=None).update(withdrawn_at=now)
    Invitation.objects.filter(made_by=person, withdrawn_at=None).update(withdrawn_at=now)
    for model in (CalendarAddress, Token, Preference):
        model.objects.filter(person=person).delete()
    for session in Session.objects.iterator(_BATCH):
        if session.get_decoded().get("_auth_user_id") == str(person.pk):
            session.delete()
    _forget_tries(person.get_username())
    person.username, person.last_login, person.is_active = nobody, None, False
    person.email = person.first_name = person.last_name = ""
    person.set_unusable_password()
    person.save()


def _forget_tries(name: str) -> None:
    """Failed and good sign-ins are kept by name."""
    from axes.models import AccessAttempt, AccessFailureLog, AccessLog

    for model in (AccessAttempt, AccessFailureLog, AccessLog):
        model.objects.filter(username=name).delete()
