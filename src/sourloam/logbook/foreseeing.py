"""Forecasts, computed after an entry came in: never while somebody waits for an answer.

The mark of what waits is a row of the database, so it outlives a restart. A process of its own
(see ``foreseeing_process``) works through the marks, so that the server's threads stay free.
"""

from __future__ import annotations

import datetime as dt
from typing import BinaryIO
from zoneinfo import ZoneInfo

from django.db.models import F, Q, Value
from django.db.models.functions import Greatest

from sourloam.logbook.filing import PLACE
from sourloam.logbook.models import Entry, Place, PlaceNow

_MOST_AHEAD = dt.timedelta(hours=14)  # of all zones, over UTC
_worker: BinaryIO | None = None


def mark(place_id: str, seq: int) -> None:
    """Say that forecasts of a place must be computed anew, up to entry ``seq``."""
    changed = PlaceNow.objects.filter(place_id=place_id).update(
        wanted_seq=Greatest(F("wanted_seq"), Value(seq))
    )
    if not changed:
        PlaceNow.objects.create(place_id=place_id, wanted_seq=seq)


def mark_anew(place_id: str) -> None:
    """Say that all forecasts of a place must be computed anew: its days are other ones."""
    PlaceNow.objects.filter(place_id=place_id).update(done_for=None)


def listen(worker: BinaryIO | None) -> None:
    """From now on ``wake`` writes to this pipe; None: nobody listens."""
    global _worker
    _worker = worker


def wake() -> None:
    """Tell the process that there is work; without one nothing happens, and the mark waits."""
    if _worker is not None:
        try:
            _worker.write(b"\n")
        except (OSError, ValueError):
            listen(None)


def waiting(now: dt.datetime) -> list[str]:
    """Places whose forecasts are of an older entry, then those of an older day."""
    old = Q(done_for__isnull=True) | Q(done_for__lt=_latest_date(now))
    rows = PlaceNow.objects.select_related("place")
    behind = list(rows.filter(wanted_seq__gt=F("done_seq")).values_list("place_id", flat=True))
    rest = [
        r for r in rows.filter(old) if r.done_for is None or today_in(r.place, now) > r.done_for
    ]
    return [*behind, *(r.place_id for r in rest if r.place_id not in behind)]


def is_behind(place_id: str, vessel: str) -> bool:
    """Whether entries about a vessel, or about its place, came after it was foreseen."""
    rows = PlaceNow.objects.filter(place_id=place_id, wanted_seq__gt=F("done_seq"))
    done = rows.values_list("done_seq", flat=True).first()
    if done is None:
        return False
    about = (f"vessel:{vessel}", PLACE)
    fresh = Entry.objects.filter(place_id=place_id, seq__gt=done, filings__thing__in=about)
    return fresh.exists()


def _latest_date(now: dt.datetime) -> dt.date:
    """The date where the day begins first."""
    return (now + _MOST_AHEAD).date()


def today_in(place: Place, now: dt.datetime) -> dt.date:
    """The date in a place."""
    return now.astimezone(ZoneInfo(place.zone)).date()
