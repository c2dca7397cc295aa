"""Lots of inoculated bran: the page of all, of one, and the sheet to print."""

from __future__ import annotations

import threading

from django.http import Http404, HttpRequest, HttpResponse
from django.utils.translation import get_language
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from sourloam.documents import DocumentError, Printing, bran_sheet
from sourloam.web import reading
from sourloam.web.bran.lot import page as lot_page
from sourloam.web.bran.lots import Neighbour
from sourloam.web.bran.lots import page as lots_page
from sourloam.web.bran.next_batch import next_batch
from sourloam.web.house import House
from sourloam.web.rescue.signs import signs
from sourloam.web.views.asking import in_house, page

_WAIT_S = 20.0
_setting = threading.BoundedSemaphore(1)  # typesetting takes a core: one sheet at a time


def neighbours(request: HttpRequest, house: House) -> list[Neighbour]:
    """The reader's other places, for lots that went there."""
    others = (one for one in reading.houses(request) if one.id != house.id)
    return [Neighbour(one, reading.state_of(one)) for one in others]


@require_GET
@in_house
def lots(request: HttpRequest, house: House) -> HttpResponse:
    """All lots, and the next batch."""
    others = neighbours(request, house) if house.may("bran_received") else []
    context = lots_page(reading.inside(house), others) | {"place": house, "here": "shelf"}
    return page(request, "lots", context, keep=True)


@require_GET
@in_house
def lot(request: HttpRequest, house: House, lot: str) -> HttpResponse:
    """One lot."""
    inside = reading.inside(house)
    try:
        found = inside.state.lot(lot)
    except KeyError:
        raise Http404 from None
    context = lot_page(inside, found, neighbours(request, house), signs())
    return page(request, "lot", context | {"place": house, "here": "shelf"}, keep=True)


@require_GET
@in_house
def sheet(request: HttpRequest, house: House) -> HttpResponse:
    """The next batch on one page, to stand beside the tub."""
    state = reading.state_of(house)
    found = next_batch(state, state.site(), house.today, house.units)
    if found.answer is None:
        return _refused(request, house, found.fault, 422)
    if not _setting.acquire(timeout=_WAIT_S):
        text = _("Other sheets are being printed; try again in a minute.")
        return _refused(request, house, text, 503)
    try:
        made = bran_sheet(found.answer, _printing(house))
    except DocumentError as error:
        return _refused(request, house, str(error), 422)
    finally:
        _setting.release()
    response = HttpResponse(made, content_type="application/pdf")
    response["Content-Disposition"] = 'inline; filename="bran.pdf"'
    return response


def _refused(request: HttpRequest, house: House, text: str, status: int) -> HttpResponse:
    context = {"headline": _("No sheet"), "text": text, "place": house}
    return page(request, "message", context, status=status)


def _printing(house: House) -> Printing:
    us = house.units == "us"
    return Printing(
        language="es" if (get_language() or "").startswith("es") else "en",
        paper="letter" if us else "a4",
        system="us" if us else "metric",
        day=house.today,
    )
