"""What is done around every request: the reader's language; nothing else before a first keeper."""

from __future__ import annotations

from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import translation

from sourloam.logbook.people import is_first_start
from sourloam.logbook.signing_in import LANGUAGE

#: Addresses for programs: they are never sent to a page.
PROGRAMS = "/api/v1/"
Next = Callable[[HttpRequest], HttpResponse]


def reader_language(get_response: Next) -> Next:
    """Pages in the language that the person chose, on any device."""
    known = dict(settings.LANGUAGES)

    def around(request: HttpRequest) -> HttpResponse:
        chosen = request.session.get(LANGUAGE) if request.COOKIES.get(_SESSION) else None
        if chosen in known:
            translation.activate(chosen)
            request.LANGUAGE_CODE = chosen
        return get_response(request)

    return around


def first_start(get_response: Next) -> Next:
    """Before somebody is keeper every page leads to the one that asks for a name and password;
    programs are told that they have no token."""

    def around(request: HttpRequest) -> HttpResponse:
        # Whoever has a session has signed in, so there is a keeper: no need to ask the store.
        asked = request.path
        fresh = not request.COOKIES.get(_SESSION) and asked != reverse("web:start")
        fresh = fresh and not asked.startswith(PROGRAMS)
        if fresh and is_first_start():
            return redirect("web:start")
        return get_response(request)

    return around


_SESSION = settings.SESSION_COOKIE_NAME
