"""A place out and in, and weighings from a spreadsheet."""

from __future__ import annotations

import io
from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.files.uploadedfile import UploadedFile
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.text import slugify
from django.utils.translation import get_language, ngettext
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_POST

from sourloam import documents
from sourloam.documents import DocumentError, Printing
from sourloam.exchange import (
    ExchangeError,
    place_json,
    read_bundle,
    read_sheet,
    weighings,
    write_archive,
)
from sourloam.exchange.sheet import text_of
from sourloam.logbook import exchanging
from sourloam.logbook.permissions import may
from sourloam.web import reading
from sourloam.web.house import House
from sourloam.web.place import exchange as exchange_page
from sourloam.web.place.season import season
from sourloam.web.views.asking import in_house, must, page

_MOST_FILE, _MOST_SHEET = 12_000_000, 1_000_000
_TYPES = {"zip": "application/zip", "json": "application/json"}


@require_GET
@in_house
def exchange(request: HttpRequest, house: House) -> HttpResponse:
    """What may go out and come in."""
    return _page(request, house)


def _page(request: HttpRequest, house: House, error: ExchangeError | None = None) -> HttpResponse:
    context = {
        "place": house,
        "here": "people",
        "season": season(reading.inside(house)),
        "may_take_out": may(house.role, "take out"),
        "may_bring_in": may(house.role, "bring in"),
        "may_feed": house.may("fed"),
        "trouble": exchange_page.trouble(error, house.units),
    }
    return page(request, "exchange", context, status=422 if error else 200)


@require_GET
@in_house
def take_out(request: HttpRequest, house: House, form: str) -> HttpResponse:
    """The whole place as a file."""
    if form not in _TYPES:
        raise Http404
    must(may(house.role, "take out"))
    bundle = exchanging.take_out(reading.person_of(request), house.id)
    if form == "json":
        made = place_json(bundle)
    else:
        kept = io.BytesIO()
        write_archive(bundle, kept)
        made = kept.getvalue()
    response = HttpResponse(made, content_type=_TYPES[form])
    name = f"{slugify(house.name) or 'place'}-{house.today:%Y-%m-%d}.{form}"
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    return response


@require_POST
@in_house
def bring_in(request: HttpRequest, house: House) -> HttpResponse:
    """What is new in a file of this place."""
    must(may(house.role, "bring in"))
    try:
        done = _brought(request, house.id)
    except ExchangeError as error:
        return _page(request, house, error)
    messages.success(request, _counted(done.new, done.known))
    return redirect("web:exchange", house.id)


@never_cache
@login_required
def bring_in_new(request: HttpRequest) -> HttpResponse:
    """A place that begins from a file, with whoever brings it as its coordinator."""
    trouble: list[str] = []
    if request.method == "POST":
        try:
            done = _brought(request, None)
        except ExchangeError as error:
            trouble = exchange_page.trouble(error)
        except reading.Refused as refused:
            trouble = [str(refused)]
        else:
            messages.success(request, _counted(done.new, done.known))
            return redirect("web:shelf", done.place)
    return page(request, "from_file", {"trouble": trouble}, status=422 if trouble else 200)


def _brought(request: HttpRequest, place: str | None) -> exchanging.BroughtIn:
    data = _file(request, _MOST_FILE)
    return exchanging.bring_in(reading.person_of(request), read_bundle(data), place)


def _file(request: HttpRequest, most: int) -> bytes:
    """The bytes of the one file that was sent; ExchangeError where there is none."""
    file = request.FILES.get("file")
    if file is None or not file.size:
        raise ExchangeError([_("Choose a file first.")])
    if file.size > most:
        size = {"most": f"{most // 1_000_000} MB"}
        raise ExchangeError(
            [_("Larger than %(most)s: let whoever runs the server bring it in by command.") % size]
        )
    assert isinstance(file, UploadedFile)
    return bytes(file.read())


def _counted(new: int, known: int) -> str:
    came = ngettext("%(n)d entry is new", "%(n)d entries are new", new) % {"n": new}
    here = ngettext("%(n)d was here already", "%(n)d were here already", known) % {"n": known}
    return f"{came}; {here}."


@require_POST
@in_house
def sheet(request: HttpRequest, house: House) -> HttpResponse:
    """A sheet of weighings: looked at first, then taken in whole."""
    must(house.may("fed"))
    inside = reading.inside(house)
    try:
        text = request.POST.get("text") or _text(_file(request, _MOST_SHEET))
        choice = exchange_page.choice(request.POST)
        read = read_sheet(text.encode("utf-8"))
        found = weighings(read, house.id, inside.state, house.zone, house.today, choice)
        if "take" in request.POST and found.good and not found.bad:
            person = reading.person_of(request)
            messages.success(
                request, _counted(*exchanging.add_entries(person, house.id, found.good))
            )
            return redirect("web:shelf", house.id)
    except ExchangeError as error:
        return _page(request, house, error)
    context: dict[str, Any] = exchange_page.preview(inside, found, choice)
    context |= {"place": house, "here": "people", "text": text}
    return page(request, "sheet", context)


def _text(data: bytes) -> str:
    """As the reader of sheets decodes it, so that it can stand in a page."""
    return text_of(data)


@require_GET
@in_house
def season_report(request: HttpRequest, house: House) -> HttpResponse:
    """The place's season to print."""
    return _printed(request, house, documents.season_report, "season")


@require_GET
@in_house
def week_sheet(request: HttpRequest, house: House) -> HttpResponse:
    """This week's work to print, for whoever has never done it."""
    return _printed(request, house, documents.week_sheet, "week")


def _printed(
    request: HttpRequest, house: House, make: Callable[..., bytes], named: str
) -> HttpResponse:
    """A sheet made from the log and what is foreseen, in the reader's language and units."""
    inside = reading.inside(house)
    language = (get_language() or "en")[:2]
    printing = Printing(
        language="es" if language == "es" else "en",
        paper="letter" if request.GET.get("paper") == "letter" else "a4",
        system="us" if house.units == "us" else "metric",
        day=house.today,
    )
    try:
        made = make(house.name, inside.state, house.today, printing, inside.foreseen)
    except DocumentError as error:
        line = _(
            "The printing type has no letters for “%(text)s”; write it in Latin, Greek or Cyrillic "
            "letters."
        )
        told = line % {"text": error.letters} if error.letters else str(error)
        return _page(request, house, ExchangeError([told]))
    response = HttpResponse(made, content_type="application/pdf")
    name = f"{slugify(house.name) or 'place'}-{named}-{house.today:%Y-%m-%d}.pdf"
    response["Content-Disposition"] = f'inline; filename="{name}"'
    return response
