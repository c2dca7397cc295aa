"""A programme itself: made, its name, hub, van and hours changed, its date."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Any
from zoneinfo import ZoneInfo

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from sourloam.logbook.models import Programme, ProgrammeMember
from sourloam.logbook.models.place import zone_or_utc
from sourloam.logbook.permissions import must_in_programme
from sourloam.logbook.refusals import Refused

LONGEST_NAME = 80


def make_programme(
    person: User, name: str, zone: str = "UTC", programme: str | None = None
) -> Programme:
    """A new programme with its maker as coordinator; Refused (422) for a name that can't be.
    ``programme`` is its id where whoever asks made one."""
    given = {} if programme is None else {"id": programme}
    with transaction.atomic():
        found = Programme.objects.create(**given, name=_name(name), zone=zone_or_utc(zone))
        ProgrammeMember.objects.create(programme=found, person=person, role="coordinator")
    return found


def _name(text: str) -> str:
    name = " ".join(text.split())
    if not 0 < len(name) <= LONGEST_NAME or not name.isprintable():
        raise Refused(_("A name has 1 to 80 letters."), 422)
    return name


def today(programme: Programme) -> dt.date:
    """The date where the programme is."""
    return timezone.now().astimezone(ZoneInfo(programme.zone)).date()


def change(person: User, programme: Programme, given: Mapping[str, Any]) -> None:
    """Name, hub, van and hours; the values were read and checked by the form."""
    must_in_programme(person, programme.pk, "change programme")
    for key, value in given.items():
        setattr(programme, key, _name(value) if key == "name" else value)
    if programme.ends <= programme.starts:
        raise Refused(_("The round must end after it starts."), 422)
    programme.save(update_fields=list(given))
