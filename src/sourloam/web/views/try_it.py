"""The page to play with: no login, nothing stored; an address is all there is to it."""

from __future__ import annotations

import gzip
import json
import threading
from collections import OrderedDict
from collections.abc import Mapping
from contextlib import suppress

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import get_language, gettext_lazy
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_safe
from django.views.decorators.vary import vary_on_headers

from sourloam.web import reading
from sourloam.web.try_it import usual_sour as sour_page
from sourloam.web.try_it.form import form_of, opening, swatches
from sourloam.web.try_it.gate import TooBusy, turnstile
from sourloam.web.try_it.model import both
from sourloam.web.try_it.moves import moves
from sourloam.web.try_it.page import answer_of
from sourloam.web.try_it.settings import SIDES, Side, Trial, read_trial, usual
from sourloam.web.try_it.stand import Seen, stand_of
from sourloam.web.views.asking import page

_WRONG, _BUSY = 400, 429
_BUSY_LINE = gettext_lazy("Many are playing just now. Try again in a moment.")
_KEPT_FRAMES = 48
_HELD_S = 300


@require_safe
@cache_control(private=True, no_cache=True)
def try_it(request: HttpRequest) -> HttpResponse:
    """Both vessels, with the sliders; works without script by its form."""
    if not request.GET and request.user.is_authenticated and reading.units_of(request) == "us":
        return redirect(f"{reverse('web:try_it')}?units=us")
    trial, context, status = _answered(request, opens=True)
    if status == _WRONG:
        with suppress(TooBusy):
            context |= {"answer": answer_of(_seen(trial, request))}
    if "moves" in request.GET and status < _WRONG:
        context |= _moved(trial, request)
    context |= form_of(trial) | {"legend": swatches(), "opens": _asks_nothing(request)}
    return _told(page(request, "try_it", context, status=status), context)


@require_safe
@cache_control(private=True, no_cache=True)
def sour(request: HttpRequest) -> HttpResponse:
    """What the pages mean by sour, and how long each of it takes."""
    outcome = None
    with suppress(TooBusy):
        outcome = turnstile.outcome(usual("pail"), request.META.get("REMOTE_ADDR", ""))
    units = reading.units_of(request) if request.user.is_authenticated else "metric"
    return page(request, "sour", sour_page.page(outcome, units))


@require_safe
@cache_control(private=True, max_age=_HELD_S)
@vary_on_headers("Accept-Language", "Cookie")
def answer(request: HttpRequest) -> HttpResponse:
    """The answer alone, for the sliders."""
    _trial, context, status = _answered(request)
    return _told(page(request, "_try_it_answer", context, status=status), context)


@require_safe
@cache_control(private=True, max_age=_HELD_S)
@vary_on_headers("Accept-Language", "Cookie")
def frames(request: HttpRequest) -> HttpResponse:
    """Both vessels on every day, for playing: drawn once, sent small."""
    try:
        trial = read_trial(request.GET)
        packed = _frames(_seen(trial, request), get_language())
    except ValueError as error:
        return HttpResponse(str(error), status=_WRONG, content_type="text/plain; charset=utf-8")
    except TooBusy as busy:
        return _told(HttpResponse(status=_BUSY), {"after_s": busy.after_s})
    if "gzip" not in request.headers.get("Accept-Encoding", ""):
        return HttpResponse(gzip.decompress(packed), content_type="application/json")
    response = HttpResponse(packed, content_type="application/json")
    response["Content-Encoding"] = "gzip"
    return response


@require_safe
@cache_control(private=True, max_age=_HELD_S)
@vary_on_headers("Accept-Language", "Cookie")
def moved(request: HttpRequest) -> HttpResponse:
    """What moves A most, for whoever opens it."""
    try:
        context = _moved(read_trial(request.GET), request)
    except ValueError as error:
        context = {"moves_fault": str(error)}
    return _told(page(request, "_try_it_moves", context, status=_status(context)), context)


def _moved(trial: Trial, request: HttpRequest) -> dict[str, object]:
    caller = request.META.get("REMOTE_ADDR", "")
    try:
        return {"moves": moves(trial.a, lambda side: turnstile.outcome(side, caller), trial.units)}
    except TooBusy as busy:
        return {"moves_fault": _BUSY_LINE, "after_s": busy.after_s}


def _status(context: Mapping[str, object]) -> int:
    if "after_s" in context:
        return _BUSY
    return _WRONG if "moves_fault" in context else 200


def _asks_nothing(request: HttpRequest) -> bool:
    """Whether the page opens with its own difference."""
    return set(request.GET) <= {"units"}


def _answered(request: HttpRequest, opens: bool = False) -> tuple[Trial, dict[str, object], int]:
    """The trial that was asked for and its answer, or one line that says why there is none; a page
    that opens with nothing asked begins with a difference."""
    trial = Trial()
    try:
        trial = read_trial(request.GET)
        if opens and _asks_nothing(request):
            trial = opening(trial.units)
        return trial, {"answer": answer_of(_seen(trial, request))}, 200
    except ValueError as error:
        return trial, {"fault": str(error)}, _WRONG
    except TooBusy as busy:
        return trial, {"fault": _BUSY_LINE, "after_s": busy.after_s}, _BUSY


def _seen(trial: Trial, request: HttpRequest) -> Seen:
    caller = request.META.get("REMOTE_ADDR", "")
    return Seen(trial, *both(trial, lambda side: turnstile.outcome(side, caller)))


def _told(response: HttpResponse, context: Mapping[str, object]) -> HttpResponse:
    if "after_s" in context:
        response["Retry-After"] = str(context["after_s"])
        response["Cache-Control"] = "no-store"
    return response


def _frames(seen: Seen, language: str | None) -> bytes:
    """Drawn only once for two settings; the vessels themselves are kept already."""
    key = (seen.trial.a, seen.trial.b, seen.trial.units, language)
    with _guard:
        if key in _drawn:
            _drawn.move_to_end(key)
            return _drawn[key]
    days = range(1, seen.trial.last_day + 1)
    made = {letter: [stand_of(seen, letter, day) for day in days] for letter in SIDES}
    packed = gzip.compress(json.dumps(made).encode(), compresslevel=4, mtime=0)
    with _guard:
        _drawn[key] = packed
        while len(_drawn) > _KEPT_FRAMES:
            _drawn.popitem(last=False)
    return packed


_drawn: OrderedDict[tuple[Side, Side, str, str | None], bytes] = OrderedDict()
_guard = threading.Lock()
