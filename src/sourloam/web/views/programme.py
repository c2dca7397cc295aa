"""A programme of places: its morning, its places, its round, its own log, its figures."""

from __future__ import annotations

import datetime as dt
import uuid
from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.text import slugify
from django.utils.translation import get_language, ngettext
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_POST

from sourloam.documents import DocumentError, Printing
from sourloam.documents import round as on_paper
from sourloam.logbook import models, permissions, programmes
from sourloam.logbook.programme_facts import facts_at, stays_in
from sourloam.logbook.refusals import Refused
from sourloam.logbook.saving import saved_in
from sourloam.programme import (
    DEEDS,
    Exchange,
    Morning,
    PlaceFacts,
    drawn,
    figures_within,
    fleet,
    needing_help,
    silence,
    stayed,
)
from sourloam.web import reading
from sourloam.web import wording as w
from sourloam.web.finding.page import matching
from sourloam.web.icons import DEED_ICONS
from sourloam.web.programmes import figures as in_figures
from sourloam.web.programmes import form as programme_form
from sourloam.web.programmes import log as in_log
from sourloam.web.programmes import morning as programme_page
from sourloam.web.programmes import place as at_place
from sourloam.web.programmes import round as on_round
from sourloam.web.programmes.climate import climate
from sourloam.web.programmes.filters import FILTERS, held, said
from sourloam.web.programmes.house import Yard, in_yard, yards
from sourloam.web.views.asking import must, page

_RECENT = 14
_FILL_DAYS, _REST_DAYS = 28.0, 14.0  # where the form on an exchange begins
_LISTED = 100
_OF_PLACE = 12
_DEED_FIELDS = {
    "training": ("people", "hours", "note"),
    "question": ("note", "answer"),
    "complaint": ("note",),
    "round": ("hours", "km", "note"),
    "hours": ("hours", "note"),
}
_AT_PLACE = {
    "fetched": ("kg", "vessels", "clean", "contamination_kg", "note"),
    "visit": ("hours", "note"),
    "word": ("note",),
    "bran": ("kg", "note"),
    "question": ("note", "answer"),
    "complaint": ("note",),
}


@never_cache
@login_required
def programmes_page(request: HttpRequest) -> HttpResponse:
    """All programmes of the reader, and a new one."""
    if request.method == "POST":
        person = reading.person_of(request)
        try:
            own = permissions.memberships(person).first()
            zone = "UTC" if own is None else own.place.zone
            made = programmes.make_programme(person, request.POST.get("name", ""), zone)
        except Refused as refused:
            messages.error(request, str(refused))
        else:
            return redirect("web:programme_settings", made.pk)
    found = yards(request)
    return page(request, "programmes", {"yards": found})


def _base(yard: Yard, here: str) -> dict[str, Any]:
    return {"programme": yard, "here": here}


@require_GET
@in_yard
def morning_view(request: HttpRequest, yard: Yard) -> HttpResponse:
    """Who needs help today, what is full when, bran to make, the round."""
    found, facts = programmes.morning_of(yard.programme)
    since = yard.today - dt.timedelta(days=_RECENT)
    log = programmes.entries(yard.programme, since)
    context = programme_page.morning_page(yard, found, log, programmes.next_round(yard.programme))
    waits = _waiting(yard, facts)
    return page(request, "programme", _base(yard, "morning") | context | {"waits": waits})


def _waiting(yard: Yard, facts: list[PlaceFacts]) -> int:
    """Places whose facts are not reckoned yet."""
    rows = models.ProgrammePlace.objects.filter(programme=yard.programme, left=None)
    return max(rows.count() - len(facts), 0)


@require_GET
@in_yard
def places(request: HttpRequest, yard: Yard) -> HttpResponse:
    """All places by name, or those with something the matter; a few letters find one."""
    wanted = " ".join(request.GET.get("q", "").split())[:80]
    show = request.GET.get("show", "")
    show = show if show in FILTERS else ""
    reckoned, facts = programmes.morning_of(yard.programme)
    found = matching(held(show, reckoned, facts), wanted, lambda one: one.name, strict=True)
    number, asked = len(found), {"show": show, "q": wanted}
    from_ = min(_count(request.GET.get("from", "")), max(number - 1, 0))
    helped = {h.place.id: h for h in reckoned.help}
    risk = FILTERS[show].risk if show else ""
    until = from_ + _LISTED
    context = {
        "q": wanted,
        "show": show,
        "said": said(show, found),
        "filters": _filters(yard, reckoned, facts, show),
        "headline": ngettext("%(n)d place", "%(n)d places", number) % {"n": number},
        "rows": [at_place.place_row(yard, one, helped, risk) for one in found[from_:until]],
        "more": max(number - until, 0),
        "next": _query(asked | {"from": str(until)}),
        "addable": _addable(request, yard, {one.id for one in facts}),
    }
    return page(request, "programme_places", _base(yard, "places") | context)


def _count(text: str) -> int:
    return int(text) if text.isascii() and text.isdigit() and len(text) < 7 else 0


def _query(asked: dict[str, str]) -> str:
    return "?" + urlencode({key: value for key, value in asked.items() if value})


def _filters(
    yard: Yard, reckoned: Morning, facts: list[PlaceFacts], show: str
) -> list[dict[str, Any]]:
    """All places and each list that holds some, with their numbers."""
    words = {"": _("All"), **{name: str(one.word) for name, one in FILTERS.items()}}
    number = {name: len(held(name, reckoned, facts)) for name in words}
    url = reverse("web:programme_places", args=[yard.id])
    return [
        {
            "word": word,
            "number": number[name],
            "url": url + (_query({"show": name}) if name else ""),
            "here": name == show,
        }
        for name, word in words.items()
        if number[name] or name in ("", show)
    ]


def _addable(request: HttpRequest, yard: Yard, here: set[str]) -> list[tuple[str, str]]:
    """Places of the reader's own that are not in yet."""
    if not yard.may("add place"):
        return []
    mine = permissions.memberships(request.user)
    own = [(m.place_id, m.place.name) for m in mine if permissions.may(m.role, "change place")]
    return [row for row in own if row[0] not in here][:_LISTED]


@require_POST
@in_yard
def add_place(request: HttpRequest, yard: Yard) -> HttpResponse:
    """A place of one's own comes in."""
    must(yard.may("add place"))
    place = request.POST.get("place", "")
    try:
        programmes.add_place(reading.person_of(request), yard.programme, place)
    except Refused as refused:
        messages.error(request, str(refused))
        return redirect("web:programme_places", yard.id)
    return redirect("web:programme_place", yard.id, place)


def _refuse(request: HttpRequest, refused: Refused) -> None:
    """What may not be, or is not there, gets its own page; the rest is told where it was asked."""
    if refused.status == 403:
        raise PermissionDenied from refused
    if refused.status == 404:
        raise Http404 from refused
    messages.error(request, str(refused))


def _facts_of(yard: Yard, place: str) -> tuple[models.ProgrammePlace, PlaceFacts]:
    if not place.isprintable():
        raise Http404
    rows = models.ProgrammePlace.objects.select_related("place", "programme")
    row = rows.filter(programme=yard.programme, left=None, place_id=place).first()
    if row is None:
        raise Http404
    found = facts_at(row, yard.today)
    return row, found or PlaceFacts(place, row.place.name, "other", yard.today)


@require_GET
@in_yard
def place(request: HttpRequest, yard: Yard, place: str) -> HttpResponse:
    """One place as its programme sees it."""
    row, facts = _facts_of(yard, place)
    helped = next(iter(needing_help([facts], yard.today, drawn())), None)
    log = [e for e in programmes.entries(yard.programme) if e.place_id == place][:_OF_PLACE]
    context = at_place.place_page(yard, facts, helped, silence(facts, yard.today, drawn()))
    context |= {
        "place_id": place,
        "there": at_place.where_form(None, row),
        "log": [at_place.entry(e, yard, named=False) for e in log],
        "kinds": _forms(_AT_PLACE, yard),
        "joined": w.day(row.joined),
        "mine": permissions.role_of(request.user, place) is not None,
        "may_let_go": yard.may("let place go"),
        "fresh": uuid.uuid4(),
    }
    return page(request, "programme_place", _base(yard, "places") | context)


def _forms(kinds: dict[str, tuple[str, ...]], yard: Yard) -> list[dict[str, Any]]:
    unit = programme_form.mass_unit(yard.units == "us")
    labels = {
        "kg": _("Contents, without the vessel"),
        "vessels": _("Full vessels taken"),
        "clean": _("Clean vessels left"),
        "contamination_kg": _("Of it, what does not belong"),
        "people": _("People"),
        "hours": _("Hours, of all together"),
        "km": _("Kilometres driven"),
        "note": _("Note"),
        "answer": _("What they were told"),
    }
    return [
        {
            "kind": kind,
            "label": _(DEEDS[kind].label),
            "icon": DEED_ICONS.get(kind, kind),
            "id": uuid.uuid4(),
            "fields": [
                {
                    "name": name,
                    "label": f"{_label(kind, name, labels)}, {unit}"
                    if name.endswith("kg")
                    else labels[name],
                    "long": name in ("note", "answer"),
                }
                for name in fields
            ],
        }
        for kind, fields in kinds.items()
    ]


def _label(kind: str, field: str, labels: dict[str, str]) -> str:
    return _("Bran that was left") if (kind, field) == ("bran", "kg") else labels[field]


@require_POST
@in_yard
def settle(request: HttpRequest, yard: Yard, place: str) -> HttpResponse:
    """Where a place lies and when it is open."""
    try:
        given = programme_form.whereabouts(request)
        programmes.settle(reading.person_of(request), yard.programme, place, given)
        messages.success(request, _("Kept"))
    except Refused as refused:
        _refuse(request, refused)
    return redirect("web:programme_place", yard.id, place)


@require_POST
@in_yard
def let_go(request: HttpRequest, yard: Yard, place: str) -> HttpResponse:
    """A place leaves the programme."""
    try:
        programmes.let_go(reading.person_of(request), yard.programme, place)
    except Refused as refused:
        _refuse(request, refused)
    return redirect("web:programme_places", yard.id)


@require_POST
@in_yard
def write(request: HttpRequest, yard: Yard, kind: str) -> HttpResponse:
    """A line of the programme's log, from any of its pages."""
    must(yard.may_write)
    place, back = request.POST.get("place", ""), request.POST.get("back", "log")
    try:
        programmes.write(
            reading.person_of(request),
            yard.programme,
            kind,
            programme_form.deed_body(request, yard.units == "us"),
            place,
            request.POST.get("supersedes", ""),
            _id(request),
            beside=programmes.Beside(on=programme_form.day(request)),
        )
        messages.success(request, _("Written down"))
    except Refused as refused:
        _refuse(request, refused)
    if back == "round":
        return redirect("web:programme_round", yard.id, yard.today.isoformat())
    if back == "place" and place:
        return redirect("web:programme_place", yard.id, place)
    return redirect("web:programme" if back == "morning" else "web:programme_log", yard.id)


def _id(request: HttpRequest) -> uuid.UUID | None:
    try:
        return uuid.UUID(request.POST.get("id", ""))
    except ValueError:
        return None


@require_GET
@in_yard
def log(request: HttpRequest, yard: Yard) -> HttpResponse:
    """Trainings, questions, visits, weighings: the programme's own log."""
    context = in_log.log_page(yard, programmes.entries(yard.programme), request.GET)
    context["kinds"] = _forms(_DEED_FIELDS, yard) if yard.may_write else []
    return page(request, "programme_log", _base(yard, "log") | context)


@in_yard
def round_(request: HttpRequest, yard: Yard, day: str = "") -> HttpResponse:
    """The round of a day; by POST it is planned, anew only by whoever says so once more."""
    on = _day(request.POST.get("day", day) if request.method == "POST" else day, yard)
    if request.method == "POST":
        return _plan(request, yard, on)
    found = programmes.round_on(yard.programme, on)
    context: dict[str, Any] = {
        "day": on,
        "chosen": on.isoformat(),
        "day_word": w.week_day(on),
        "days": _days(yard, on),
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
    return page(request, "programme_round", _base(yard, "round") | context)


def _plan(request: HttpRequest, yard: Yard, on: dt.date) -> HttpResponse:
    must(yard.may_write)
    there = reverse("web:programme_round", args=[yard.id, on.isoformat()])
    if "sure" not in request.POST and programmes.round_on(yard.programme, on) is not None:
        return redirect(f"{there}?anew=1")
    try:
        programmes.plan(reading.person_of(request), yard.programme, on)
    except Refused as refused:
        _refuse(request, refused)
        return redirect("web:programme_settings", yard.id)
    return redirect(there)


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
    language = (get_language() or "en")[:2]
    printing = Printing(
        language="es" if language == "es" else "en",
        paper="letter" if request.GET.get("paper") == "letter" else "a4",
        system="us" if yard.units == "us" else "metric",
        day=on,
    )
    try:
        made = on_paper.round_sheet(yard.name, found, on_round.round_picture(found), on, printing)
    except DocumentError as error:
        messages.error(request, str(error))
        return redirect("web:programme_round", yard.id, on.isoformat())
    response = HttpResponse(made, content_type="application/pdf")
    name = f"{slugify(yard.name) or 'programme'}-round-{on:%Y-%m-%d}.pdf"
    response["Content-Disposition"] = f'inline; filename="{name}"'
    return response


@require_GET
@in_yard
def figures_view(request: HttpRequest, yard: Yard) -> HttpResponse:
    """Figures that those who pay ask for, and what an exchange of vessels takes."""
    facts = programmes.facts_in(yard.programme)
    deeds = programmes.deeds(programmes.entries(yard.programme))
    period, stays = in_figures.period_of(request.GET), stays_in(yard.programme)
    found = figures_within(facts, deeds, yard.today, drawn(), period)
    rows = in_figures.figures_page(yard, found, stayed(stays, yard.today), period.whole)
    months = [
        {"month": in_figures.month_word(month), "kg": w.kg(kg, yard.units)}
        for month, kg in found.by_month
    ]
    if request.GET.get("table") == "csv":
        return _table(yard, in_figures.as_table(rows, months))
    begun = [dt.date.fromisoformat(month) for one in facts for month in one.kg_by_month]
    km = sum(one.numbers.get("km", 0.0) for one in deeds)
    fill, rest = _asked(request, "fill", _FILL_DAYS), _asked(request, "rest", _REST_DAYS)
    every = float(yard.programme.round_days)
    context = {
        "headline": _("What %(name)s has done") % {"name": yard.name},
        "period": in_figures.period_part(yard, period, begun, (one.joined for one in stays)),
        "figures": rows,
        "months": months,
        "fleet": in_figures.fleet_page(
            yard, fleet(Exchange(len(facts), fill, every, rest), drawn())
        ),
        "fill": f"{fill:g}",
        "rest": f"{rest:g}",
        "number": len(facts),
        "climate": climate(yard, saved_in(yard.programme, km), km),
    }
    return page(request, "programme_figures", _base(yard, "figures") | context)


def _table(yard: Yard, text: str) -> HttpResponse:
    response = HttpResponse("\ufeff" + text, content_type="text/csv; charset=utf-8")
    name = f"{slugify(yard.name) or 'programme'}-figures-{yard.today:%Y-%m-%d}.csv"
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    return response


def _asked(request: HttpRequest, key: str, usual: float) -> float:
    try:
        return programme_form.number(request.GET.get(key, ""), key, 1, 365)
    except Refused:
        return usual
