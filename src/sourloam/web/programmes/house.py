"""A programme as one reader meets it, and the door of its pages to the logbook."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from functools import wraps
from typing import Concatenate, ParamSpec

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse
from django.views.decorators.cache import never_cache

from sourloam.logbook import programmes
from sourloam.logbook.models import Programme
from sourloam.logbook.permissions import may_in_programme, programmes_of
from sourloam.web import reading

P = ParamSpec("P")


@dataclass(frozen=True)
class Yard:
    """A programme, the reader's role in it, the reader's units and the date there."""

    programme: Programme
    role: str
    units: str
    today: dt.date

    @property
    def id(self) -> str:
        """The programme's id."""
        return str(self.programme.pk)

    @property
    def name(self) -> str:
        """The programme's name."""
        return str(self.programme.name)

    def may(self, action: str) -> bool:
        """Whether the reader holds an action."""
        return may_in_programme(self.role, action)

    @property
    def may_write(self) -> bool:
        """Whether the reader may write in the programme's log and plan rounds."""
        return self.may("write")

    @property
    def may_make_token(self) -> bool:
        """Whether the reader may let programs in."""
        return self.may("make token")

    @property
    def may_change(self) -> bool:
        """Whether the reader coordinates it."""
        return self.may("change programme")


YardView = Callable[Concatenate[HttpRequest, Yard, P], HttpResponse]


def yards(request: HttpRequest) -> list[Yard]:
    """All programmes of the reader."""
    units = reading.units_of(request)
    return [
        Yard(member.programme, member.role, units, programmes.today(member.programme))
        for member in programmes_of(request.user)
    ]


def in_yard(view: YardView[P]) -> Callable[..., HttpResponse]:
    """A view of a programme that only its people reach; strangers get 404."""

    @wraps(view)
    @never_cache
    @login_required
    def asked(request: HttpRequest, programme: str, *args: P.args, **kw: P.kwargs) -> HttpResponse:
        found = next((yard for yard in yards(request) if yard.id == programme), None)
        if found is None:
            raise Http404
        return view(request, found, *args, **kw)

    return asked
