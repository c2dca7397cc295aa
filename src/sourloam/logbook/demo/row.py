"""The programme of the demo's places, put beside them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from django.contrib.auth.models import User

from sourloam.demo import SeasonPlace, together
from sourloam.demo.town import hub
from sourloam.logbook import programmes
from sourloam.logbook.demo.ids import ROW, demo_id
from sourloam.logbook.models import (
    Place,
    Programme,
    ProgrammeEntry,
    ProgrammeMember,
    ProgrammePlace,
)

_NAME, _HUB = "Alder exchange", "Garden shed"
_PAYLOAD_KG = 650.0


def load_row(
    person: User | None, places: Sequence[SeasonPlace], today: dt.date, seed: int = 1
) -> None:
    """Its places, its log and the round of next week; ``person`` coordinates it, or the first
    keeper does."""
    latitude, longitude = hub()
    programme = Programme.objects.create(
        id=ROW,
        name=_NAME,
        hub=_HUB,
        latitude=latitude,
        longitude=longitude,
        payload_kg=_PAYLOAD_KG,
    )
    if person is not None:
        ProgrammeMember.objects.create(programme=programme, person=person, role="coordinator")
    for one in places:
        _settle(programme, one, today)
    ProgrammeEntry.objects.bulk_create(
        ProgrammeEntry(
            programme=programme,
            place_id=None if line.place is None else demo_id(line.place),
            kind=line.kind,
            day=line.day,
            by="keeper",
            body=line.body,
        )
        for line in together.lines(places, today, seed)
    )
    programmes.plan_for(programme, together.round_day(today))


def _settle(programme: Programme, one: SeasonPlace, today: dt.date) -> None:
    spot = together.spots()[one.id]
    opens, closes = (None, None) if spot.hours is None else map(dt.time, spot.hours)
    place = Place.objects.get(pk=demo_id(one.id))
    ProgrammePlace.objects.create(
        programme=programme,
        place=place,
        joined=one.entries[0].at.date() if one.entries else today,
        latitude=spot.at[0],
        longitude=spot.at[1],
        opens=opens,
        closes=closes,
    )
    programmes.refresh(place)
