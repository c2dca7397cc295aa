"""Tokens for programs and sensors: made, listed, withdrawn."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET, require_POST

from sourloam.logbook import models
from sourloam.logbook import tokens as kept
from sourloam.logbook.permissions import SCOPES, may
from sourloam.web import reading
from sourloam.web import wording as w
from sourloam.web.house import House
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
        "scopes": [(scope, str(_SCOPES[scope])) for scope in SCOPES],
        "longest": kept.LONGEST_NAME,
        "readings": request.build_absolute_uri(f"/api/v1/places/{house.id}/readings"),
        "document": request.build_absolute_uri("/api/v1/openapi.json"),
    }
    return page(request, "tokens", context)


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


def _told(request: HttpRequest, house: House, one: models.Token) -> dict[str, Any]:
    used = one.used_at
    day = w.day(used.astimezone(house.zone).date()) if used is not None else ""
    person = reading.person_of(request)
    return {
        "id": str(one.pk),
        "name": one.name,
        "scope": str(_SCOPES[one.scope]),
        "reach": "" if one.place_id else _("all places of %(name)s") % {"name": one.person},
        "by": _("made by %(name)s") % {"name": one.person},
        "used": _("last used on %(day)s") % {"day": day} if day else _("never used yet"),
        "may_withdraw": kept.may_withdraw(person, house.role, one),
    }
