"""The beds of a place."""

from __future__ import annotations

import uuid

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.text import slugify
from django.views.decorators.http import require_GET, require_POST

from sourloam.ledger import EntryError
from sourloam.web import reading
from sourloam.web.forms import units_of
from sourloam.web.ground.beds import LENGTH_M, WIDTH_M
from sourloam.web.ground.beds import page as beds_page
from sourloam.web.house import House
from sourloam.web.log import refusing
from sourloam.web.log.posted import number_between
from sourloam.web.rescue.signs import signs
from sourloam.web.views.asking import in_house, must, page
from sourloam.web.views.logging import write


@require_GET
@in_house
def beds(request: HttpRequest, house: House) -> HttpResponse:
    """All beds from above."""
    context = beds_page(reading.inside(house), signs()) | {"place": house, "here": "beds"}
    return page(request, "beds", context, keep=True)


@require_POST
@in_house
def add(request: HttpRequest, house: House) -> HttpResponse:
    """A bed more."""
    must(house.may("bed_added"))
    name, posted = request.POST.get("name", "").strip(), request.POST
    metres = units_of(house.units).factors["bed"]
    try:
        length = number_between(posted.get("length", ""), "length", *LENGTH_M, metres)
        width = number_between(posted.get("width", ""), "width", *WIDTH_M, metres)
    except EntryError as error:
        messages.error(request, refusing.line(error, house.units))
        return redirect("web:beds", house.id)
    spec = {"name": name, "length": f"{length:g} m", "width": f"{width:g} m"}
    if posted.get("texture"):
        spec["texture"] = posted["texture"]
    bed = f"{slugify(name)[:40] or 'bed'}-{uuid.uuid4().hex[:6]}"
    body = {"bed": bed, "name": name, "spec": spec}
    raw = reading.fresh_entry(house.id, "bed_added", body)
    return write(request, raw, "web:beds", house.id)
