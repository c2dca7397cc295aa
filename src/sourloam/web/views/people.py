"""Who may do what in a place; links to join; settings of one's own; labels."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

import segno
from django.conf import settings as django_settings
from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import translation
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_POST

from sourloam.site.ordering import in_order
from sourloam.web import reading, short
from sourloam.web import wording as w
from sourloam.web.house import House
from sourloam.web.views.asking import in_house, must, page

_ON_A_SHEET = 24
_OWN = ("localhost", "127.0.0.1", "[")  # names by which only this machine knows itself
_ROLES = ("coordinator", "keeper", "gardener", "reader")


@require_GET
@in_house
def people(request: HttpRequest, house: House) -> HttpResponse:
    """Everybody of a place."""
    found = reading.members(house, request)
    link = request.session.pop("fresh_link", "")
    number = len(found)
    said = ngettext("%(n)d person looks after this", "%(n)d people look after this", number)
    context = {
        "place": house,
        "here": "people",
        "headline": said % {"n": number},
        "people": [p | {"role": w.word(w.ROLES, p["role"])} for p in found],
        "roles": [(r, w.word(w.ROLES, r)) for r in reading.roles_to_invite(house)],
        "invitations": [
            {
                "id": link_["id"],
                "role": w.word(w.ROLES, link_["role"]),
                "by": _("made by %(name)s") % {"name": link_["by"]},
                "until": _("until %(day)s") % {"day": w.day(link_["until"])},
            }
            for link_ in reading.links(house)
        ],
        "fresh_link": link,
        "fresh_code": qr(link) if link else "",
    }
    return page(request, "people", context)


@require_POST
@in_house
def invite(request: HttpRequest, house: House) -> HttpResponse:
    """A fresh link to join with a role."""
    role = request.POST.get("role", "")
    must(role in reading.roles_to_invite(house))
    token = reading.invite(request, house, role)
    request.session["fresh_link"] = request.build_absolute_uri(reverse("web:join", args=[token]))
    return redirect("web:people", house.id)


@require_POST
@in_house
def withdraw_person(request: HttpRequest, house: House, person: int) -> HttpResponse:
    """Somebody leaves."""
    return _withdrawn(request, house, lambda: reading.withdraw_person(request, house, person))


@require_POST
@in_house
def withdraw_invitation(request: HttpRequest, house: House, invitation: str) -> HttpResponse:
    """A link stops to work."""
    return _withdrawn(request, house, lambda: reading.withdraw_link(request, house, invitation))


def _withdrawn(request: HttpRequest, house: House, act: Callable[[], None]) -> HttpResponse:
    try:
        act()
    except reading.Refused as refused:
        messages.error(request, str(refused))
    return redirect("web:people", house.id)


@never_cache
@login_required
def settings(request: HttpRequest) -> HttpResponse:
    """Units and language of one person."""
    languages = [code for code, _name in django_settings.LANGUAGES]
    if request.method == "POST":
        units, language = request.POST.get("units", ""), request.POST.get("language", "")
        if units in ("metric", "us") and language in languages:
            reading.prefer(request, units, language)
            translation.activate(language)
            response = redirect("web:settings")
            response.set_cookie(
                django_settings.LANGUAGE_COOKIE_NAME,
                language,
                max_age=365 * 24 * 3600,
                secure=request.is_secure(),
                samesite="Lax",
            )
            return response
    address = request.build_absolute_uri(reverse("web:today"))
    context = {
        "address": address,
        "only_here": request.get_host().partition(":")[0] in _OWN,
        "address_code": qr(address),
        "units": [
            ("metric", _("kilograms, litres, °C")),
            ("us", _("pounds, gallons, °F")),
        ],
        "unit": reading.units_of(request),
        "languages": [(c, n) for c, n in django_settings.LANGUAGES],
        "language": translation.get_language(),
    }
    return page(request, "settings", context)


@require_GET
@in_house
def labels(request: HttpRequest, house: House) -> HttpResponse:
    """A sheet of labels to print."""
    vessels = [v for v in reading.inside(house).state.vessels if v.retired is None and v.added]

    def address(vessel: str) -> str:
        code = short.code(house.id, vessel)
        return request.build_absolute_uri(reverse("web:label", args=[code]))

    sheets = Paginator(sorted(vessels, key=lambda v: in_order(v.name)), _ON_A_SHEET)
    sheet = sheets.get_page(request.GET.get("sheet"))
    found = [{"name": v.name, "code": qr(address(v.id))} for v in sheet.object_list]
    context = {"place": house, "labels": found, "sheet": sheet, "sheets": sheets.page_range}
    return page(request, "labels", context)


@lru_cache(maxsize=2000)
def qr(text: str) -> SafeString:
    """A QR code as SVG; segno writes only squares, never the text itself."""
    code = segno.make(text, error="m", micro=False)
    return mark_safe(code.svg_inline(scale=3, border=2, dark="#111", light="#fff", omitsize=True))
