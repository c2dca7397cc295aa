"""Whatever goes wrong around the API is told as one of its problems too, never as a page."""

from __future__ import annotations

from http import HTTPStatus

from django.http import HttpRequest, HttpResponse

from sourloam.api.trouble import MEDIA, Trouble, told
from sourloam.logbook.middleware import PROGRAMS, Next

_LINES = {
    400: ("The request can't be read.", "request"),
    404: ("Nothing stands here, or it is not within this token's reach.", "address"),
    405: ("This method is none of this address's; Allow says which are.", "method"),
    500: ("The fault is ours. What was acknowledged is kept; try again.", "server"),
}


def problems(get_response: Next) -> Next:
    """Pages of trouble become problems where a program asked."""

    def around(request: HttpRequest) -> HttpResponse:
        response = get_response(request)
        if not request.path.startswith(PROGRAMS):
            return response
        response.headers.setdefault("Cache-Control", "no-store")
        status = response.status_code
        if status < HTTPStatus.BAD_REQUEST or response.get("Content-Type", "").startswith(MEDIA):
            return response
        line, reason = _LINES.get(status, (HTTPStatus(status).phrase, "request"))
        answer = told(Trouble(status, line, reason))
        for name in ("Allow", "Retry-After"):
            if name in response:
                answer[name] = response[name]
        return answer

    return around
