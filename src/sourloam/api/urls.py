"""The API with its operations, mounted; its document; nothing else under its address."""

from __future__ import annotations

from typing import Any

from django.db import Error as StoreError
from django.http import Http404, HttpRequest, HttpResponse
from django.urls import path, re_path
from ninja import NinjaAPI
from ninja.errors import ValidationError as ParameterError

import sourloam
from sourloam.api import (
    entries,
    files,
    places,
    programmes,
    reckoning,
    rounds,
    standing,
    trials,
)
from sourloam.api.caller import Bearer
from sourloam.api.document import document_text
from sourloam.api.operations import JSON, only_known_questions
from sourloam.api.trouble import Trouble, missing, told
from sourloam.exchange import ExchangeError
from sourloam.logbook import unwritten
from sourloam.logbook.refusals import Refused

_AGAIN_S = 60
ROUTERS = (
    *(places.router, entries.router, standing.router, reckoning.router, trials.router),
    *(files.router, programmes.router, rounds.router),
)

api = NinjaAPI(
    title="Sourloam",
    version=sourloam.__version__,
    openapi_url=None,
    docs_url=None,
    urls_namespace="api",
    auth=Bearer(),
)
api.add_decorator(only_known_questions)
for _router in ROUTERS:
    api.add_router("", _router)


def _refused(request: HttpRequest, error: Any) -> HttpResponse:
    """Whatever an operation raises that is no fault of ours."""
    if isinstance(error, StoreError) and not unwritten.of_store(error):
        raise error
    return told(_trouble(error))


def _trouble(error: Exception) -> Trouble:
    if isinstance(error, Trouble):
        return error
    if isinstance(error, Refused):
        reason = "refused" if error.field is None else "field"
        return Trouble(error.status, str(error), reason, error.field)
    if isinstance(error, ExchangeError):
        return Trouble(422, str(error), "file")
    if isinstance(error, ParameterError):
        first = error.errors[0]
        field = str(first["loc"][-1])
        return Trouble(422, f"{field}: {first['msg']}", "field", field)
    if unwritten.of_store(error):
        why = unwritten.reason(error)
        return Trouble(503, str(unwritten.SAID[why]), why, wait_s=_AGAIN_S)
    return missing()


_EXPECTED = (Trouble, Refused, ExchangeError, ParameterError, StoreError, Http404)
for _error in _EXPECTED:
    api.add_exception_handler(_error, _refused)


def openapi(request: HttpRequest) -> HttpResponse:
    """The document itself; it needs no token."""
    return HttpResponse(document_text(api), content_type=JSON)


def nothing(request: HttpRequest) -> HttpResponse:
    """An address that is none of the API's."""
    return told(missing())


urlpatterns = [
    path("openapi.json", openapi, name="openapi"),
    path("", api.urls),
    re_path("", nothing),
]
