"""What somebody sees whom the house can't serve: one line in their language and a way home."""

from __future__ import annotations

import logging
from collections.abc import Callable

from django.core.exceptions import RequestDataTooBig, TooManyFieldsSent, TooManyFilesSent
from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string
from django.utils.translation import gettext as _

from sourloam import drawing
from sourloam.logbook import unwritten
from sourloam.web import wording as w
from sourloam.web.pictures import shown

_log = logging.getLogger(__name__)
_TOO_MUCH = (RequestDataTooBig, TooManyFieldsSent, TooManyFilesSent)


def wrong_request(request: HttpRequest, exception: Exception) -> HttpResponse:
    """400: what was sent can't be read."""
    if isinstance(exception, _TOO_MUCH):
        return told(400, _("Too much at once"), _("Send fewer fields or a smaller file."))
    return told(400, _("This can't be answered"), _("The address or the form is none of ours."))


def forbidden(request: HttpRequest, exception: Exception) -> HttpResponse:
    """403: somebody's role does not hold what was asked."""
    line = _("Ask a coordinator of the place (who may do everything there) for another role.")
    return told(403, _("Your role does not open this"), line, "resting", request)


def not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    """404: nothing under this address, or nothing for this reader; the answer does not tell."""
    line = _("The address is mistyped or old, or the place behind it is not one of yours.")
    return told(404, _("Nothing stands here"), line, "empty", request)


def broken(request: HttpRequest) -> HttpResponse:
    """500: our fault. Asks neither the store nor who reads, for these may be what broke."""
    line = _("The fault is ours, not yours. What waits on your phone stays there; try again soon.")
    return told(500, _("Something broke on our side"), line, "failed")


def stale_form(request: HttpRequest, reason: str = "") -> HttpResponse:
    """A form without its token: sent from a page that was open before somebody signed in anew."""
    line = _("The page was open too long. Go back, load it anew, and send the form once more.")
    return told(403, _("This form is no longer good"), line, "resting")


def page_for_wrong_way(
    get_response: Callable[[HttpRequest], HttpResponse],
) -> Callable[[HttpRequest], HttpResponse]:
    """405 is a page too: somebody opened the address to which a form is sent."""

    def around(request: HttpRequest) -> HttpResponse:
        response = get_response(request)
        if response.status_code != 405 or response.content:
            return response
        line = _("A form is sent here; there is nothing to look at.")
        page = told(405, _("Nothing stands here"), line, "empty", request)
        page["Allow"] = response["Allow"]
        return page

    return around


class PageForStore:
    """503 where the store can't work just now: what was sent is not kept, and told so."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self._answer = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """What was asked, as it is answered."""
        return self._answer(request)

    def process_exception(self, request: HttpRequest, error: Exception) -> HttpResponse | None:
        """Asks the store nothing: it is what broke."""
        if not unwritten.of_store(error):
            return None
        _log.error("the store took nothing: %s", error)
        line = str(unwritten.SAID[unwritten.reason(error)])
        return told(503, _("The log can't answer just now"), line, "failed")


def told(
    status: int,
    headline: str,
    line: str,
    state: str = "resting",
    request: HttpRequest | None = None,
) -> HttpResponse:
    """The page; without ``request`` it names nobody and asks the store nothing."""
    context = {"headline": headline, "text": line, "picture": _picture(state)}
    page = render_to_string("sourloam/message.html", context, request)
    return HttpResponse(page, status=status)


def _picture(state: str) -> object:
    layers = () if state == "empty" else tuple(drawing.LayerPicture(1, ph) for ph in (4.0, 4.6))
    title = w.word(w.STAGES, state)
    vessel = drawing.VesselPicture("1", state, layers=layers, level=0.6, title=title)
    return shown(drawing.draw_vessel(vessel, large=False))
