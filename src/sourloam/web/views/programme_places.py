"""The places of a programme: all of them, and each as the programme sees it."""

from __future__ import annotations

import uuid

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from sourloam.logbook import models, permissions, programmes
from sourloam.logbook.programmes.facts import facts_at
from sourloam.logbook.refusals import Refused
from sourloam.programme import PlaceFacts, drawn, needing_help, silence
from sourloam.web import reading
from sourloam.web import wording as w
from sourloam.web.programmes import form as programme_form
from sourloam.web.programmes import place as at_place
from sourloam.web.programmes.deed_forms import AT_PLACE, deed_forms
from sourloam.web.programmes.house import Yard, in_yard
from sourloam.web.programmes.place_list import asked_of, list_page
from sourloam.web.views.asking import must, page
from sourloam.web.views.programme_asking import base, refuse, waiting

_MOST_OF_ONES_OWN = 100
_OF_PLACE = 12


@require_GET
@in_yard
def places(request: HttpRequest, yard: Yard) -> HttpResponse:
    """All places by name, or those with something the matter; a few letters find one."""
    reckoned, facts = programmes.morning_of(yard.programme)
    asked = asked_of(request.GET)
    context = list_page(yard, reckoned, facts, asked)
    waits = waiting(yard, facts)
    context |= {"waits": waits, "none": not (facts or waits)}
    if context["none"]:
        context["headline"] = _("No place has come in yet")
    context["addable"] = _addable(request, yard, {one.id for one in facts})
    return page(request, "programme_places", base(yard, "places") | context)


def _addable(request: HttpRequest, yard: Yard, here: set[str]) -> list[tuple[str, str]]:
    """Places of the reader's own that are not in yet."""
    if not yard.may("add place"):
        return []
    mine = permissions.memberships(request.user)
    own = [(m.place_id, m.place.name) for m in mine if permissions.may(m.role, "change place")]
    return [row for row in own if row[0] not in here][:_MOST_OF_ONES_OWN]


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
        "kinds": deed_forms(AT_PLACE, yard),
        "joined": w.day(row.joined),
        "mine": permissions.role_of(request.user, place) is not None,
        "may_let_go": yard.may("let place go"),
        "fresh": uuid.uuid4(),
    }
    return page(request, "programme_place", base(yard, "places") | context)


@require_POST
@in_yard
def settle(request: HttpRequest, yard: Yard, place: str) -> HttpResponse:
    """Where a place lies and when it is open."""
    try:
        given = programme_form.whereabouts(request)
        programmes.settle(reading.person_of(request), yard.programme, place, given)
        messages.success(request, _("Kept"))
    except Refused as refused:
        refuse(request, refused)
    return redirect("web:programme_place", yard.id, place)


@require_POST
@in_yard
def let_go(request: HttpRequest, yard: Yard, place: str) -> HttpResponse:
    """A place leaves the programme."""
    try:
        programmes.let_go(reading.person_of(request), yard.programme, place)
    except Refused as refused:
        refuse(request, refused)
    return redirect("web:programme_places", yard.id)
