"""What the views of a programme share."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest
from django.utils.translation import get_language

from sourloam.documents import Printing
from sourloam.logbook import models
from sourloam.logbook.refusals import Refused
from sourloam.programme import PlaceFacts
from sourloam.web.programmes.house import Yard


def base(yard: Yard, here: str) -> dict[str, Any]:
    """What every page of a programme begins with; ``here`` is its part."""
    return {"programme": yard, "here": here}


def printing(request: HttpRequest, yard: Yard) -> Printing:
    """How the reader wants a sheet: the language and units of the page, the paper asked for."""
    language = (get_language() or "en")[:2]
    return Printing(
        language="es" if language == "es" else "en",
        paper="letter" if request.GET.get("paper") == "letter" else "a4",
        system="us" if yard.units == "us" else "metric",
        day=yard.today,
    )


def waiting(yard: Yard, facts: Sequence[PlaceFacts]) -> int:
    """Places whose facts are not reckoned yet."""
    rows = models.ProgrammePlace.objects.filter(programme=yard.programme, left=None)
    return max(rows.count() - len(facts), 0)


def refuse(request: HttpRequest, refused: Refused) -> None:
    """What may not be, or is not there, gets its own page; the rest is told where it was asked."""
    if refused.status == 403:
        raise PermissionDenied from refused
    if refused.status == 404:
        raise Http404 from refused
    messages.error(request, str(refused))
