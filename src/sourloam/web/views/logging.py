"""Writing down: a form posted without script, and the end points that a phone's queue uses."""

from __future__ import annotations

import json
from typing import Any

from django.contrib import messages
from django.core.files.uploadedfile import UploadedFile
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST

from sourloam.ledger import KINDS, EntryError, Fault
from sourloam.web import reading
from sourloam.web.house import House
from sourloam.web.log import refusing
from sourloam.web.log.posted import raw_entry
from sourloam.web.views.asking import in_house
from sourloam.web.views.faults import told

_MOST_AT_ONCE = 200
_MOST_BYTES = 4_000_000


@require_POST
@in_house
def log(request: HttpRequest, house: House, kind: str) -> HttpResponse:
    """One entry from a form, for a browser without script."""
    target = _target(request)
    try:
        if kind not in KINDS:
            raise EntryError(f"kind: {kind[:40]}: no such kind", Fault("form"))
        raw = raw_entry(request.POST, house.id, kind, house.zone)
        if "file" in request.FILES:
            raw["body"]["photo"] = reading.keep_photo(request, house.id, _file(request))
    except EntryError as error:
        line = refusing.line(error, house.units)
        if error.fault is not None and error.fault.sort == "form":
            return told(400, _("This can't be answered"), line)
        messages.error(request, line)
        return redirect(target)
    except reading.Refused as refused:
        messages.error(request, str(refused))
        return redirect(target)
    return write(request, raw, target)


def _target(request: HttpRequest) -> str:
    """Where to go on: what the form says, else where it stood; never out of the house."""
    ahead, back = request.POST.get("next", ""), request.META.get("HTTP_REFERER", "")
    for one in (ahead, back):
        safe = url_has_allowed_host_and_scheme(one, {request.get_host()}, request.is_secure())
        if safe and "/" in one:  # a bare word would be taken for the name of a page
            return one
    return "web:today"


def write(request: HttpRequest, raw: dict[str, Any], target: str, *args: str) -> HttpResponse:
    """Store an entry, say how it went, go on to a page."""
    status, detail = reading.record(request, raw)
    if status < 300:
        messages.success(request, _("Written down"))
    else:
        messages.error(request, detail)
    return redirect(target, *args)


@require_POST
@never_cache
def entries(request: HttpRequest) -> HttpResponse:
    """One entry: 201 new, 200 known already, else one line. Several: an answer for each."""
    if not request.user.is_authenticated:
        return _line(401, _("Sign in first"))
    try:
        if int(request.META.get("CONTENT_LENGTH") or 0) > _MOST_BYTES:
            return _line(413, _("Too much at once; send fewer."))
        sent = json.loads(request.body)
    except (ValueError, RecursionError):
        return _line(422, _("This can't be read; nothing was written down."))
    if isinstance(sent, dict):
        status, detail = reading.record(request, sent)
        return _line(status, detail)
    if not isinstance(sent, list) or len(sent) > _MOST_AT_ONCE:
        return _line(422, _("This can't be read; nothing was written down."))
    answers = [reading.record(request, raw) for raw in sent]
    return JsonResponse({"entries": [{"status": s, "detail": d} for s, d in answers]})


@require_POST
@never_cache
def photos(request: HttpRequest) -> HttpResponse:
    """Take a photo; the answer is its address by content."""
    if not request.user.is_authenticated:
        return _line(401, _("Sign in first"))
    if "file" not in request.FILES:
        return _line(422, _("No photo came along."))
    try:
        found = reading.keep_photo(request, request.POST.get("place", ""), _file(request))
    except reading.Refused as refused:
        return _line(refused.status, str(refused))
    return JsonResponse({"photo": found}, status=201)


def _file(request: HttpRequest) -> UploadedFile[Any]:
    """The one file that was sent."""
    found = request.FILES["file"]
    assert isinstance(found, UploadedFile)
    return found


def _line(status: int, detail: str) -> JsonResponse:
    return JsonResponse({"status": status, "detail": detail}, status=status)
