"""Set-up: the plan as a form with sliders, answered while they move."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST
from pydantic import ValidationError

from sourloam.web import reading
from sourloam.web import wording as w
from sourloam.web.house import House
from sourloam.web.setup.answer import answer, vessel_to_be
from sourloam.web.setup.sliders import wish_fields
from sourloam.web.setup.standing_up import furniture
from sourloam.web.setup.wishes import (
    KINDS,
    PLACES,
    Wishes,
    beginning,
    document,
    named,
    read_wishes,
    wishes_of,
)
from sourloam.web.views.asking import in_house, must, page


@in_house
def setup(request: HttpRequest, house: House) -> HttpResponse:
    """The sliders of a place that is there already."""
    base = reading.site_document(house)
    before = _stands(house, base) if base else Wishes(name=house.name)
    if request.method == "POST":
        must(house.may("place_described"))
        try:
            made = document(read_wishes(request.POST, house.today, before), base)
        except ValueError as error:
            messages.error(request, str(error))
            return redirect("web:setup", house.id)
        if "keep" in request.POST:
            status, line = reading.record(request, reading.described(house.id, made))
            messages.info(request, _("Kept") if status < 300 else line)
            return redirect("web:setup", house.id)
        before = read_wishes(request.POST, house.today, before)
    context = _form(before, base, house.units, request.method == "POST")
    context |= {"place": house, "here": "setup", "may_keep": house.may("place_described")}
    return page(request, "setup", context)


def _stands(house: House, base: dict[str, Any]) -> Wishes:
    """Where the sliders of a place stand, with the vessels that are on its shelf."""
    added = (v.added for v in reading.state_of(house).vessels if v.retired is None)
    kinds = Counter(one.body.spec.get("name", "") for one in added if one is not None)
    return wishes_of(reading.site(base), kinds)


@never_cache
@login_required
def new_place(request: HttpRequest) -> HttpResponse:
    """A place that begins from its plan."""
    today = dt.date.today()
    kind = _kind(request.POST if request.method == "POST" else request.GET)
    base = beginning(kind, today)
    wishes = _fresh(base)
    if request.method == "POST":
        try:
            wishes = read_wishes(request.POST, today, wishes)
            if "keep" in request.POST:
                return redirect("web:shelf", _made(request, wishes, base))
        except (ValueError, reading.Refused) as error:
            messages.error(request, str(error))
    units = reading.units_of(request)
    context = _form(wishes, base, units, request.method == "POST") | {
        "may_keep": True,
        "name": wishes.name or base["site"]["name"],
        "stand": request.POST.get("stand", ""),
        "kind": kind,
        "kinds": [(one, w.word(PLACES, one)) for one in KINDS],
    }
    return page(request, "setup", context)


def _fresh(base: dict[str, Any]) -> Wishes:
    """Where the sliders stand before anybody moved them."""
    return replace(wishes_of(reading.site(base)), name="", owned=())


def _kind(asked: Mapping[str, str]) -> str:
    kind = asked.get("kind", "")
    return kind if kind in KINDS else "home"


def _made(request: HttpRequest, wishes: Wishes, base: dict[str, Any]) -> str:
    """A place with its description, its vessels on the shelf and its beds."""
    made = named(document(wishes, base), wishes.name)
    asked = request.POST.get("stand", "")
    number = int(asked) if asked.isdecimal() else answer(made, "metric").needed or 0
    furnished = furniture(made, number, wishes.area_m2)
    return reading.new_place(request, made["site"]["name"], made, furnished)


@require_POST
@never_cache
@login_required
def setup_answer(request: HttpRequest) -> HttpResponse:
    """The answer alone, for the sliders."""
    place = request.POST.get("place")
    house = reading.house(request, place) if place else None
    if house is None:
        base: dict[str, Any] | None = beginning(_kind(request.POST), dt.date.today())
    else:
        base = reading.site_document(house)
    before = _stands(house, base) if house and base else _fresh(base) if base else None
    try:
        wishes = read_wishes(request.POST, dt.date.today(), before)
        context = _answered(wishes, base, reading.units_of(request))
    except ValueError as error:
        context = {"fault": str(error)}
    return page(request, "_answer", context)


def _answered(wishes: Wishes, base: dict[str, Any] | None, units: str) -> dict[str, Any]:
    try:
        return {"answer": answer(document(wishes, base), units)}
    except ValidationError as error:
        return {"fault": str(error.errors()[0]["msg"])}


def _form(wishes: Wishes, base: dict[str, Any] | None, units: str, reckon: bool) -> dict[str, Any]:
    """The sliders; ``reckon`` also answers, which a page with script asks for by itself."""
    shown = _answered(wishes, base, units) if reckon else {"to_be": _to_be(wishes, base)}
    return wish_fields(wishes, base, units) | shown


def _to_be(wishes: Wishes, base: dict[str, Any] | None) -> str:
    return vessel_to_be(document(wishes, base))
