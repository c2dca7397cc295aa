"""When may a crop go into the ground here."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_GET

from sourloam.web import reading
from sourloam.web.ground import sowing as sowing_page
from sourloam.web.house import House
from sourloam.web.views.asking import in_house, page


@require_GET
@in_house
def sowing(request: HttpRequest, house: House) -> HttpResponse:
    """One crop in every bed."""
    context = sowing_page.page(reading.inside(house), request.GET.get("crop", ""))
    return page(request, "sowing", context | {"place": house, "here": "beds"})
