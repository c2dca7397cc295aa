"""Forecasts, computed after an entry came in: never while somebody waits for a page.

The mark of what waits is a row in the database, so it outlives a restart. One thread of the
serving process works through the marks; where the forecast room is not there, vessels simply
have no forecast.
"""

from __future__ import annotations

from django.db.models import F, Value
from django.db.models.functions import Greatest

from sourloam.logbook.models import PlaceNow


def mark(place_id: str, seq: int) -> None:
    """Say that forecasts of a place must be computed anew, up to entry ``seq``."""
    changed = PlaceNow.objects.filter(place_id=place_id).update(
        wanted_seq=Greatest(F("wanted_seq"), Value(seq))
    )
    if not changed:
        PlaceNow.objects.create(place_id=place_id, wanted_seq=seq)


def wake() -> None:
    """Tell the thread, if one runs here, that there is work."""
