"""The private address for a calendar program: its page, and what it answers."""

from __future__ import annotations

import datetime as dt
import hashlib
import threading
import time
from collections import OrderedDict, deque
from uuid import UUID
from zoneinfo import ZoneInfo

from django.http import HttpRequest, HttpResponse, HttpResponseNotModified
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone, translation
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST, require_safe

from sourloam.logbook import calendar_addresses, models
from sourloam.logbook.permissions import memberships, role_of
from sourloam.web import reading
from sourloam.web import wording as w
from sourloam.web.house import House
from sourloam.web.place.calendar_feed import calendar_of
from sourloam.web.views.asking import in_house, page
from sourloam.web.views.people import qr

_KEPT, _ASKS, _WINDOW_S = 500, 60, 3600.0
_answers: OrderedDict[UUID, tuple[tuple[object, ...], str, bytes]] = OrderedDict()
_asked: OrderedDict[UUID, deque[float]] = OrderedDict()
_lock = threading.Lock()


@require_GET
@in_house
def calendar(request: HttpRequest, house: House) -> HttpResponse:
    """Get an address, or withdraw it."""
    known = calendar_addresses.standing(reading.person_of(request), house.id)
    token = request.session.pop("fresh_calendar", "") if known else ""
    path = reverse("web:calendar_feed", args=[token]) if token else ""
    address = request.build_absolute_uri(path) if token else ""
    context = {
        "place": house,
        "here": "people",
        "address": address,
        "webcal": f"webcal{address.removeprefix('https').removeprefix('http')}",
        "code": qr(address) if address else "",
        "since": w.day(known.made_at.astimezone(house.zone).date()) if known else "",
    }
    return page(request, "calendar", context)


@require_POST
@in_house
def make(request: HttpRequest, house: House) -> HttpResponse:
    """A fresh address; the older one stops."""
    language = (translation.get_language() or "en")[:2]
    person = reading.person_of(request)
    token = calendar_addresses.make(person, house.id, language, house.units)
    request.session["fresh_calendar"] = token
    return redirect("web:calendar", house.id)


@require_POST
@in_house
def withdraw(request: HttpRequest, house: House) -> HttpResponse:
    """The address stops to work."""
    calendar_addresses.withdraw(reading.person_of(request), house.id)
    return redirect("web:calendar", house.id)


@require_safe
def feed(request: HttpRequest, token: str) -> HttpResponse:
    """What is due, for a calendar program: no login, nothing but reading."""
    try:
        known = calendar_addresses.find(token)
    except reading.Refused as refused:
        return HttpResponse(str(refused), status=404, content_type="text/plain; charset=utf-8")
    if _too_often(known.pk):
        line = _("Asked too often; once in an hour is enough.")
        response = HttpResponse(line, status=429, content_type="text/plain; charset=utf-8")
        response["Retry-After"] = str(int(_WINDOW_S))
        return response
    tag, made = _answer(request, known)
    if request.headers.get("If-None-Match", "") == tag:
        response = HttpResponseNotModified()
    else:
        response = HttpResponse(made, content_type="text/calendar; charset=utf-8")
        response["Content-Disposition"] = 'inline; filename="sourloam.ics"'
    response["ETag"] = tag
    response["Cache-Control"] = "private, max-age=900"
    response["X-Robots-Tag"] = "noindex"
    return response


def _too_often(address: UUID) -> bool:
    """Whether an address was asked more than once a minute for an hour."""
    now = time.monotonic()
    with _lock:
        times = _asked.setdefault(address, deque())
        _asked.move_to_end(address)
        while len(_asked) > _KEPT:
            _asked.popitem(last=False)
        while times and times[0] < now - _WINDOW_S:
            times.popleft()
        if len(times) >= _ASKS:
            return True
        times.append(now)
        return False


def _answer(request: HttpRequest, known: models.CalendarAddress) -> tuple[str, bytes]:
    """The file and its tag; made anew only where a log of the person, the forecast or the day is
    another."""
    place = known.place
    today = timezone.now().astimezone(ZoneInfo(place.zone)).date()
    foreseen = models.PlaceNow.objects.filter(place_id=place.pk).values_list("done_seq", "done_for")
    logs = memberships(known.person).values_list("place__last_hash", flat=True)
    stamp = (*sorted(logs), place.name, today, foreseen.first(), request.get_host())
    with _lock:
        kept = _answers.get(known.pk)
    if kept is not None and kept[0] == stamp:
        return kept[1:]
    made = _made(request, known, today)
    tag = f'"{hashlib.sha256(made).hexdigest()[:32]}"'
    with _lock:
        _answers[known.pk] = (stamp, tag, made)
        while len(_answers) > _KEPT:
            _answers.popitem(last=False)
    return tag, made


def _made(request: HttpRequest, known: models.CalendarAddress, today: dt.date) -> bytes:
    place, zone = known.place, ZoneInfo(known.place.zone)
    role = role_of(known.person, place.pk) or "reader"
    house = House(
        place.pk,
        place.name,
        zone,
        role,
        known.units,
        today,
        place,
        lambda: reading.warnings_for(known.person, today),
    )
    return calendar_of(reading.inside(house), known.language, request.build_absolute_uri)
