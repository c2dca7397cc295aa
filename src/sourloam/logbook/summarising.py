"""Keeping ready what the programmes of a place need to know of it."""

from __future__ import annotations

import datetime as dt

from sourloam.ledger import PlaceState
from sourloam.logbook.models import Forecast, Place, PlaceSummary, ProgrammePlace
from sourloam.programme import facts_of


def summarise(place: Place, state: PlaceState, seq: int, today: dt.date) -> bool:
    """Make the facts of a place anew and keep them; False where no programme has it."""
    if not ProgrammePlace.objects.filter(place=place, left=None).exists():
        return False
    said = dict(Forecast.objects.filter(place=place).values_list("vessel", "summary"))
    facts = facts_of((place.pk, place.name), state, said, today)
    PlaceSummary.objects.update_or_create(
        place=place, defaults={"seq": seq, "facts": facts.as_json()}
    )
    return True
