"""A vessel's page, its QR address, and putting one on the shelf."""

from __future__ import annotations

import uuid

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.text import slugify
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from sourloam.documents.qr import slug
from sourloam.ledger import EntryError
from sourloam.web import reading, short
from sourloam.web.cautions import cautions
from sourloam.web.forms import units_of
from sourloam.web.house import House
from sourloam.web.log import refusing
from sourloam.web.log.posted import number_between
from sourloam.web.place.shelf import LITRES
from sourloam.web.rescue.signs import signs
from sourloam.web.vessel.page import page as vessel_page
from sourloam.web.views.asking import in_house, must, page
from sourloam.web.views.logging import write

_USUAL_L = 19.0
_MOST_DIGITS = 6


@require_GET
@in_house
def vessel(request: HttpRequest, house: House, vessel: str) -> HttpResponse:
    """One vessel."""
    inside = reading.inside(house)
    try:
        found = inside.state.vessel(vessel)
    except KeyError:
        raise Http404 from None
    last = reading.last_fed(inside)
    context = vessel_page(inside, found, last, signs(), _log_page(request))
    context |= {"place": house, "here": "shelf", "cautions": cautions(found)}
    context["anew"] = found.turn is not None and reading.is_reckoned_anew(house, vessel)
    return page(request, "vessel", context, keep="log" not in request.GET)


def _log_page(request: HttpRequest) -> int:
    """Which page of the log was asked for; 0 if none was."""
    asked = request.GET.get("log", "0")
    return int(asked) if asked.isdecimal() and len(asked) < _MOST_DIGITS else 1


@require_GET
@login_required
def by_label(request: HttpRequest, code: str) -> HttpResponse:
    """Where a printed label leads: a short code, or a vessel's name as labels from a site file
    have it."""
    named = []
    for inside in reading.insides(request):
        for vessel in inside.state.vessels:
            if short.code(inside.house.id, vessel.id) == code:
                return redirect("web:vessel", inside.house.id, vessel.id)
            if vessel.retired is None and slug(vessel.name) == code:
                named.append((inside.house.id, vessel.id))
    if not named:
        raise Http404
    if len(named) > 1:
        messages.info(request, _("Several vessels have the name on this label; choose yours."))
        return redirect("web:shelf", named[0][0])
    return redirect("web:vessel", *named[0])


@require_POST
@in_house
def add(request: HttpRequest, house: House) -> HttpResponse:
    """A vessel more on the shelf."""
    must(house.may_keep)
    name, kind = request.POST.get("name", "").strip(), request.POST.get("kind", "")
    spec = reading.kind_document(house, kind) if kind else None
    if spec is None:
        try:
            litres = _litres(request.POST.get("litres", ""), house)
        except EntryError as error:
            messages.error(request, refusing.line(error, house.units))
            return redirect("web:shelf", house.id)
        spec = {"name": name or _("vessel"), "volume": f"{litres:g} L"}
    body = {"vessel": _new_id(name), "name": name, "spec": spec}
    if request.POST.get("where", "").strip():
        body["where"] = request.POST["where"].strip()
    raw = reading.fresh_entry(house.id, "vessel_added", body)
    return write(request, raw, "web:shelf", house.id)


def _litres(typed: str, house: House) -> float:
    """What a vessel holds, as the reader counts it; EntryError where that can't be."""
    if not typed:
        return _USUAL_L
    return number_between(typed, "volume", *LITRES, units_of(house.units).factors["volume"])


def _new_id(name: str) -> str:
    return f"{slugify(name)[:40] or 'vessel'}-{uuid.uuid4().hex[:6]}"
