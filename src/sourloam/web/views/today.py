"""Today over all places, and the shelf of one."""

from __future__ import annotations

import datetime as dt
import json
import math
from collections.abc import Sequence
from typing import Any

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET

from sourloam.web import reading
from sourloam.web import wording as w
from sourloam.web.addresses import address
from sourloam.web.house import House, Inside
from sourloam.web.log.oddities import odd
from sourloam.web.place.pressing import fewer, rank, wanted
from sourloam.web.place.season import season
from sourloam.web.place.shelf import headlines, holds, standing, summary
from sourloam.web.place.slips import FOLDED, OPEN, Slip, Visit, by_day, later, slips, to_do
from sourloam.web.programmes.house import yards
from sourloam.web.views.asking import in_house, page

_ON_TODAY, _ON_SHELF = 24, 60
_ON_ROW = 3  # vessels of a place on the first page where there are many: a row on a phone
_STRIPS = ("filling", "resting", "ready", "held", "failed")
_DRAWN = 8  # places shown with their shelf on the first page; the others by name
_BRIEF = 4  # slips of a place that lies folded, where there are many
_WHOLE = 4  # so many places show all their work; of more, only the one that lies open does


@require_GET
@never_cache
@login_required
def today(request: HttpRequest) -> HttpResponse:
    """What every place of the reader wants today."""
    insides = reading.insides(request)
    found = [(inside, inside.known.visits) for inside in insides]
    found.sort(key=lambda one: rank(*one))
    many = len(found) > _WHOLE
    context: dict[str, Any] = {
        "houses": [
            _house(inside, mine, whole=place == 0 or not many, many=many)
            for place, (inside, mine) in enumerate(found[:_DRAWN])
        ],
        "others": [_named(inside, mine) for inside, mine in found[_DRAWN:]],
        **_headed([visit for _inside, mine in found for visit in mine], _DRAWN * (OPEN + FOLDED)),
        "day": insides[0].house.today if insides else None,
    }
    if len(insides) == 1:
        context |= {"place": insides[0].house, "here": "shelf"}
    context["yards"] = yards(request)
    if not insides:
        if context["yards"]:
            return redirect("web:programme", context["yards"][0].id)
        context["headline"] = _("Welcome")
    return page(request, "today", context, keep=True)


def _headed(found: Sequence[Visit], most: int = OPEN + FOLDED) -> dict[str, str]:
    """What the day asks, and what it would ask as work is done one by one."""
    said = headlines(found, most)
    return {"headline": said[0], "fewer": json.dumps(said, ensure_ascii=False)}


def _named(inside: Inside, found: Sequence[Visit]) -> dict[str, Any]:
    """One of many places: its name and what it wants."""
    house = inside.house
    url = address("shelf", house.id)
    return {"name": house.name, "url": url, "wants": wanted(inside, found)}


def _house(inside: Inside, found: Sequence[Visit], *, whole: bool, many: bool) -> dict[str, Any]:
    """A place with its shelf and what it wants today; ``whole``: all of that, and what comes;
    ``many``: of many places, so its shelf is one row."""
    slips_open, folded = (OPEN, FOLDED) if whole else (_BRIEF, 0)
    most = _ON_ROW if many else _ON_TODAY
    vessels, number = standing(inside, found, most=most, idle=False)
    return {
        "id": inside.house.id,
        "name": inside.house.name,
        "url": address("shelf", inside.house.id),
        "summary": summary(inside),
        "wants": wanted(inside, found),
        "fewer": fewer(inside, found, OPEN + FOLDED),
        "vessels": vessels,
        "more": _("All %(n)d vessels") % {"n": number} if number > len(vessels) else "",
        "todo": to_do(found, inside.house.id, inside.house.units, inside.state, slips_open, folded),
        "later": _later(inside, found) if whole else [],
        "may_write": inside.house.may("fed"),
    }


def _later(inside: Inside, found: Sequence[Visit]) -> list[tuple[dt.date, list[Slip]]]:
    house = inside.house
    return by_day(slips(later(found), house.id, house.units, inside.state))


@require_GET
@in_house
def shelf(request: HttpRequest, house: House) -> HttpResponse:
    """One place: its vessels on their planks and all its work."""
    inside = reading.inside(house)
    found = inside.known.visits
    asked = request.GET.get("page", "1")
    number = int(asked) if asked.isdecimal() and len(asked) < 5 else 1
    vessels, many = standing(inside, found, (max(number, 1) - 1) * _ON_SHELF, _ON_SHELF)
    pages = max(1, math.ceil(many / _ON_SHELF))
    document = reading.site_document(house)
    context = {
        "place": house,
        "here": "shelf",
        "day": house.today,
        **_headed(found),
        "vessels": vessels,
        "page": number,
        "pages": pages,
        "page_numbers": range(1, pages + 1),
        "todo": to_do(found, house.id, house.units, inside.state),
        "later": _later(inside, found) if number == 1 else [],
        "season": season(inside) if number == 1 else None,
        "states": [(s, w.word(w.STAGES, s)) for s in _STRIPS],
        "may_write": house.may("fed"),
        "may_keep": house.may_keep,
        "holds": holds(house.units),
        "kinds": [kind["name"] for kind in document["vessel"]] if document else [],
        "oddities": [odd(one, inside.state, house) for one in inside.state.oddities[-4:]],
    }
    return page(request, "shelf", context, keep=True)
