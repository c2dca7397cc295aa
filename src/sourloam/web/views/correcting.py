"""An entry written down anew: the form filled with what it says."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.views.decorators.http import require_GET

from sourloam.web import reading
from sourloam.web.forms import correction
from sourloam.web.forms.making import CORRECTED
from sourloam.web.house import House
from sourloam.web.log.records import asking, found
from sourloam.web.log.telling import said
from sourloam.web.rescue.signs import signs
from sourloam.web.views.asking import in_house, must, page


@require_GET
@in_house
def correct(request: HttpRequest, house: House, entry: UUID) -> HttpResponse:
    """The form of one entry."""
    state = reading.state_of(house)
    one = found(house.id, state, str(entry))
    if one is None or one.record.kind not in CORRECTED:
        raise Http404
    record = one.record
    must(house.may(record.kind))
    context: dict[str, Any] = {
        "place": house,
        "here": "beds" if one.bed else "shelf",
        "form": correction(record, asking(state, one, house.units, signs())),
        "then": one.url,
        "name": one.name or house.name,
        "at": record.at.astimezone(house.zone),
        "by": record.by or "",
        "said": said(record.kind, record.body, state, house.units, signs()),
    }
    return page(request, "correct", context)
