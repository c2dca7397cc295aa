"""Tokens for programs and sensors: made, listed, withdrawn."""

from __future__ import annotations

from typing import Any
from zoneinfo import ZoneInfo

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET, require_POST

from sourloam.logbook import models
from sourloam.logbook import tokens as kept
from sourloam.logbook.permissions import SCOPES, may
from sourloam.web import reading
from sourloam.web import wording as w
from sourloam.web.house import House
from sourloam.web.programmes.house import Yard, in_yard
from sourloam.web.views.asking import in_house, must, page

_MAKE = "make token"
_SCOPES: w.Words = {
    "read": gettext_lazy("only read"),
    "log": gettext_lazy("read and write down"),
    "manage": gettext_lazy("all that I may"),
}
_FRESH = "fresh_token"


@require_GET
@in_house
def tokens(request: HttpRequest, house: House) -> HttpResponse:
    """What stands, and the form for one more."""
    must(may(house.role, _MAKE))
    context = {
        "place": house,
        "here": "people",
        "fresh": request.session.pop(_FRESH, ""),
        "tokens": [_told(request, house, one) for one in kept.standing(house.id)],
        "name": house.name,
        "back": reverse("web:people", args=[house.id]),
        "make": reverse("web:make_token", args=[house.id]),
        "readings": request.build_absolute_uri(f"/api/v1/places/{house.id}/readings"),
    }
    return page(request, "tokens", _form(request) | context)


def _form(request: HttpRequest) -> dict[str, Any]:
    return {
        "scopes": [(scope, str(_SCOPES[scope])) for scope in SCOPES],
        "longest": kept.LONGEST_NAME,
        "document": request.build_absolute_uri("/api/v1/openapi.json"),
    }


@require_POST
@in_house
def make_token(request: HttpRequest, house: House) -> HttpResponse:
    """A token more; its secret is shown once."""
    must(may(house.role, _MAKE))
    posted, person = request.POST, reading.person_of(request)
    everywhere = posted.get("reach") == "all"
    try:
        secret = kept.make(
            person, house.id, posted.get("name", ""), posted.get("scope", ""), everywhere
        )
    except reading.Refused as refused:
        messages.error(request, str(refused))
    else:
        request.session[_FRESH] = secret
    return redirect("web:tokens", house.id)


@require_POST
@in_house
def withdraw_token(request: HttpRequest, house: House, token: str) -> HttpResponse:
    """A token stops to work."""
    must(may(house.role, _MAKE))
    try:
        kept.withdraw(reading.person_of(request), house.id, token)
    except reading.Refused as refused:
        messages.error(request, str(refused))
    return redirect("web:tokens", house.id)


@require_GET
@in_yard
def programme_tokens(request: HttpRequest, yard: Yard) -> HttpResponse:
    """Tokens that reach a programme, and the form for one more."""
    must(yard.may(_MAKE))
    person, zone = reading.person_of(request), ZoneInfo(yard.programme.zone)
    context = {
        "programme": yard,
        "here": "settings",
        "fresh": request.session.pop(_FRESH, ""),
        "tokens": [
            _line(one, zone)
            | {
                "may_withdraw": one.person_id == person.pk,
                "withdraw": reverse("web:programme_withdraw_token", args=[yard.id, one.pk]),
            }
            for one in kept.standing_in_programme(yard.id)
        ],
        "name": yard.name,
        "back": reverse("web:programme_settings", args=[yard.id]),
        "make": reverse("web:programme_make_token", args=[yard.id]),
        "readings": request.build_absolute_uri(f"/api/v1/programmes/{yard.id}/entries"),
    }
    return page(request, "tokens", _form(request) | context)


@require_POST
@in_yard
def programme_make_token(request: HttpRequest, yard: Yard) -> HttpResponse:
    """A token more, for all programmes and places of whoever makes it."""
    must(yard.may(_MAKE))
    posted, person = request.POST, reading.person_of(request)
    try:
        name, scope = posted.get("name", ""), posted.get("scope", "")
        request.session[_FRESH] = kept.make_in_programme(person, yard.id, name, scope)
    except reading.Refused as refused:
        messages.error(request, str(refused))
    return redirect("web:programme_tokens", yard.id)


@require_POST
@in_yard
def programme_withdraw_token(request: HttpRequest, yard: Yard, token: str) -> HttpResponse:
    """A token stops to work."""
    must(yard.may(_MAKE))
    try:
        kept.withdraw_in_programme(reading.person_of(request), yard.id, token)
    except reading.Refused as refused:
        messages.error(request, str(refused))
    return redirect("web:programme_tokens", yard.id)


def _told(request: HttpRequest, house: House, one: models.Token) -> dict[str, Any]:
    person = reading.person_of(request)
    return _line(one, house.zone) | {
        "may_withdraw": kept.may_withdraw(person, house.role, one),
        "withdraw": reverse("web:withdraw_token", args=[house.id, one.pk]),
    }


def _line(one: models.Token, zone: ZoneInfo) -> dict[str, Any]:
    used = one.used_at
    day = w.day(used.astimezone(zone).date()) if used is not None else ""
    return {
        "name": one.name,
        "scope": str(_SCOPES[one.scope]),
        "reach": "" if one.place_id else _("all places of %(name)s") % {"name": one.person},
        "by": _("made by %(name)s") % {"name": one.person},
        "used": _("last used on %(day)s") % {"day": day} if day else _("never used yet"),
    }
