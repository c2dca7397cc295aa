"""Figures for those who pay, and what an exchange of vessels takes."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.utils.text import slugify
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from sourloam.logbook import programmes
from sourloam.logbook.programme_facts import stays_in
from sourloam.logbook.refusals import Refused
from sourloam.logbook.saving import saved_in
from sourloam.programme import Deed, Exchange, PlaceFacts, drawn, figures_within, fleet, stayed
from sourloam.web.programmes import figures as in_figures
from sourloam.web.programmes import form as programme_form
from sourloam.web.programmes.climate import climate
from sourloam.web.programmes.house import Yard, in_yard
from sourloam.web.programmes.months import months_page
from sourloam.web.views.asking import page
from sourloam.web.views.programme_asking import base

_FILL_DAYS, _REST_DAYS = 28.0, 14.0  # where the form on an exchange begins


@require_GET
@in_yard
def figures_view(request: HttpRequest, yard: Yard) -> HttpResponse:
    """Figures that those who pay ask for; as a table where that was asked for."""
    facts = programmes.facts_in(yard.programme)
    deeds = programmes.deeds(programmes.entries(yard.programme))
    period, stays = in_figures.period_of(request.GET), stays_in(yard.programme)
    found = figures_within(facts, deeds, yard.today, drawn(), period)
    rows = in_figures.figures_page(yard, found, stayed(stays, yard.today), period.whole)
    months = months_page(yard, found.by_month)
    if request.GET.get("table") == "csv":
        return _table(yard, in_figures.as_table(rows, months["rows"]))
    begun = [dt.date.fromisoformat(month) for one in facts for month in one.kg_by_month]
    context = {
        "headline": _("What %(name)s has done") % {"name": yard.name},
        "none": not (stays or deeds),
        "period": in_figures.period_part(yard, period, begun, (one.joined for one in stays)),
        "kept": in_figures.kept(yard, found),
        "figures": rows,
        "months": months,
        "number": len(facts),
        **_exchange(request, yard, len(facts)),
        "climate": _climate(yard, deeds, facts),
    }
    return page(request, "programme_figures", base(yard, "figures") | context)


def _climate(yard: Yard, deeds: Sequence[Deed], facts: Sequence[PlaceFacts]) -> dict[str, Any]:
    km = sum(one.numbers.get("km", 0.0) for one in deeds)
    fed = any(one.kg for one in facts)
    return climate(yard, saved_in(yard.programme, km), km) | {"fed": fed}


def _exchange(request: HttpRequest, yard: Yard, places: int) -> dict[str, Any]:
    fill, rest = _asked(request, "fill", _FILL_DAYS), _asked(request, "rest", _REST_DAYS)
    every = float(yard.programme.round_days)
    found = fleet(Exchange(places, fill, every, rest), drawn())
    told = in_figures.fleet_page(yard, found)
    return {"fleet": told, "fill": f"{fill:g}", "rest": f"{rest:g}"}


def _asked(request: HttpRequest, key: str, usual: float) -> float:
    try:
        return programme_form.number(request.GET.get(key, ""), key, 1, 365)
    except Refused:
        return usual


def _table(yard: Yard, text: str) -> HttpResponse:
    response = HttpResponse("\ufeff" + text, content_type="text/csv; charset=utf-8")
    name = f"{slugify(yard.name) or 'programme'}-figures-{yard.today:%Y-%m-%d}.csv"
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    return response
