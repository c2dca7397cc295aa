"""What the places of a programme saved together: added up from what is kept of each."""

from __future__ import annotations

import datetime as dt
from collections import OrderedDict
from collections.abc import Iterator
from dataclasses import dataclass

from django.db.models import Count, Max, Min, QuerySet, Sum

import sourloam
from sourloam.impact import Saved, SavedTogether, saved_together
from sourloam.logbook.models import PlaceSaved, Programme, ProgrammePlace

_BATCH = 100
_PROGRAMMES = 20  # whose sum this process keeps


@dataclass(frozen=True)
class SavedThere:
    """The sum, None while there is nothing to add; places whose turn is still to come; the days as
    of which places were reckoned."""

    together: SavedTogether | None
    waiting: int
    first: dt.date | None
    last: dt.date | None


_kept: OrderedDict[str, tuple[tuple[object, ...], SavedThere]] = OrderedDict()


def saved_in(programme: Programme, driven_km: float) -> SavedThere:
    """What a programme's places saved: added anew only where one of them was reckoned anew, or
    more was driven."""
    places = ProgrammePlace.objects.filter(programme=programme, left=None, place__last_seq__gt=0)
    rows = PlaceSaved.objects.filter(
        place_id__in=places.values("place_id"), version=sourloam.__version__
    )
    told = rows.aggregate(many=Count("pk"), first=Min("day"), last=Max("day"), seqs=Sum("seq"))
    number = places.count()
    stamp = (number, driven_km, *told.values())
    found = _kept.get(programme.pk)
    if found is None or found[0] != stamp:
        waiting = max(number - told["many"], 0)
        there = SavedThere(
            saved_together(_each(rows), driven_km), waiting, told["first"], told["last"]
        )
        found = _kept[programme.pk] = (stamp, there)
        while len(_kept) > _PROGRAMMES:
            _kept.popitem(last=False)
    return found[1]


def _each(rows: QuerySet[PlaceSaved]) -> Iterator[Saved]:
    """One at a time; places whose log gives nothing to reckon add nothing."""
    for worlds in rows.order_by("pk").values_list("worlds", flat=True).iterator(_BATCH):
        if worlds is not None:
            yield Saved.from_json(worlds)
