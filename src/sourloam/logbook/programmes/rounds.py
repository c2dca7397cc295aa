"""Rounds of a programme: planned for a day, kept and read again."""

from __future__ import annotations

import datetime as dt

from django.contrib.auth.models import User
from django.utils.translation import gettext as _

from sourloam.logbook.models import Programme, ProgrammeRound
from sourloam.logbook.permissions import must_in_programme
from sourloam.logbook.programmes.log import within
from sourloam.logbook.programmes.making import today
from sourloam.logbook.programmes.mornings import morning_of
from sourloam.logbook.programmes.places import seconds, where
from sourloam.logbook.refusals import Refused
from sourloam.programme import Round, Van, calls, drawn, plan_round, read_round, round_as_json

_FORESEEN = dt.timedelta(days=60)  # so far ahead a round may be planned


def plan(person: User, programme: Programme, on: dt.date) -> Round:
    """Plan the round of a day that comes and keep it. Refused (422) without a hub on the map."""
    must_in_programme(person, programme.pk, "plan round")
    within(on, today(programme), today(programme) + _FORESEEN)
    return plan_for(programme, on)


def plan_for(programme: Programme, on: dt.date) -> Round:
    """The same without asking who wants it."""
    if programme.latitude is None or programme.longitude is None:
        raise Refused(_("Say first where the hub lies."), 422)
    now = today(programme)
    found_today, facts = morning_of(programme)
    helped = found_today.help
    van = Van(
        (programme.latitude, programme.longitude),
        programme.hub or programme.name,
        programme.room,
        programme.payload_kg,
        seconds(programme.starts),
        seconds(programme.ends),
    )
    found = plan_round(calls(facts, helped, where(programme), now, on), van, drawn())
    ProgrammeRound.objects.update_or_create(
        programme=programme, day=on, defaults={"plan": round_as_json(found)}
    )
    return found


def next_round(programme: Programme) -> tuple[dt.date, Round] | None:
    """The round that was planned for today or the nearest day after it."""
    rows = ProgrammeRound.objects.filter(programme=programme, day__gte=today(programme))
    found = rows.order_by("day").first()
    try:
        return None if found is None else (found.day, read_round(found.plan))
    except ValueError:  # kept by an older version
        return None


def round_on(programme: Programme, day: dt.date) -> Round | None:
    """The round of one day, None if none was planned."""
    found = ProgrammeRound.objects.filter(programme=programme, day=day).first()
    try:
        return None if found is None else read_round(found.plan)
    except ValueError:
        return None
