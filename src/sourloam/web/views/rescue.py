"""Is this normal? A conversation from signs to a remedy; what was told stands in the address."""

from __future__ import annotations

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_GET

from sourloam.triage import Context
from sourloam.triage.sign import Stage
from sourloam.web import reading
from sourloam.web.house import House
from sourloam.web.rescue.page import Told, known_of, open_rescues
from sourloam.web.rescue.page import page as rescue_page
from sourloam.web.rescue.signs import signs
from sourloam.web.views.asking import in_house, page


@require_GET
@in_house
def of_vessel(request: HttpRequest, house: House, vessel: str) -> HttpResponse:
    """About a vessel: its log and forecast are known beforehand."""
    inside = reading.inside(house)
    try:
        found = inside.state.vessel(vessel)
    except KeyError:
        raise Http404 from None
    told = Told.of(request.GET, "vessel")
    context = rescue_page(inside, "vessel", vessel, told, known_of(inside, found))
    context["open"] = [] if told.begun else open_rescues(inside, found, signs())
    back = reverse("web:vessel", args=[house.id, vessel])
    return _page(request, house, context, found.name, back, "vessel")


@require_GET
@in_house
def of_bed(request: HttpRequest, house: House, bed: str) -> HttpResponse:
    """About a bed: a burial, or plants."""
    inside = reading.inside(house)
    try:
        found = inside.state.bed(bed)
    except KeyError:
        raise Http404 from None
    told = Told.of(request.GET, "ground")
    context = rescue_page(inside, "ground", bed, told, (Context(), ()))
    back = f"{reverse('web:beds', args=[house.id])}#bed-{bed}"
    return _page(request, house, context, found.name, back, "ground")


def _page(
    request: HttpRequest, house: House, context: dict[str, Any], name: str, back: str, stage: Stage
) -> HttpResponse:
    here = "shelf" if stage == "vessel" else "beds"
    more = {"place": house, "here": here, "name": name, "back": back, "stage": stage}
    return page(request, "rescue", context | more)
