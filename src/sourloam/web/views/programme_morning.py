"""All programmes of the reader; the morning of one."""

from __future__ import annotations

import datetime as dt

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET

from sourloam.logbook import permissions, programmes
from sourloam.logbook.refusals import Refused
from sourloam.web import reading
from sourloam.web.programmes import morning as programme_page
from sourloam.web.programmes.house import Yard, in_yard, yards
from sourloam.web.views.asking import page
from sourloam.web.views.programme_asking import base, waiting

_RECENT = 14


@never_cache
@login_required
def programmes_page(request: HttpRequest) -> HttpResponse:
    """All programmes of the reader, and a new one."""
    if request.method == "POST":
        person = reading.person_of(request)
        try:
            own = permissions.memberships(person).first()
            zone = "UTC" if own is None else own.place.zone
            made = programmes.make_programme(person, request.POST.get("name", ""), zone)
        except Refused as refused:
            messages.error(request, str(refused))
        else:
            return redirect("web:programme_settings", made.pk)
    found = yards(request)
    return page(request, "programmes", {"yards": found})


@require_GET
@in_yard
def morning_view(request: HttpRequest, yard: Yard) -> HttpResponse:
    """Who needs help today, what is full when, bran to make, the round."""
    found, facts = programmes.morning_of(yard.programme)
    since = yard.today - dt.timedelta(days=_RECENT)
    log = programmes.entries(yard.programme, since)
    context = programme_page.morning_page(yard, found, log, programmes.next_round(yard.programme))
    context["waits"] = waiting(yard, facts)
    context["none"] = not (facts or context["waits"])
    return page(request, "programme", base(yard, "morning") | context)
