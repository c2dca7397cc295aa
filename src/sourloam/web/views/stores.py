"""Bran left, and bowls, of a place."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_GET

from sourloam.web import reading
from sourloam.web.bran.stores import page as stores_page
from sourloam.web.house import House
from sourloam.web.rescue.signs import signs
from sourloam.web.views.asking import in_house, page


@require_GET
@in_house
def stores(request: HttpRequest, house: House) -> HttpResponse:
    """What is in the cupboard."""
    context = stores_page(reading.inside(house), signs()) | {"place": house, "here": "shelf"}
    return page(request, "stores", context, keep=True)
