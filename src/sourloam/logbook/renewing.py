"""Computing anew the forecasts of one place, and keeping them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection

from django.db import transaction
from django.db.models import Q
from django.utils import timezone

from sourloam.forecast import Learned, Question, forecast_place, foreseen_before, learn_place
from sourloam.forecast.place import summaries
from sourloam.ledger import PlaceState
from sourloam.logbook import summarising
from sourloam.logbook.foreseeing import today_in
from sourloam.logbook.models import Entry, Forecast, Place, PlaceNow
from sourloam.logbook.standing import state_of
from sourloam.site import Site

_TEACH = ("emptied", "buried", "place_described", "measure_set", "struck")
_LONGEST_TROUBLE = 200
_HORIZON_DAYS = 60
_PAST = "narrowing"


def renew(place_id: str, now: dt.datetime | None = None) -> int:
    """Compute what waits of one place, and keep it; how many forecasts were computed.

    Only vessels with news are foreseen anew, all of them on a new day or when the place itself
    changed. A fault in computing leaves the older forecasts out, and is kept as ``trouble``.
    """
    place = Place.objects.get(pk=place_id)
    before = PlaceNow.objects.get(place_id=place_id)
    today = today_in(place, now or timezone.now())
    state, seq = state_of(place.pk, place.zone)
    news = None if before.done_for != today else _vessels_with_news(place_id, before.done_seq)
    site = state.site()
    found, trouble, learned = {}, "", None
    if site is not None:
        try:
            learned = _learned(before, state, site, today)
            found = _foreseen(place_id, state, site, today, learned, news)
        except Exception as error:  # a forecast may fail; the log must go on
            trouble = f"{type(error).__name__}: {error}"[:_LONGEST_TROUBLE]
    with transaction.atomic():
        stale = Forecast.objects.filter(place_id=place_id)
        (stale if news is None else stale.filter(vessel__in=news)).delete()
        Forecast.objects.bulk_create(
            Forecast(place_id=place_id, vessel=vessel, seq=seq, summary=summary)
            for vessel, summary in found.items()
        )
        PlaceNow.objects.filter(place_id=place_id).update(
            done_seq=seq,
            done_for=today,
            trouble=trouble,
            learned=None if learned is None else learned.as_dict(),
        )
        summarising.summarise(place, state, seq, today)
    return len(found)


def _vessels_with_news(place_id: str, since: int) -> list[str] | None:
    """Ids of vessels that newer entries are about; None if all may be touched."""
    fresh = Entry.objects.filter(place_id=place_id, seq__gt=since)
    found = set(fresh.values_list("filings__thing", flat=True))
    things = {thing.partition(":")[::2] for thing in found if thing is not None}
    if any(sort == "place" for sort, _thing in things):
        return None
    return sorted(thing for sort, thing in things if sort == "vessel")


def _learned(before: PlaceNow, state: PlaceState, site: Site, today: dt.date) -> Learned:
    """What finished vessels taught: kept until one more is finished or something is put right."""
    fresh = Entry.objects.filter(place_id=before.place_id, seq__gt=before.done_seq)
    taught = fresh.filter(Q(kind__in=_TEACH) | Q(supersedes__isnull=False)).exists()
    if before.learned is not None and not taught:
        try:
            return Learned.from_dict(before.learned)
        except (KeyError, ValueError, TypeError):
            pass  # kept by an older version: learn anew
    return learn_place(state, site, Question(today, _HORIZON_DAYS))


def _foreseen(
    place_id: str,
    state: PlaceState,
    site: Site,
    today: dt.date,
    learned: Learned,
    news: Collection[str] | None,
) -> dict[str, dict[str, object]]:
    """Summaries by vessel, each with what its log said on past days (see ``foreseen_before``)."""
    question = Question(today, _HORIZON_DAYS)
    found = summaries(forecast_place(state, site, question, learned, news))
    past = foreseen_before(state, site, question, learned, news, _narrowed_before(place_id))
    return {vessel: {**said, _PAST: past.get(vessel, [])} for vessel, said in found.items()}


def _narrowed_before(place_id: str) -> dict[str, list[dict[str, object]]]:
    rows = Forecast.objects.filter(place_id=place_id).values_list("vessel", f"summary__{_PAST}")
    return {vessel: past for vessel, past in rows if isinstance(past, list)}
