"""Figures for those who pay, on the page, as a table and on paper; what an exchange takes."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.text import slugify
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from sourloam.documents import DocumentError
from sourloam.documents.figures import figures_paper
from sourloam.logbook import programmes
from sourloam.logbook.programmes.facts import stays_in
from sourloam.logbook.refusals import Refused
from sourloam.logbook.saving import saved_in
from sourloam.programme import (
    Deed,
    Exchange,
    Figures,
    Period,
    PlaceFacts,
    Stay,
    drawn,
    figures_within,
    fleet,
    stayed,
)
from sourloam.web.programmes import figures as in_figures
from sourloam.web.programmes import figures_on_paper as on_paper
from sourloam.web.programmes import form as programme_form
from sourloam.web.programmes.climate import climate
from sourloam.web.programmes.house import Yard, in_yard
from sourloam.web.programmes.months import months_page
from sourloam.web.views.asking import page
from sourloam.web.views.programme_asking import base, printing


@dataclass(frozen=True)
class _Counted:
    """What page, table and paper tell of one programme in the time that was asked for."""

    yard: Yard
    request: HttpRequest

    @cached_property
    def facts(self) -> list[PlaceFacts]:
        return programmes.facts_in(self.yard.programme)

    @cached_property
    def deeds(self) -> list[Deed]:
        return programmes.deeds(programmes.entries(self.yard.programme))

    @cached_property
    def stays(self) -> list[Stay]:
        return stays_in(self.yard.programme)

    @cached_property
    def period(self) -> Period:
        return in_figures.period_of(self.request.GET)

    @cached_property
    def found(self) -> Figures:
        return figures_within(self.facts, self.deeds, self.yard.today, drawn(), self.period)

    @cached_property
    def rows(self) -> list[dict[str, str]]:
        stays = stayed(self.stays, self.yard.today)
        return in_figures.figures_page(self.yard, self.found, stays, self.period.whole)

    @cached_property
    def months(self) -> dict[str, Any]:
        return months_page(self.yard, self.found.by_month)

    @cached_property
    def climate(self) -> dict[str, Any]:
        km = sum(one.numbers.get("km", 0.0) for one in self.deeds)
        fed = any(one.kg for one in self.facts)
        return climate(self.yard, saved_in(self.yard.programme, km), km) | {"fed": fed}

    def told(self) -> dict[str, Any]:
        """The context of the page."""
        begun = [dt.date.fromisoformat(month) for one in self.facts for month in one.kg_by_month]
        joined: Sequence[dt.date] = [one.joined for one in self.stays]
        return {
            "headline": _("What %(name)s has done") % {"name": self.yard.name},
            "none": not (self.stays or self.deeds),
            "period": in_figures.period_part(self.yard, self.period, begun, joined),
            "kept": in_figures.kept(self.yard, self.found),
            "figures": self.rows,
            "months": self.months,
            "number": len(self.facts),
            "climate": self.climate,
        }


@require_GET
@in_yard
def figures_view(request: HttpRequest, yard: Yard) -> HttpResponse:
    """Figures that those who pay ask for; as a table where that was asked for."""
    counted = _Counted(yard, request)
    if request.GET.get("table") == "csv":
        return _table(yard, in_figures.as_table(counted.rows, counted.months["rows"]))
    context = counted.told() | _exchange(request, yard, len(counted.facts))
    return page(request, "programme_figures", base(yard, "figures") | context)


@require_GET
@in_yard
def figures_sheet(request: HttpRequest, yard: Yard) -> HttpResponse:
    """The same to print."""
    told = on_paper.told(_Counted(yard, request).told())
    try:
        made = figures_paper(told, printing(request, yard))
    except DocumentError as error:
        messages.error(request, str(error))
        return redirect("web:programme_figures", yard.id)
    response = HttpResponse(made, content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="{_file(yard)}.pdf"'
    return response


def _exchange(request: HttpRequest, yard: Yard, places: int) -> dict[str, Any]:
    fill = _asked(request, "fill", in_figures.FILL_DAYS)
    rest = _asked(request, "rest", in_figures.REST_DAYS)
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
    response["Content-Disposition"] = f'attachment; filename="{_file(yard)}.csv"'
    return response


def _file(yard: Yard) -> str:
    return f"{slugify(yard.name) or 'programme'}-figures-{yard.today:%Y-%m-%d}"
