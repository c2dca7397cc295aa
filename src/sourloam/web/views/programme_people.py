"""Who coordinates a programme; links to join it; its hub, van and hours."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST

from sourloam.logbook import models, permissions, programmes
from sourloam.logbook.models.programme import LINK_ROLES
from sourloam.logbook.refusals import Refused
from sourloam.web import programme_form, reading
from sourloam.web import programme_place_page as at_place
from sourloam.web import programme_words as pw
from sourloam.web import wording as w
from sourloam.web.house import House
from sourloam.web.programme_house import Yard, in_yard
from sourloam.web.views.asking import in_house, must, page
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
        "fresh_link": link,
        "fresh_code": qr(link) if link else "",
    }
    return page(request, "programme_settings", context, status=status)


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


@never_cache
@login_required
def join(request: HttpRequest, token: str) -> HttpResponse:
    """Take the role of a link, or bring a place in by it."""
    try:
        link = programmes.find_link(token)
    except Refused as refused:
        raise Http404 from refused
    person = reading.person_of(request)
    if request.method == "POST":
        try:
            programmes.join(person, token, request.POST.get("place", ""))
        except Refused as refused:
            messages.error(request, str(refused))
        else:
            if link.role == "place":
                messages.success(request, _("Your place is in"))
                return redirect("web:today")
            return redirect("web:programme", link.programme_id)
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
