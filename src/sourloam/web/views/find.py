"""Find a page by a question, a crop or a name."""

from __future__ import annotations

from typing import Any

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET

from sourloam.logbook import permissions
from sourloam.web import reading
from sourloam.web.finding import page as find_page
from sourloam.web.finding.foods import foods
from sourloam.web.finding.hits import Hit
from sourloam.web.programmes import finding as programme_find
from sourloam.web.programmes.house import Yard, yards
from sourloam.web.views.asking import page

_ASKED, _PLACES, _IN_PROGRAMME = 60, 12, 24


@require_GET
@never_cache
@login_required
def find(request: HttpRequest) -> HttpResponse:
    """All questions, or those that hold what was typed."""
    asked = request.GET.get("q", "").strip()[:_ASKED]
    mine = yards(request)
    if request.GET.get("in"):
        return _in_programme(request, mine, asked)
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
        "foods": foods(asked),
        "things": find_page.things(insides, asked) + _of_programmes(mine, asked),
        "questions": find_page.answers(inside, houses, asked, insides),
        "headline": _("What do you want to do?"),
    }
    if asked and not any(context[key] for key in ("crops", "foods", "things", "questions")):
        context["headline"] = _("Nothing here is called “%(asked)s”") % {"asked": asked}
        context["questions"] = find_page.answers(inside, houses, "", insides)
    return page(request, "find", context | ({"place": here} if here else {}))


def _of_programmes(mine: list[Yard], asked: str) -> list[Hit]:
    """Places and pages of all programmes of the reader, for words that were typed."""
    if not asked or not mine:
        return []
    found = programme_find.places(mine, asked)[:_PLACES]
    return found + programme_find.sections(mine, asked, strict=True)[:_PLACES]


def _in_programme(request: HttpRequest, mine: list[Yard], asked: str) -> HttpResponse:
    """Places and pages of the programme from which somebody asks."""
    yard = next((one for one in mine if one.id == request.GET["in"]), None)
    if yard is None:
        raise Http404
    hits = programme_find.places([yard], asked, named=False)
    sections = programme_find.sections([yard], asked, strict=bool(hits))
    context: dict[str, Any] = {
        "q": asked,
        "programme": yard,
        "things": hits[:_IN_PROGRAMME],
        "more": max(len(hits) - _IN_PROGRAMME, 0),
        "questions": sections,
        "headline": _("What do you look for?"),
        "elsewhere": permissions.memberships(request.user).exists(),
    }
    if asked and not hits and not sections:
        context["headline"] = _("Nothing here is called “%(asked)s”") % {"asked": asked}
        context["questions"] = programme_find.sections([yard], "")
    return page(request, "find", context)
