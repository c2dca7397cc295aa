"""The programme's own log: read, and written from any of its pages."""

from __future__ import annotations

import uuid

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from sourloam.logbook import programmes
from sourloam.logbook.refusals import Refused
from sourloam.web import reading
from sourloam.web.programmes import form as programme_form
from sourloam.web.programmes import log as in_log
from sourloam.web.programmes.deed_forms import IN_LOG, deed_forms
from sourloam.web.programmes.house import Yard, in_yard
from sourloam.web.views.asking import must, page
from sourloam.web.views.programme_asking import base, refuse


@require_GET
@in_yard
def log(request: HttpRequest, yard: Yard) -> HttpResponse:
    """Trainings, questions, visits, weighings: the programme's own log."""
    context = in_log.log_page(yard, programmes.entries(yard.programme), request.GET)
    context["kinds"] = deed_forms(IN_LOG, yard) if yard.may_write else []
    return page(request, "programme_log", base(yard, "log") | context)


@require_POST
@in_yard
def write(request: HttpRequest, yard: Yard, kind: str) -> HttpResponse:
    """A line of the programme's log, from any of its pages."""
    must(yard.may_write)
    place, back = request.POST.get("place", ""), request.POST.get("back", "log")
    try:
        programmes.write(
            reading.person_of(request),
            yard.programme,
            kind,
            programme_form.deed_body(request, yard.units == "us"),
            place,
            request.POST.get("supersedes", ""),
            _id(request),
            beside=programmes.Beside(on=programme_form.day(request)),
        )
        messages.success(request, _("Written down"))
    except Refused as refused:
        refuse(request, refused)
    if back == "round":
        return redirect("web:programme_round", yard.id, yard.today.isoformat())
    if back == "place" and place:
        return redirect("web:programme_place", yard.id, place)
    return redirect("web:programme" if back == "morning" else "web:programme_log", yard.id)


def _id(request: HttpRequest) -> uuid.UUID | None:
    try:
        return uuid.UUID(request.POST.get("id", ""))
    except ValueError:
        return None
