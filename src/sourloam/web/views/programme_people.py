"""Who coordinates a programme; links to join it; its hub, van and hours."""

from __future__ import annotations

import uuid
from typing import Any
from urllib.parse import urlencode
from zoneinfo import ZoneInfo

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST

from sourloam.logbook import models, permissions, programmes
from sourloam.logbook.models.programme import LINK_ROLES
from sourloam.logbook.refusals import Refused
from sourloam.web import reading
from sourloam.web import wording as w
from sourloam.web.house import House
from sourloam.web.pictures import two_vessels
from sourloam.web.programmes import form as programme_form
from sourloam.web.programmes import place as at_place
from sourloam.web.programmes import words as pw
from sourloam.web.programmes.house import Yard, in_yard
from sourloam.web.views.asking import in_house, must, page
from sourloam.web.views.door import given, line_of, no_link
from sourloam.web.views.people import qr

_FRESH = "fresh_programme_link"


@in_yard
def settings(request: HttpRequest, yard: Yard) -> HttpResponse:
    """Name, hub, van, hours; people and links."""
    us = yard.units == "us"
    status = 200
    if request.method == "POST":
        must(yard.may_change)
        try:
            given = programme_form.programme(request, us)
            programmes.change(reading.person_of(request), yard.programme, given)
            messages.success(request, _("Kept"))
            return redirect("web:programme_settings", yard.id)
        except Refused as refused:
            messages.error(request, str(refused))
            status = 422
    kept = models.Programme.objects.get(pk=yard.id)
    rows = models.ProgrammeMember.objects.filter(programme=kept, withdrawn_at=None)
    link = request.session.pop(_FRESH, "")
    context = {
        "programme": yard,
        "here": "settings",
        "kept": kept,
        "where": at_place.where_form(None, _as_place(kept)),
        "payload": programme_form.shown_mass(kept.payload_kg, us),
        "bran": programme_form.shown_mass(kept.bran_kg, us),
        "unit": programme_form.mass_unit(us),
        "people": [
            {
                "id": row.person.pk,
                "name": row.person.get_username(),
                "role": w.word(pw.ROLES, row.role),
                "may_withdraw": yard.may_change and row.person.pk != request.user.pk,
            }
            for row in rows.select_related("person").order_by("person__username")
        ],
        "roles": [(r, w.word(pw.ROLES, r)) for r in LINK_ROLES if yard.may(f"invite {r}")],
        "links": _links(yard),
        "fresh_link": link,
        "fresh_code": qr(link) if link else "",
    }
    return page(request, "programme_settings", context, status=status)


def _links(yard: Yard) -> list[dict[str, Any]]:
    """Links that still work, for whoever may withdraw them."""
    if not yard.may_change:
        return []
    zone = ZoneInfo(yard.programme.zone)
    return [
        {
            "id": one.pk,
            "role": w.word(pw.ROLES, one.role),
            "by": _("made by %(name)s") % {"name": one.made_by.get_username()},
            "until": _("until %(day)s") % {"day": w.day(one.expires_at.astimezone(zone).date())},
        }
        for one in programmes.standing_links(yard.programme)
    ]


def _as_place(kept: models.Programme) -> models.ProgrammePlace:
    """The hub in the shape of the form on whereabouts."""
    return models.ProgrammePlace(
        latitude=kept.latitude, longitude=kept.longitude, opens=kept.starts, closes=kept.ends
    )


@require_POST
@in_yard
def invite(request: HttpRequest, yard: Yard) -> HttpResponse:
    """A fresh link to join."""
    role = request.POST.get("role", "")
    must(role in LINK_ROLES and yard.may(f"invite {role}"))
    token = programmes.invite(reading.person_of(request), yard.programme, role)
    path = reverse("web:join_programme", args=[token])
    request.session[_FRESH] = request.build_absolute_uri(path)
    return redirect("web:programme_settings", yard.id)


@require_POST
@in_yard
def withdraw(request: HttpRequest, yard: Yard, person: int) -> HttpResponse:
    """Somebody leaves."""
    try:
        programmes.withdraw(reading.person_of(request), yard.programme, person)
    except Refused as refused:
        messages.error(request, str(refused))
    return redirect("web:programme_settings", yard.id)


@require_POST
@in_yard
def withdraw_link(request: HttpRequest, yard: Yard, link: uuid.UUID) -> HttpResponse:
    """A link stops to work."""
    must(yard.may_change)
    try:
        programmes.withdraw_link(reading.person_of(request), yard.programme, link)
    except Refused as refused:
        messages.error(request, str(refused))
    return redirect("web:programme_settings", yard.id)


@never_cache
def join(request: HttpRequest, token: str) -> HttpResponse:
    """Take the role of a link, or bring a place in by it; whoever has no name here makes one."""
    try:
        link = programmes.find_link(token)
        if not request.user.is_authenticated:
            return _new_person(request, token, link)
        if request.method == "POST":
            return _joined(request, token, link)
    except Refused as refused:
        if refused.status == 404:
            return no_link(request)
        messages.error(request, str(refused))
    person = reading.person_of(request)
    mine = [
        (m.place_id, m.place.name)
        for m in permissions.memberships(person)
        if permissions.may(m.role, "change place")
    ]
    context = {
        "name": link.programme.name,
        "role": w.word(pw.ROLES, link.role),
        "as_place": link.role == "place",
        "mine": mine,
    }
    return page(request, "programme_join", context)


def _joined(request: HttpRequest, token: str, link: models.ProgrammeLink) -> HttpResponse:
    person = reading.person_of(request)
    if link.role != "place":
        programmes.join(person, token)
        return redirect("web:programme", link.programme_id)
    if "name" in request.POST:
        made = programmes.join_with_new_place(person, token, request.POST["name"])
        messages.success(request, _("Your place is in"))
        return redirect("web:setup", made.pk)
    programmes.join(person, token, request.POST.get("place", ""))
    messages.success(request, _("Your place is in"))
    return redirect("web:today")


def _new_person(request: HttpRequest, token: str, link: models.ProgrammeLink) -> HttpResponse:
    """The door, with a name and a password of one's own."""
    fault = ""
    if request.method == "POST":
        try:
            reading.sign_in(request, programmes.join_as_new(token, *given(request)))
            if link.role == "place":
                return redirect("web:join_programme", token)
            return redirect("web:programme", link.programme_id)
        except (ValidationError, Refused) as error:
            if isinstance(error, Refused) and error.status == 404:
                raise
            fault = line_of(error)
    role = _("You are asked in as %(role)s.") % {"role": w.word(pw.ROLES, link.role)}
    context = {
        "headline": _("Join %(place)s") % {"place": link.programme.name},
        "lead": _("Make a name first; your place comes next.") if link.role == "place" else role,
        "picture": two_vessels(),
        "button": _("Go on") if link.role == "place" else _("Join"),
        "fresh": True,
        "fault": fault,
        "name": request.POST.get("username", ""),
        "other_url": f"{reverse('web:enter')}?{urlencode({'next': request.path})}",
        "other": _("I have a name here: sign in"),
    }
    return page(request, "door", context, status=422 if fault else 200)


@require_POST
@in_house
def leave(request: HttpRequest, house: House, programme: str) -> HttpResponse:
    """Whoever coordinates a place takes it out of a programme."""
    must(house.may_change)
    rows = models.ProgrammePlace.objects.select_related("programme")
    found = rows.filter(place_id=house.id, left=None, programme_id=programme).first()
    if found is None:
        raise Http404
    programmes.let_go(reading.person_of(request), found.programme, house.id)
    return redirect("web:change_place", house.id)
