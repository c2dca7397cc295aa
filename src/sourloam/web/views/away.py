"""Nobody at home for some days: the page, and writing those days into the place's plan."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from sourloam.web import reading
from sourloam.web.house import House
from sourloam.web.place import away as away_page
from sourloam.web.views.asking import in_house, must, page


@require_http_methods(["GET", "HEAD", "POST"])
@in_house
def away(request: HttpRequest, house: House) -> HttpResponse:
    """What wants doing before, what can wait."""
    posted = request.method == "POST"
    context: dict[str, Any] = {"place": house, "here": "shelf"}
    try:
        found = away_page.read(request.POST if posted else request.GET, house.today)
    except away_page.Wrong as wrong:
        usual = away_page.read({}, house.today)
        return page(request, "away", context | {"wrong": str(wrong), "away": usual}, status=422)
    if posted:
        return _note(request, house, found)
    return page(request, "away", context | away_page.page(reading.inside(house), found))


def _note(request: HttpRequest, house: House, found: away_page.Away) -> HttpResponse:
    """Write those days into the description: from then on the plan and the work know of them."""
    must(house.may("place_described"))
    document = reading.site_document(house)
    if document is None:
        messages.error(request, _("Nobody has described this place yet; set-up does that."))
    else:
        raw = reading.described(house.id, away_page.noted(document, found))
        status, line = reading.record(request, raw)
        kept = _("Written into the plan: no scraps on those days.")
        messages.info(request, kept if status < 300 else line)
    answer = redirect("web:away", house.id)
    answer["Location"] += "?" + urlencode({"first": found.first, "last": found.last})
    return answer
