"""Facts of a programme's places: what each place's log tells, and what rounds changed since."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from django.db.models import Q

from sourloam.logbook.models import PlaceSummary, Programme, ProgrammeEntry, ProgrammePlace
from sourloam.programme import (
    Deed,
    PlaceFacts,
    Stay,
    after_deeds,
    by_lot,
    heeding,
    numbers,
    read_facts,
    read_warnings,
)
from sourloam.programme.recalls import Warned

_CHANGING = ("fetched", "bran")


def facts_in(programme: Programme, today: dt.date) -> list[PlaceFacts]:
    """Facts of every place of a programme: a few queries, however many places. A place that never
    wrote an entry is told by that; one whose entries wait to be reckoned is left out."""
    rows = ProgrammePlace.objects.filter(programme=programme, left=None)
    ids = rows.values("place_id")
    kept = dict(PlaceSummary.objects.filter(place_id__in=ids).values_list("place_id", "facts"))
    done = _deeds(programme)
    warned = by_lot((place, read_warnings(told.get("warns"))) for place, told in kept.items())
    found = (
        _facts(
            row,
            kept.get(row.place_id),
            done.get(row.place_id, ()),
            warned,
            today,
        )
        for row in rows.select_related("place").order_by("place_id")
    )
    return [one for one in found if one is not None]


def stays_in(programme: Programme) -> list[Stay]:
    """Every place that ever took part, those that left among them, with its months of scraps."""
    rows = ProgrammePlace.objects.filter(programme=programme)
    kept = PlaceSummary.objects.filter(place_id__in=rows.values("place_id"))
    facts = dict(kept.values_list("place_id", "facts"))
    return [Stay(row.joined, _months(facts.get(row.place_id), row.left)) for row in rows]


def _months(kept: Any, left: dt.date | None) -> tuple[dt.date, ...]:
    if kept is None:
        return ()
    months = (dt.date.fromisoformat(month) for month in read_facts(kept).kg_by_month)
    return tuple(month for month in months if left is None or month <= left)


def facts_at(row: ProgrammePlace, today: dt.date) -> PlaceFacts | None:
    """Facts of one place, None while they wait to be reckoned."""
    kept = PlaceSummary.objects.filter(place_id=row.place_id).values_list("facts", flat=True)
    done = _deeds(row.programme, row.place_id)
    ids = ProgrammePlace.objects.filter(programme=row.programme, left=None).values("place_id")
    rows = PlaceSummary.objects.filter(place_id__in=ids).values_list("place_id", "facts__warns")
    warned = by_lot((place, read_warnings(warns)) for place, warns in rows)
    return _facts(row, kept.first(), done.get(row.place_id, ()), warned, today)


def _facts(
    row: ProgrammePlace,
    kept: Any,
    deeds: Sequence[Deed],
    warned: Warned,
    today: dt.date,
) -> PlaceFacts | None:
    if kept is not None:
        told = heeding(read_facts(kept), warned)
    elif row.place.last_seq:
        return None
    else:
        told = PlaceFacts(row.place_id, row.place.name, "other", today)
    return after_deeds(replace(told, joined=row.joined), deeds, today)


def _deeds(programme: Programme, place: str | None = None) -> Mapping[str, list[Deed]]:
    """By place, or for one, what was done there that its own log may not tell."""
    changing = Q(kind__in=_CHANGING, place__isnull=False)
    if place is not None:
        changing &= Q(place_id=place)
    rows = ProgrammeEntry.objects.filter(changing | Q(supersedes__isnull=False))
    lines = list(
        rows.filter(programme=programme).values_list(
            "pk", "supersedes", "place_id", "kind", "day", "body"
        )
    )
    gone = {supersedes for _pk, supersedes, *_more in lines}
    found: dict[str, list[Deed]] = defaultdict(list)
    for pk, _supersedes, there, kind, day, body in lines:
        if kind in _CHANGING and there is not None and place in (None, there) and pk not in gone:
            found[there].append(Deed(kind, day, numbers(body)))
    return found
