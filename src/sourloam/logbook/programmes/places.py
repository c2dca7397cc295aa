"""Places of a programme: they come in, leave, and where each lies and when it opens."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Any

from django.contrib.auth.models import User
from django.utils import timezone
from django.utils.translation import gettext as _

from sourloam.logbook.foreseeing import mark, today_in, wake
from sourloam.logbook.models import Place, Programme, ProgrammePlace
from sourloam.logbook.permissions import may, must, must_in_programme, role_of
from sourloam.logbook.programmes.making import today
from sourloam.logbook.refusals import Refused
from sourloam.logbook.standing import state_of
from sourloam.logbook.summarising import summarise
from sourloam.programme import Where


def add_place(person: User, programme: Programme, place: str) -> ProgrammePlace:
    """A place of one's own comes in; one that left comes back."""
    must_in_programme(person, programme.pk, "add place")
    return bring(person, programme, place)


def bring(person: User, programme: Programme, place: str) -> ProgrammePlace:
    """The same without asking whether the person may bring places in."""
    must(person, place, "change place")
    found, _new = ProgrammePlace.objects.update_or_create(
        programme=programme,
        place_id=place,
        defaults={"left": None},
        create_defaults={"joined": today(programme)},
    )
    refresh(found.place)
    return found


def refresh(place: Place) -> None:
    """The facts of a place as they are now, and its forecasts anew by and by."""
    state, seq = state_of(place.pk, place.zone)
    summarise(place, state, seq, today_in(place, timezone.now()))
    mark(place.pk, place.last_seq)
    wake()


def let_go(person: User, programme: Programme, place: str) -> None:
    """A place leaves: by the programme's coordinator, or by whoever coordinates the place."""
    found = place_of(programme, place)
    try:
        must_in_programme(person, programme.pk, "let place go")
    except Refused as refused:
        if not may(role_of(person, place), "change place"):
            raise refused from None
    found.left = today(programme)
    found.save(update_fields=["left"])


def place_of(programme: Programme, place: str) -> ProgrammePlace:
    """A place that is in a programme; Refused (404) if it is not."""
    rows = ProgrammePlace.objects.filter(programme=programme, left=None)
    found = rows.filter(place_id=place).first() if place.isprintable() else None
    if found is None:
        raise Refused(_("There is no such place in this programme."), 404)
    return found


def settle(person: User, programme: Programme, place: str, given: Mapping[str, Any]) -> None:
    """Where a place lies, its hours, how it is found."""
    must_in_programme(person, programme.pk, "write")
    found = place_of(programme, place)
    for key, value in given.items():
        setattr(found, key, value)
    if found.opens and found.closes and found.closes <= found.opens:
        raise Refused(_("A place must close after it opens."), 422)
    found.save(update_fields=list(given))


def where(programme: Programme) -> dict[str, Where]:
    """Where each place lies, its hours."""
    rows = ProgrammePlace.objects.filter(programme=programme, left=None)
    return {row.place_id: _where(row) for row in rows}


def _where(row: ProgrammePlace) -> Where:
    lies = (row.latitude, row.longitude)
    return Where(
        None if lies[0] is None or lies[1] is None else (lies[0], lies[1]),
        0 if row.opens is None else seconds(row.opens),
        24 * 3600 if row.closes is None else seconds(row.closes),
        row.how,
    )


def seconds(clock: dt.time) -> int:
    """A time of day as seconds."""
    return clock.hour * 3600 + clock.minute * 60


def names_of(place: str) -> list[tuple[str, str]]:
    """Programmes that see a place: id and name."""
    rows = ProgrammePlace.objects.filter(place_id=place, left=None)
    return list(rows.order_by("programme__name").values_list("programme_id", "programme__name"))
