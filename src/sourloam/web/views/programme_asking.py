"""What the views of a programme share."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest

from sourloam.logbook import models
from sourloam.logbook.refusals import Refused
from sourloam.programme import PlaceFacts
from sourloam.web.programmes.house import Yard


def base(yard: Yard, here: str) -> dict[str, Any]:
    """What every page of a programme begins with; ``here`` is its part."""
    return {"programme": yard, "here": here}


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
