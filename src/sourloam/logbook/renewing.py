"""Computing anew what is kept of one place, here or elsewhere, and keeping it."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.db.models import Q
from django.utils import timezone

import sourloam
from sourloam.logbook import summarising
from sourloam.logbook.foreseeing import today_in
from sourloam.logbook.models import Entry, Forecast, Place, PlaceNow, PlaceSaved
from sourloam.logbook.models.entry import COLUMNS, read_row
from sourloam.logbook.standing import state_of
from sourloam.programme.night import MEMBERS, Done, Task, pack, reckon

_TEACH = ("emptied", "buried", "place_described", "measure_set", "struck")
_BATCH = 2000
_SAVED_DAYS = 7  # what was saved is reckoned anew this often: it moves slowly, and takes longer


@dataclass(frozen=True)
class Away:
    """A place's work with all that it needs, to be done by another machine."""

    task: Task
    log: bytes
    seq: int


def renew(place_id: str, now: dt.datetime | None = None, members: int = MEMBERS) -> int:
    """Compute what waits of one place, and keep it; how many forecasts were computed.

    Only vessels with news are foreseen anew, all of them on a new day or when the place itself
    changed. A fault in computing leaves the older forecasts out, and is kept as ``trouble``.
    """
    place = Place.objects.get(pk=place_id)
    state, seq = state_of(place.pk, place.zone)
    # After the state: its news reaches as far.
    task = _task(place, now or timezone.now(), members)
    return keep(task, seq, reckon(task, state))


def sent_away(place_id: str, now: dt.datetime | None = None, members: int = MEMBERS) -> Away:
    """The same to be done elsewhere: nothing but entries and what was kept goes with it."""
    place = Place.objects.get(pk=place_id)
    rows = list(
        Entry.objects.filter(place_id=place_id)
        .order_by("seq")
        .values_list("seq", *COLUMNS)
        .iterator(_BATCH)
    )
    task = _task(place, now or timezone.now(), members)
    return Away(task, pack([read_row(row[1:]) for row in rows]), rows[-1][0] if rows else 0)


def keep(task: Task, seq: int, done: Done) -> int:
    """Keep what came out, unless somebody was faster with newer entries or a newer day."""
    place = task.place[0]
    with transaction.atomic():
        now = PlaceNow.objects.select_for_update().get(place_id=place)
        if now.done_seq > seq or (now.done_for is not None and now.done_for > task.today):
            return 0
        stale = Forecast.objects.filter(place_id=place)
        (stale if task.news is None else stale.filter(vessel__in=task.news)).delete()
        Forecast.objects.bulk_create(
            Forecast(place_id=place, vessel=vessel, seq=seq, summary=summary)
            for vessel, summary in done.foreseen.items()
        )
        PlaceNow.objects.filter(place_id=place).update(
            done_seq=seq, done_for=task.today, trouble=done.trouble, learned=done.learned
        )
        if done.facts is not None:
            summarising.keep_facts(place, seq, done.facts)
        if task.saved:
            PlaceSaved.objects.update_or_create(
                place_id=place,
                defaults={
                    "seq": seq,
                    "day": task.today,
                    "version": task.version,
                    "worlds": done.saved,
                },
            )
    return len(done.foreseen)


def _task(place: Place, now: dt.datetime, members: int) -> Task:
    before = PlaceNow.objects.get(place_id=place.pk)
    today = today_in(place, now)
    in_programme = summarising.in_programme(place.pk)
    return Task(
        (place.pk, place.name),
        place.zone,
        today,
        None if before.done_for != today else _vessels_with_news(place.pk, before.done_seq),
        _learned_before(before),
        dict(Forecast.objects.filter(place=place).values_list("vessel", "summary")),
        in_programme,
        in_programme and _saved_is_old(place, today),
        members=members,
    )


def _vessels_with_news(place_id: str, since: int) -> tuple[str, ...] | None:
    """Ids of vessels that newer entries are about; None if all may be touched."""
    fresh = Entry.objects.filter(place_id=place_id, seq__gt=since)
    found = set(fresh.values_list("filings__thing", flat=True))
    things = {thing.partition(":")[::2] for thing in found if thing is not None}
    if any(sort == "place" for sort, _thing in things):
        return None
    return tuple(sorted(thing for sort, thing in things if sort == "vessel"))


def _learned_before(before: PlaceNow) -> dict[str, Any] | None:
    """What finished vessels taught: kept until one more is finished or something is put right."""
    fresh = Entry.objects.filter(place_id=before.place_id, seq__gt=before.done_seq)
    taught = fresh.filter(Q(kind__in=_TEACH) | Q(supersedes__isnull=False)).exists()
    return None if taught else before.learned


def _saved_is_old(place: Place, today: dt.date) -> bool:
    kept = PlaceSaved.objects.filter(place=place).values_list("seq", "day", "version").first()
    if kept is None or kept[2] != sourloam.__version__:
        return True
    old = today - kept[1] >= dt.timedelta(days=_SAVED_DAYS) or today < kept[1]
    return old and bool(kept[0] != place.last_seq)
