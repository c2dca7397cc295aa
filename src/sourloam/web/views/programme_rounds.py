"""The round of a day: planned, driven, printed."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.text import slugify
from django.views.decorators.http import require_GET

from sourloam.documents import DocumentError
from sourloam.documents import round as on_paper
from sourloam.logbook import models, programmes
from sourloam.logbook.refusals import Refused
from sourloam.web import reading
from sourloam.web import wording as w
from sourloam.web.programmes import form as programme_form
from sourloam.web.programmes import round as on_round
from sourloam.web.programmes.house import Yard, in_yard
from sourloam.web.views.asking import must, page
from sourloam.web.views.programme_asking import base, printing, refuse


@in_yard
def round_(request: HttpRequest, yard: Yard, day: str = "") -> HttpResponse:
    """The round of a day, or the next that is planned; by POST it is planned, anew only by whoever
    says so once more."""
    if request.method == "POST":
        return _plan(request, yard, _day(request.POST.get("day", day), yard))
    on = _day(day, yard) if day else _next(yard)
    found = programmes.round_on(yard.programme, on)
    context: dict[str, Any] = {
        "day": on,
        "chosen": on.isoformat(),
        "day_word": w.week_day(on),
        "days": _days(yard, on),
        "lacks": _lacks(yard),
    }
    if found is not None:
        rows = programmes.entries(yard.programme, on)
        stops = on_round.round_stops(yard, found, rows, on)
        context |= {
            "round": on_round.round_head(yard, on, found),
            "stops": stops,
            "anew": on_round.anew(stops) if "anew" in request.GET and yard.may_write else "",
            "left_out": on_round.left_out(yard, found),
            "unit": programme_form.mass_unit(yard.units == "us"),
            "on_day": on == yard.today,
        }
    return page(request, "programme_round", base(yard, "round") | context)


def _lacks(yard: Yard) -> str:
    """What must be there before a round can be planned."""
    if not models.ProgrammePlace.objects.filter(programme=yard.programme, left=None).exists():
        return "places"
    return "hub" if yard.programme.latitude is None else ""


def _plan(request: HttpRequest, yard: Yard, on: dt.date) -> HttpResponse:
    must(yard.may_write)
    there = reverse("web:programme_round", args=[yard.id, on.isoformat()])
    if "sure" not in request.POST and programmes.round_on(yard.programme, on) is not None:
        return redirect(f"{there}?anew=1")
    try:
        programmes.plan(reading.person_of(request), yard.programme, on)
    except Refused as refused:
        refuse(request, refused)
        return redirect("web:programme_settings", yard.id)
    return redirect(there)


def _next(yard: Yard) -> dt.date:
    """The day of the next round; today where none is planned."""
    found = programmes.next_round(yard.programme)
    return yard.today if found is None else found[0]


def _day(text: str, yard: Yard) -> dt.date:
    if not text:
        return yard.today
    try:
        return dt.date.fromisoformat(text)
    except ValueError:
        raise Http404 from None


def _days(yard: Yard, on: dt.date) -> list[tuple[str, str]]:
    """Days that may be planned: the coming week, and the one that is looked at."""
    week = {yard.today + dt.timedelta(days=ahead) for ahead in range(7)}
    days = sorted(week | {on}) if on >= yard.today else sorted(week)
    return [(day.isoformat(), w.week_day(day)) for day in days]


@require_GET
@in_yard
def round_sheet(request: HttpRequest, yard: Yard, day: str) -> HttpResponse:
    """The round to print."""
    on = _day(day, yard)
    found = programmes.round_on(yard.programme, on)
    if found is None:
        raise Http404
    how = replace(printing(request, yard), day=on)
    try:
        made = on_paper.round_sheet(yard.name, found, on_round.round_picture(found), on, how)
    except DocumentError as error:
        messages.error(request, str(error))
        return redirect("web:programme_round", yard.id, on.isoformat())
    response = HttpResponse(made, content_type="application/pdf")
    name = f"{slugify(yard.name) or 'programme'}-round-{on:%Y-%m-%d}.pdf"
    response["Content-Disposition"] = f'inline; filename="{name}"'
    return response
