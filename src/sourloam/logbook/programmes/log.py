"""A programme's own log: a line written, struck or set right, and the lines that count."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from django.contrib.auth.models import User
from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from sourloam.logbook.models import Programme, ProgrammeEntry
from sourloam.logbook.permissions import must_in_programme
from sourloam.logbook.programmes.making import LONGEST_NAME, today
from sourloam.logbook.programmes.places import place_of
from sourloam.logbook.refusals import Refused
from sourloam.programme import DEEDS, Deed, DeedError, checked, numbers

_OLDEST = dt.timedelta(days=3660)  # a line may be entered so late


@dataclass(frozen=True)
class Beside:
    """Who wrote a line, where that is more than the person's name; the day that it is of, where
    that is another one than today."""

    by: str = ""
    on: dt.date | None = None


_NOTHING_BESIDE = Beside()


def write(
    person: User,
    programme: Programme,
    kind: str,
    body: Mapping[str, Any],
    place: str = "",
    supersedes: str = "",
    entry: uuid.UUID | None = None,
    beside: Beside = _NOTHING_BESIDE,
) -> ProgrammeEntry:
    """One line of the programme's own log; the same id again is the same one line. Refused (422)
    for what can't be."""
    on = beside.on
    must_in_programme(person, programme.pk, "write")
    try:
        kept = checked(kind, body)
    except DeedError as error:
        raise Refused(str(error), 422, str(error).partition(":")[0]) from None
    if DEEDS[kind].of_place and not place:
        line = _("place: say at which place; this line is of one")
        raise Refused(line, 422, "place")
    if place:
        place_of(programme, place)
    if on is not None:
        within(on, today(programme) - _OLDEST, today(programme))
    older = _superseded(programme, supersedes) if supersedes or kind == "struck" else None
    row = ProgrammeEntry(
        id=entry or uuid.uuid4(),
        programme=programme,
        place_id=place or None,
        kind=kind,
        day=on or today(programme),
        person=person,
        by=(beside.by or person.get_username())[:LONGEST_NAME],
        supersedes=older,
        body=kept,
    )
    try:
        with transaction.atomic():
            row.save()
            _at_hub(programme, row)
    except IntegrityError:
        known = ProgrammeEntry.objects.filter(pk=row.pk, programme=programme).first()
        same = known is not None and on in (None, known.day)
        if known is None or not same or (known.kind, known.body) != (kind, kept):
            raise Refused(_("Another entry here has that id."), 409) from None
        return known
    return row


def _superseded(programme: Programme, supersedes: str) -> uuid.UUID:
    try:
        found = uuid.UUID(supersedes)
    except ValueError:
        raise Refused(_("There is no such entry."), 404) from None
    if not ProgrammeEntry.objects.filter(pk=found, programme=programme).exists():
        raise Refused(_("There is no such entry."), 404)
    return found


def _at_hub(programme: Programme, row: ProgrammeEntry) -> None:
    """Bran that was left somewhere is no longer at the hub; what was struck is there again."""
    back = 0.0 if row.supersedes is None else _bran_back(row, row.supersedes)
    away = row.body.get("kg", 0.0) if row.kind == "bran" else 0.0
    if back != away:
        held = Programme.objects.select_for_update().get(pk=programme.pk)
        programme.bran_kg = max(round(held.bran_kg + back - away, 3), 0.0)
        programme.save(update_fields=["bran_kg"])


def _bran_back(row: ProgrammeEntry, older: uuid.UUID) -> float:
    own = ProgrammeEntry.objects.filter(programme_id=row.programme_id)
    if own.filter(supersedes=older).exclude(pk=row.pk).exists():
        return 0.0  # it was taken out before
    given = own.filter(pk=older, kind="bran").first()
    return 0.0 if given is None else float(given.body.get("kg", 0.0))


def within(day: dt.date, first: dt.date, last: dt.date) -> None:
    """Refused (422) for a day outside of a span."""
    if not first <= day <= last:
        span = {"first": first.isoformat(), "last": last.isoformat()}
        raise Refused(_("day: choose one from %(first)s to %(last)s") % span, 422, "day")


def entries(programme: Programme, since: dt.date | None = None) -> list[ProgrammeEntry]:
    """Lines that count, the newest first."""
    rows = ProgrammeEntry.objects.filter(programme=programme)
    gone = set(rows.exclude(supersedes=None).values_list("supersedes", flat=True))
    if since is not None:
        rows = rows.filter(day__gte=since)
    found = rows.exclude(kind="struck").select_related("place").order_by("-day", "-written_at")
    return [row for row in found if row.pk not in gone]


def deeds(rows: Iterable[ProgrammeEntry]) -> list[Deed]:
    """What the figures count."""
    return [Deed(row.kind, row.day, numbers(row.body)) for row in rows]
