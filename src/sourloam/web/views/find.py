"""Find a page by a question, a crop or a name."""

from __future__ import annotations

from typing import Any

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET

from sourloam.web import find_page, reading
from sourloam.web.views.asking import page

_ASKED, _PLACES = 60, 12


@require_GET
@never_cache
@login_required
def find(request: HttpRequest) -> HttpResponse:
    """All questions, or those that hold what was typed."""
    asked = request.GET.get("q", "").strip()[:_ASKED]
    houses = sorted(reading.houses(request), key=lambda house: house.name.casefold())
    at = request.GET.get("at", "")
    here = next((house for house in houses if house.id == at), None)
    if at and here is None:
        raise Http404
    if len(houses) == 1:
        here = houses[0]
    few = len(houses) <= _PLACES
    insides = reading.insides_of([here] if here and not asked else houses if asked or few else [])
    inside = next((one for one in insides if one.house is here), None)
    context: dict[str, Any] = {
        "q": asked,
        "at": here,
        "houses": houses[:_PLACES] if len(houses) > 1 else [],
        "crops": find_page.crops([inside] if inside else insides, asked),
        "things": find_page.things(insides, asked),
        "questions": find_page.answers(inside, houses, asked, insides),
        "headline": _("What do you want to do?"),
    }
    if asked and not any(context[key] for key in ("crops", "things", "questions")):
        context["headline"] = _("Nothing here is called “%(asked)s”") % {"asked": asked}
        context["questions"] = find_page.answers(inside, houses, "", insides)
    return page(request, "find", context | ({"place": here} if here else {}))
