"""Coming in: first start, signing in and out, joining by a link."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth import authenticate, login, logout
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST

from sourloam.web import reading
from sourloam.web import wording as w
from sourloam.web.expecting import expect_setup
from sourloam.web.pictures import two_vessels
from sourloam.web.views.asking import page
from sourloam.web.views.faults import told


@never_cache
def start(request: HttpRequest) -> HttpResponse:
    """The first keeper's name and password, nothing else."""
    if not reading.first_start():
        return redirect("web:enter")
    fault = ""
    begins = not reading.places_wait()
    if begins:
        expect_setup()  # while somebody still types their name
    if request.method == "POST":
        try:
            reading.first_keeper(request, *given(request))
            target = "web:new_place" if request.POST.get("begin") == "plan" else "web:today"
            return redirect(target)
        except (ValidationError, reading.Refused) as error:
            fault = line_of(error)
    context = {
        "headline": _("Whose house is this?"),
        "lead": _("You may do everything here; others join later by a link."),
        "what": what_it_is(),
        "picture": two_vessels(),
        "button": _("Open the door"),
        "fresh": True,
        "begin": begins,
        "fault": fault,
        "name": request.POST.get("username", ""),
    }
    return page(request, "door", context, status=422 if fault else 200)


@never_cache
def enter(request: HttpRequest) -> HttpResponse:
    """Sign in."""
    if reading.first_start():
        return redirect("web:start")
    fault = ""
    if request.method == "POST":
        name, word = given(request)
        person = authenticate(request, username=name, password=word)
        if person is not None:
            login(request, person)
            return redirect(_next(request))
        fault = _("Name and password do not go together. After several tries, wait a while.")
    context = {
        "headline": _("Come in"),
        "lead": _("What stands on the shelf, and what it wants."),
        "what": what_it_is(),
        "picture": two_vessels(),
        "button": _("Sign in"),
        "fault": fault,
        "name": request.POST.get("username", ""),
        "next": request.GET.get("next", request.POST.get("next", "")),
    }
    return page(request, "door", context, status=422 if fault else 200)


def what_it_is() -> str:
    """What Sourloam is and for whom, in a sentence, before anybody knows it."""
    return _(
        "Sourloam helps homes, schools and gardens to sour kitchen scraps in closed buckets "
        "(bokashi) and to bury them: what to do today, and what comes."
    )


@require_POST
def leave(request: HttpRequest) -> HttpResponse:
    """Sign out."""
    logout(request)
    return redirect("web:enter")


@never_cache
def join(request: HttpRequest, token: str) -> HttpResponse:
    """Join a place by a link."""
    found: dict[str, str] | None = None
    try:
        found = reading.invitation(token)
        if request.method == "POST":
            return redirect("web:shelf", _joined(request, token, found["role"]))
    except (ValidationError, reading.Refused) as error:
        gone = isinstance(error, reading.Refused) and error.status == 404
        if found is None or gone:
            return no_link(request)
        return page(request, "door", _welcome(request, found, line_of(error)), status=422)
    return page(request, "door", _welcome(request, found, ""))


def no_link(request: HttpRequest) -> HttpResponse:
    """A link that was withdrawn, is too old, or never was."""
    line = _("It was taken back or is too old. Ask whoever sent it for a new one.")
    return told(404, _("This link no longer works"), line, "empty", request)


def _joined(request: HttpRequest, token: str, offered: str) -> str:
    if not request.user.is_authenticated:
        return reading.join_as(request, token, *given(request))
    place, held = reading.join(request, token)
    if held != offered:
        kept = _("You keep your role here: %(role)s.") % {"role": w.word(w.ROLE_NAMES, held)}
        messages.info(request, kept)
    return place


def _welcome(request: HttpRequest, found: dict[str, str], fault: str) -> dict[str, object]:
    return {
        "headline": _("Join %(place)s") % {"place": found["place"]},
        "lead": _("As %(role)s.") % {"role": w.word(w.ROLES, found["role"])},
        "what": what_it_is(),
        "picture": two_vessels(),
        "button": _("Join as %(role)s") % {"role": w.word(w.ROLE_NAMES, found["role"])},
        "fresh": True,
        "joined": request.user.is_authenticated,
        "fault": fault,
        "name": request.POST.get("username", ""),
    }


def given(request: HttpRequest) -> tuple[str, str]:
    """The name and the password that were typed."""
    return request.POST.get("username", "").strip(), request.POST.get("password", "")


def _next(request: HttpRequest) -> str:
    asked = request.POST.get("next", "")
    safe = url_has_allowed_host_and_scheme(asked, {request.get_host()}, request.is_secure())
    return asked if safe and "/" in asked else "web:today"


def line_of(error: Exception) -> str:
    """What was wrong with them."""
    return " ".join(error.messages) if isinstance(error, ValidationError) else str(error)
