"""A stored photo, for the people of its place."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_GET

from sourloam.web import reading
from sourloam.web.house import House
from sourloam.web.views.asking import in_house


@require_GET
@in_house
def photo(request: HttpRequest, house: House, photo: str) -> HttpResponse:
    """The photo itself."""
    return reading.photo(request, house, photo)
