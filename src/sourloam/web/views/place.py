"""A place's own name and clock, changed by who coordinates it."""

from __future__ import annotations

import zoneinfo
from functools import lru_cache

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.utils.translation import gettext as _

from sourloam.logbook import programmes
from sourloam.web import reading
from sourloam.web.house import House
from sourloam.web.views.asking import in_house, must, page

_CITIES = (
    *("Africa", "America", "Antarctica", "Arctic", "Asia", "Atlantic", "Australia"),
    *("Europe", "Indian", "Pacific"),
)


@in_house
def change_place(request: HttpRequest, house: House) -> HttpResponse:
    """The form, and what it changes."""
    must(house.may_change)
    name = request.POST.get("name", house.name)
    zone = request.POST.get("zone", house.zone.key)
    if request.method == "POST":
        try:
            reading.change_place(request, house, name, named(zone))
        except reading.Refused as refused:
            messages.error(request, str(refused))
        else:
            messages.success(request, _("Kept"))
            return redirect("web:change_place", house.id)
    context = {
        "place": house,
        "here": "people",
        "name": name,
        "zone": zone,
        "zones": [(one, city(one)) for one in zones(house.zone.key)],
        "now": timezone.now().astimezone(house.zone),
        "programmes": programmes.names_of(house.id),
    }
    return page(request, "place", context, status=422 if request.method == "POST" else 200)


def named(typed: str) -> str:
    """The clock that somebody typed, by its whole name or by its city alone; of a newer and an
    older name of one city the newer, which says the country too."""
    wanted = typed.strip().casefold()
    found = [z for z in _zones() if wanted in (z.casefold(), city(z).casefold())]
    one_city = len({z.partition("/")[0] for z in found}) == 1
    return max(found, key=len) if one_city else typed.strip()


def city(zone: str) -> str:
    """Such as Buenos Aires."""
    return zone.rpartition("/")[2].replace("_", " ")


def zones(kept: str) -> tuple[str, ...]:
    """Clocks to choose from, by their place in the world; the one that is kept among them."""
    found = _zones()
    return found if kept in found else tuple(sorted((*found, kept)))


@lru_cache(maxsize=1)
def _zones() -> tuple[str, ...]:
    every = zoneinfo.available_timezones()
    return (*sorted(z for z in every if z.partition("/")[0] in _CITIES and "/" in z), "UTC")
