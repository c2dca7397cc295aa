"""Keeping ready what the programmes of a place need to know of it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Any

from sourloam.ledger import PlaceState
from sourloam.logbook.models import Forecast, Place, PlaceSummary, ProgrammePlace
from sourloam.programme import facts_of


def in_programme(place: str) -> bool:
    """Whether any programme has a place."""
    return ProgrammePlace.objects.filter(place_id=place, left=None).exists()


def summarise(place: Place, state: PlaceState, seq: int, today: dt.date) -> bool:
    """Make the facts of a place anew and keep them; False where no programme has it."""
    if not in_programme(place.pk):
        return False
    said = dict(Forecast.objects.filter(place=place).values_list("vessel", "summary"))
    keep_facts(place.pk, seq, facts_of((place.pk, place.name), state, said, today).as_json())
    return True


def keep_facts(place: str, seq: int, facts: Mapping[str, Any]) -> None:
    """Keep the facts of a place."""
    PlaceSummary.objects.update_or_create(place_id=place, defaults={"seq": seq, "facts": facts})
