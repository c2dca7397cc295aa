"""Files: photos, a whole place out and in, weighings from a sheet, pages to print."""

from __future__ import annotations

import io
import threading
from collections.abc import Callable
from dataclasses import replace
from typing import Annotated, Any, Literal

from django.core.files.uploadedfile import UploadedFile
from django.http import HttpRequest, HttpResponse
from django.utils.text import slugify
from ninja import Query, Router
from pydantic import BaseModel, ConfigDict, Field

from sourloam.api import shapes
from sourloam.api.caller import caller_of
from sourloam.api.operations import CALENDAR, JPEG, JSON, PDF, ZIP, Form, file, operation, said
from sourloam.api.reckoning import AskedAchieved, answer_of
from sourloam.api.taking import Taken, body_of
from sourloam.api.trouble import Trouble, missing
from sourloam.documents import (
    DocumentError,
    Printing,
    Stickers,
    achieved_report,
    bran_sheet,
    season_report,
    vessel_labels,
    week_sheet,
)
from sourloam.exchange import (
    Choice,
    Row,
    place_json,
    read_bundle,
    read_sheet,
    weighings,
    write_archive,
)
from sourloam.logbook import exchanging, photos
from sourloam.web import reading
from sourloam.web.bran.next_batch import next_batch
from sourloam.web.house import House, Inside
from sourloam.web.place.calendar_feed import calendar_of
from sourloam.web.short import code

router = Router(tags=["files"])
_MOST_FILE, _MOST_SHEET = 12_000_000, 1_000_000
_setting = threading.BoundedSemaphore(1)  # typesetting takes a core: one sheet at a time
_WAIT_S, _AGAIN_S = 20.0, 30
_ONE_FILE = Form()
_SHEETS: dict[str, Callable[..., bytes]] = {"season": season_report, "week": week_sheet}


class WeighingsSheet(Taken):
    """A sheet of weighings, and what it leaves open."""

    text: Annotated[str, Field(min_length=1, max_length=_MOST_SHEET)]
    """The sheet as CSV with a line of headings, such as date, vessel, kg."""
    day_first: bool | None = None
    """Whether 3/4 is the third of April."""
    comma: bool | None = None
    """Whether 1,5 is one and a half."""
    unit: Literal["kg", "lb", "g", "oz", "bowl"] | None = None
    vessel: Annotated[str, Field(max_length=64)] | None = None
    """For lines that name none."""
    measure: Annotated[str, Field(max_length=64)] | None = None
    """Which measure a bowl is."""
    take: bool = False
    """Write the layers down, if every line can be one; else only look."""


class AskedPaper(BaseModel):
    """How a page is printed."""

    model_config = ConfigDict(frozen=True)

    paper: Literal["a4", "letter"] = "a4"
    language: Literal["en", "es"] = "en"
    units: Literal["metric", "us"] = "metric"


class AskedLabels(AskedPaper):
    """How stickers are printed."""

    width_mm: Annotated[float, Field(ge=20, le=200)] = 70.0
    height_mm: Annotated[float, Field(ge=15, le=280)] = 37.0
    skip: Annotated[int, Field(ge=0, le=200, description="stickers already used")] = 0


class AskedCalendar(BaseModel):
    """In which words a calendar is told."""

    model_config = ConfigDict(frozen=True)

    language: Literal["en", "es"] = "en"
    units: Literal["metric", "us"] = "metric"


class AskedReport(AskedPaper, AskedAchieved):
    """How it is printed, and of which time."""


@operation(router, "POST /places/{place}/photos", {201: shapes.Photo}, _ONE_FILE, "log")
def send_photo(request: HttpRequest, place: str) -> HttpResponse:
    """Keep a photo (JPEG, PNG or WebP, 12 MB at most).

    It is drawn anew, without what the camera wrote beside it. The answer names it for an entry of
    the kind photographed; the same photo again is the same one.
    """
    caller = caller_of(request)
    house = caller.house(place, "send photo")
    found = photos.keep_photo(caller.person, house.id, _sent(request))
    return said(shapes.Photo(photo=found), 201)


@operation(router, "GET /places/{place}/photos/{photo}", JPEG)
def photo(request: HttpRequest, place: str, photo: str) -> HttpResponse:
    """A photo of this place."""
    house = caller_of(request).house(place)
    found = photos.photo_bytes(house.id, photo) if photo.isalnum() else None
    if found is None:
        raise missing()
    return HttpResponse(found, content_type=JPEG)


@operation(router, "GET /places/{place}/place.json", JSON)
def take_out(request: HttpRequest, place: str) -> HttpResponse:
    """The whole place as one document; photos stay behind."""
    caller = caller_of(request)
    house = caller.house(place, "take out")
    made = place_json(exchanging.take_out(caller.person, house.id))
    return file(made, JSON, f"{_name(house.name)}.json")


@operation(router, "GET /places/{place}/place.zip", ZIP)
def take_out_tables(request: HttpRequest, place: str) -> HttpResponse:
    """The whole place as tables for a spreadsheet, with its photos."""
    caller = caller_of(request)
    house = caller.house(place, "take out")
    kept = io.BytesIO()
    write_archive(exchanging.take_out(caller.person, house.id), kept)
    return file(kept.getvalue(), ZIP, f"{_name(house.name)}.zip")


@operation(router, "POST /places/{place}/file", shapes.BroughtIn, _ONE_FILE, "manage")
def bring_in(request: HttpRequest, place: str) -> HttpResponse:
    """Bring in a file of this place: only what is new is added, all of it or nothing."""
    caller = caller_of(request)
    house = caller.house(place, "bring in")
    done = exchanging.bring_in(caller.person, read_bundle(_bytes(request)), house.id)
    return said(_brought(done))


@operation(router, "POST /files", shapes.BroughtIn, _ONE_FILE, "manage")
def bring_in_new(request: HttpRequest) -> HttpResponse:
    """Begin a place from a file, with the token's person as its coordinator.

    Takes a token for all places with the scope manage.
    """
    caller = caller_of(request)
    caller.everywhere()
    return said(_brought(exchanging.bring_in(caller.person, read_bundle(_bytes(request)))))


@operation(router, "POST /places/{place}/weighings", shapes.Sheet, WeighingsSheet, "log")
def sheet(request: HttpRequest, place: str) -> HttpResponse:
    """Look at a sheet of weighings, or take it in as layers.

    The same line always makes the same entry: a sheet that comes twice adds nothing.
    """
    caller = caller_of(request)
    house = caller.house(place, "write fed")
    sent = body_of(request, WeighingsSheet)
    choice = Choice(sent.day_first, sent.comma, sent.unit, sent.vessel, sent.measure)
    state = reading.state_of(house)
    read = read_sheet(sent.text.encode("utf-8"))
    found = weighings(read, house.id, state, house.zone, house.today, choice)
    if found.asks:
        line = f"{found.asks[0]}: the sheet leaves this open; say it"
        raise Trouble(422, line, "missing", found.asks[0])
    lines = tuple(map(_line, found.rows))
    taken = sent.take and bool(found.good) and not found.bad
    new, known = exchanging.add_entries(caller.person, house.id, found.good) if taken else (0, 0)
    return said(shapes.Sheet(taken=taken, new=new, known=known, lines=lines))


@operation(router, "GET /places/{place}/season.pdf", PDF)
def season_pdf(request: HttpRequest, place: str, asked: Query[AskedPaper]) -> HttpResponse:
    """The season report to print."""
    return _printed(reading.inside(caller_of(request).house(place)), asked, "season")


@operation(router, "GET /places/{place}/week.pdf", PDF)
def week_pdf(request: HttpRequest, place: str, asked: Query[AskedPaper]) -> HttpResponse:
    """This week's work to print, for whoever has never done it."""
    return _printed(reading.inside(caller_of(request).house(place)), asked, "week")


@operation(router, "GET /places/{place}/bran.pdf", PDF)
def bran_pdf(request: HttpRequest, place: str, asked: Query[AskedPaper]) -> HttpResponse:
    """The next batch of bran to print, to stand beside the tub."""
    house = caller_of(request).house(place)
    state = reading.state_of(house)
    found = next_batch(state, state.site(), house.today, asked.units)
    if found.answer is None:
        raise Trouble(409, found.fault, "log")
    answer = found.answer
    return _set(house, asked, "bran", lambda printing: bran_sheet(answer, printing))


@operation(router, "GET /places/{place}/labels.pdf", PDF)
def labels_pdf(request: HttpRequest, place: str, asked: Query[AskedLabels]) -> HttpResponse:
    """A label for each vessel to print on stickers, whose code opens its page."""
    house = caller_of(request).house(place)
    vessels = [v for v in reading.state_of(house).vessels if v.added and not v.retired]
    if not vessels:
        raise Trouble(
            409, "No vessel stands here yet: write an entry of the kind vessel_added.", "log"
        )
    names, codes = [v.name for v in vessels], [code(house.id, v.id) for v in vessels]
    stickers = Stickers(asked.width_mm, asked.height_mm, skip=asked.skip)
    address = request.build_absolute_uri("/")

    def made(printing: Printing) -> bytes:
        there = replace(printing, address=address)
        return vessel_labels(names, house.name, there, stickers, codes)

    return _set(house, asked, "labels", made)


@operation(router, "GET /places/{place}/calendar.ics", CALENDAR)
def calendar_ics(request: HttpRequest, place: str, asked: Query[AskedCalendar]) -> HttpResponse:
    """What is due in the coming weeks, as a calendar program reads it."""
    house = replace(caller_of(request).house(place), units=asked.units)
    made = calendar_of(reading.inside(house), asked.language, request.build_absolute_uri)
    return file(made, CALENDAR, f"{_name(house.name)}.ics")


@operation(router, "GET /places/{place}/achieved.pdf", PDF)
def achieved_pdf(request: HttpRequest, place: str, asked: Query[AskedReport]) -> HttpResponse:
    """What a place achieved, as a report to hand on; 503 while it is being reckoned."""
    house = caller_of(request).house(place)
    answer = answer_of(house, asked)
    if answer is None:
        raise Trouble(503, "It is being reckoned; ask again.", "busy", wait_s=_AGAIN_S)
    return _set(house, asked, "achieved", lambda printing: achieved_report(answer, printing))


def _printed(inside: Inside, asked: AskedPaper, what: str) -> HttpResponse:
    house, make = inside.house, _SHEETS[what]

    def made(printing: Printing) -> bytes:
        return make(house.name, inside.state, house.today, printing, inside.foreseen)

    return _set(house, asked, what, made)


def _set(
    house: House, asked: AskedPaper, what: str, make: Callable[[Printing], bytes]
) -> HttpResponse:
    """A sheet of a place."""
    printing = Printing(asked.language, asked.paper, asked.units, house.today)
    return file(typeset_alone(lambda: make(printing)), PDF, f"{_name(house.name)}-{what}.pdf")


def typeset_alone(make: Callable[[], bytes]) -> bytes:
    """A sheet, typeset while no other is."""
    if not _setting.acquire(timeout=_WAIT_S):
        line = "Other sheets are being printed; ask again in half a minute."
        raise Trouble(503, line, "busy", wait_s=_AGAIN_S)
    try:
        return make()
    except DocumentError as error:
        raise Trouble(409, str(error), "log") from None
    finally:
        _setting.release()


def _sent(request: HttpRequest) -> UploadedFile[Any]:
    found = request.FILES.get("file")
    if not isinstance(found, UploadedFile) or not found.size:
        raise Trouble(422, "file: missing; send a multipart form with one file", "missing", "file")
    return found


def _bytes(request: HttpRequest) -> bytes:
    found = _sent(request)
    if (found.size or 0) > _MOST_FILE:
        raise Trouble(413, f"file: {found.size} bytes; send at most {_MOST_FILE}", "size", "file")
    return bytes(found.read())


def _brought(done: exchanging.BroughtIn) -> shapes.BroughtIn:
    return shapes.BroughtIn(
        place=done.place, name=done.name, new=done.new, known=done.known, photos=done.photos
    )


def _line(row: Row) -> shapes.Line:
    return shapes.Line(
        number=row.number,
        entry=None if row.entry is None else row.entry.as_json(),
        fault="" if row.problem is None else row.problem.english,
    )


def _name(text: str) -> str:
    return slugify(text) or "place"
