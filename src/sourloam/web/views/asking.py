"""What every view does first and last: who asks, may they, and may the page be kept."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any, Concatenate, ParamSpec

from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache

from sourloam.web import reading
from sourloam.web.house import House

P = ParamSpec("P")
View = Callable[Concatenate[HttpRequest, P], HttpResponse]
HouseView = Callable[Concatenate[HttpRequest, House, P], HttpResponse]


def in_house(view: HouseView[P]) -> Callable[..., HttpResponse]:
    """A view of a place that only its people reach; strangers get 404."""

    @wraps(view)
    @never_cache
    @login_required
    def asked(request: HttpRequest, place: str, *args: P.args, **kwargs: P.kwargs) -> HttpResponse:
        return view(request, reading.house(request, place), *args, **kwargs)

    return asked


def must(allowed: bool) -> None:
    """403 for what the reader's role does not hold."""
    if not allowed:
        raise PermissionDenied


def page(
    request: HttpRequest, name: str, context: dict[str, Any], keep: bool = False, status: int = 200
) -> HttpResponse:
    """A rendered page; ``keep`` lets a phone hold it for when there is no signal."""
    response = render(request, f"sourloam/{name}.html", context, status=status)
    if keep:
        response["X-Keep"] = "1"
    return response
