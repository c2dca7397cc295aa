"""A round as its page and its sheet show it."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from math import cos, radians
from typing import Any

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from sourloam import drawing
from sourloam.documents.round import clock
from sourloam.logbook.models import ProgrammeEntry
from sourloam.programme import (
    Call,
    Round,
)
from sourloam.web import wording as w
from sourloam.web.pictures import shown
from sourloam.web.programmes import words as pw
from sourloam.web.programmes.house import Yard
from sourloam.web.programmes.place import entry

_KM_DEGREE = 111.2
_MAP = (drawing.WIDE, 190.0)  # on the morning page, beside much else
_PRESSING = 0.5
_MOST_LEFT_OUT = 60


def round_head(yard: Yard, day: dt.date, found: Round) -> dict[str, Any]:
    """A round in a few words, with its map."""
    low, middle, high = found.hours
    km = found.way_km
    return {
        "day": day,
        "day_word": w.week_day(day),
        "url": reverse("web:programme_round", args=[yard.id, day.isoformat()]),
        "stops": len(found.stops),
        "headline": _headline(found),
        "hours": _("%(m)s h (%(l)s – %(h)s)")
        % {"m": w.number(middle, 2), "l": w.number(low, 2), "h": w.number(high, 2)},
        "way": _("%(m)s km (%(l)s – %(h)s)")
        % {"m": w.number(km[1], 2), "l": w.number(km[0], 2), "h": w.number(km[2], 2)},
        "back": clock(found.back_s),
        "starts": clock(found.sets_out_s),
        "load": found.clean,
        "kg": w.kg(found.kg, yard.units),
        "bran": w.kg(found.bran_kg, yard.units) if found.bran_kg else "",
        "trips": found.trips,
        "map": shown(drawing.draw_round(round_picture(found))),
        "small_map": shown(drawing.draw_round(round_picture(found), _MAP)),
    }  # fmt: skip


def _headline(found: Round) -> str:
    if not found.stops:
        return _("Nothing to fetch on this day")
    stops = ngettext("%(n)d stop, %(v)s", "%(n)d stops, %(v)s", len(found.stops))
    return stops % {"n": len(found.stops), "v": w.vessels_count(found.full)}


def round_picture(found: Round) -> drawing.RoundPicture:
    """The round on paper: kilometres from the hub."""
    hub = found.van.hub

    def stop(at: tuple[float, float], pressing: bool, trip: int) -> drawing.MapStop:
        north = (at[0] - hub[0]) * _KM_DEGREE
        east = (at[1] - hub[1]) * _KM_DEGREE * cos(radians(hub[0]))
        return drawing.MapStop(east, north, pressing, trip)

    stops = [
        stop(s.call.at, s.call.pressing >= _PRESSING, s.trip) for s in found.stops if s.call.at
    ]
    names = "; ".join(f"{n}: {s.call.name}" for n, s in enumerate(found.stops, start=1))
    return drawing.RoundPicture(
        tuple(stops), found.van.hub_name, title=_("The round"), desc=names, scale=_("{km} km")
    )


def round_stops(
    yard: Yard, found: Round, log: Iterable[ProgrammeEntry], day: dt.date
) -> list[dict[str, Any]]:
    """Every stop with what to do there, and what was weighed already."""
    weighed = {r.place_id: r for r in log if r.kind == "fetched" and r.day == day}
    return [
        {
            "number": number,
            "id": stop.call.id,
            "name": stop.call.name,
            "url": reverse("web:programme_place", args=[yard.id, stop.call.id]),
            "arrive": clock(stop.arrive_s),
            "full": stop.call.full,
            "clean": stop.call.clean,
            "fetch": _("Fetch %(full)s, leave %(clean)d clean")
            % {"full": w.vessels_count(stop.call.full), "clean": stop.call.clean},
            "kg": w.kg(stop.call.kg, yard.units),
            "bran": _bring(stop.call, yard),
            "how": stop.call.how,
            "pressing": stop.call.pressing >= _PRESSING,
            "trip": stop.trip,
            "board": _("on board then: %(full)d full, %(clean)d clean, %(kg)s")
            % {
                "full": stop.full_on_board,
                "clean": stop.clean_on_board,
                "kg": w.kg(stop.kg_on_board, yard.units),
            },
            "weighed": entry(weighed[stop.call.id], yard) if stop.call.id in weighed else None,
            "taken": _taken(weighed.get(stop.call.id)),
        }
        for number, stop in enumerate(found.stops, start=1)
    ]


def _taken(weighed: ProgrammeEntry | None) -> str:
    """What counts as gone from there until the place's own log tells."""
    if weighed is None or not weighed.body.get("vessels", 1):
        return ""
    return _("taken on %(day)s") % {"day": w.day(weighed.day)}


def _bring(call: Call, yard: Yard) -> str:
    return (
        _("bring %(kg)s of bran") % {"kg": w.kg(call.bran_kg, yard.units)} if call.bran_kg else ""
    )


def anew(stops: Sequence[Mapping[str, Any]]) -> str:
    """What stands already on a day that is to be planned anew."""
    done = sum(stop["weighed"] is not None for stop in stops)
    return ngettext(
        "This day has a round of %(n)d stop already; weighed: %(done)d.",
        "This day has a round of %(n)d stops already; weighed: %(done)d.",
        len(stops),
    ) % {"n": len(stops), "done": done}


def left_out(yard: Yard, found: Round) -> dict[str, Any]:
    """Calls that are not on the round: how many, how many for which reason, the first of them."""
    calls = found.left_out
    why = Counter(reason for _call, reason in calls)
    return {
        "number": len(calls),
        "reasons": "; ".join(f"{w.word(pw.LEFT_OUT, one)}: {n}" for one, n in why.items()),
        "rows": [
            {
                "name": call.name,
                "url": reverse("web:programme_place", args=[yard.id, call.id]),
                "why": w.word(pw.LEFT_OUT, reason),
            }
            for call, reason in calls[:_MOST_LEFT_OUT]
        ],
        "more": max(len(calls) - _MOST_LEFT_OUT, 0),
    }
