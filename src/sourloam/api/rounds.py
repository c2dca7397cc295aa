"""A programme's days: its morning, its rounds, its own log, its figures."""

from __future__ import annotations

import datetime as dt
import uuid
from typing import Annotated, Literal

from django.http import HttpRequest, HttpResponse
from django.utils import translation
from django.utils.text import slugify
from ninja import Query, Router
from pydantic import BaseModel, ConfigDict, Field

from sourloam.api import programme_shapes as shapes
from sourloam.api import programme_telling as told
from sourloam.api.caller import Programming, caller_of
from sourloam.api.files import AskedPaper, typeset_alone
from sourloam.api.operations import PDF, file, operation, said
from sourloam.api.paging import Asked, Day, paged
from sourloam.api.shapes import Fact
from sourloam.api.taking import Taken, body_of
from sourloam.api.trouble import missing
from sourloam.documents import Printing
from sourloam.documents import round as on_paper
from sourloam.logbook import models, programmes
from sourloam.logbook.programmes.facts import stays_in
from sourloam.logbook.saving import saved_in
from sourloam.programme import Exchange, Period, Round, drawn, figures_within, fleet, stayed
from sourloam.web.programmes.figures import FILL_DAYS, REST_DAYS
from sourloam.web.programmes.morning import known
from sourloam.web.programmes.round import round_picture

router = Router(tags=["programmes"])
Month = Annotated[str, Field(pattern=r"^20[0-9]{2}-(0[1-9]|1[0-2])$")]
Days = Annotated[float, Field(ge=1, le=365)]


class AskedExchange(BaseModel):
    """How an exchange is run."""

    model_config = ConfigDict(frozen=True)

    fill: Annotated[Days, Field(description="days until a vessel is full")] = FILL_DAYS
    rest: Annotated[Days, Field(description="days of rest at the hub")] = REST_DAYS


class NewLine(Taken):
    """A line of the programme's own log."""

    id: uuid.UUID
    """Made by whoever sends it: the key that keeps it one line."""
    kind: Annotated[str, Field(max_length=32, examples=["fetched", "training", "question"])]
    body: Fact
    place: Annotated[str, Field(max_length=64)] = ""
    """The place that it is of; needed for fetched, visit, word and bran."""
    day: dt.date | None = None
    """The day that it is of, in the last ten years; today where it is left out."""
    supersedes: uuid.UUID | None = None
    """The line that it replaces, or takes out where the kind is struck."""


class AskedLines(Asked):
    """Which lines of the log are asked for."""

    kind: Annotated[
        Literal[
            "", "fetched", "visit", "word", "bran", "question", "training", "complaint", "round",
            "hours",
        ],
        Field(description="one kind only"),
    ] = ""  # fmt: skip
    place: Annotated[str, Field(max_length=64, description="of one place only")] = ""


@operation(router, "GET /programmes/{programme}/morning", shapes.Morning)
def morning(request: HttpRequest, programme: str) -> HttpResponse:
    """Who wants somebody today, what is full when, bran to make, beds that are short."""
    found = caller_of(request).programme(programme)
    reckoned, facts = programmes.morning_of(found.row)
    rows = models.ProgrammePlace.objects.filter(programme=found.row, left=None)
    next_ = programmes.next_round(found.row)
    with translation.override("en"):
        moving = known()
    waiting = max(rows.count() - len(facts), 0)
    return said(told.morning_told(reckoned, waiting, next_[0] if next_ else None, moving))


@operation(router, "GET /programmes/{programme}/rounds/{day}", shapes.Round)
def round_of(request: HttpRequest, programme: str, day: Day) -> HttpResponse:
    """The round that was planned for a day."""
    found = caller_of(request).programme(programme)
    return said(told.round_told(day, _round(found, day)))


@operation(router, "PUT /programmes/{programme}/rounds/{day}", shapes.Round, scope="log")
def plan_round(request: HttpRequest, programme: str, day: Day) -> HttpResponse:
    """Plan the round of a day from today to 60 days ahead, anew where there is one.

    The same facts give the same round.
    """
    caller = caller_of(request)
    found = caller.programme(programme, "plan round")
    return said(told.round_told(day, programmes.plan(caller.person, found.row, day)))


@operation(router, "GET /programmes/{programme}/rounds/{day}/sheet.pdf", PDF)
def round_pdf(
    request: HttpRequest, programme: str, day: Day, asked: Query[AskedPaper]
) -> HttpResponse:
    """The round to print: map, stops, room to write."""
    found = caller_of(request).programme(programme)
    planned = _round(found, day)
    printing = Printing(asked.language, asked.paper, asked.units, day)
    with translation.override(asked.language):
        made = typeset_alone(
            lambda: on_paper.round_sheet(
                found.row.name, planned, round_picture(planned), day, printing
            )
        )
    return file(made, PDF, f"{slugify(found.row.name) or 'programme'}-round-{day}.pdf")


@operation(router, "GET /programmes/{programme}/entries", shapes.ProgrammeLines)
def programme_log(request: HttpRequest, programme: str, asked: Query[AskedLines]) -> HttpResponse:
    """The programme's own log: weighings, visits, trainings, questions, hours."""
    found = caller_of(request).programme(programme)
    wanted = [
        row
        for row in programmes.entries(found.row)
        if asked.kind in ("", row.kind) and asked.place in ("", row.place_id)
    ]
    rows, after = paged(wanted, asked, _key)
    return said(shapes.ProgrammeLines(items=tuple(map(told.line_told, rows)), next=after))


@operation(
    router,
    "POST /programmes/{programme}/entries",
    {200: shapes.ProgrammeLine, 201: shapes.ProgrammeLine},
    NewLine,
    "log",
)
def write_line(request: HttpRequest, programme: str) -> HttpResponse:
    """Write a line down, such as a weighing on a round.

    Kinds: fetched (kg, vessels, clean, contamination_kg), visit, word, bran (kg), question,
    training (people, hours), complaint, round (hours, km), hours, struck; each with a note.
    """
    caller = caller_of(request)
    found = caller.programme(programme, "write")
    new = body_of(request, NewLine)
    known_before = models.ProgrammeEntry.objects.filter(pk=new.id).exists()
    row = programmes.write(
        caller.person,
        found.row,
        new.kind,
        new.body,
        new.place,
        "" if new.supersedes is None else str(new.supersedes),
        new.id,
        programmes.Beside(caller.writer.by or "", new.day),
    )
    return said(told.line_told(row), 200 if known_before else 201)


class AskedFigures(BaseModel):
    """Of which months; both whole, both optional."""

    model_config = ConfigDict(frozen=True)

    first: Annotated[Month | None, Field(description="first month, such as 2026-03")] = None
    last: Annotated[Month | None, Field(description="last month, such as 2026-08")] = None

    @property
    def period(self) -> Period:
        """The same as days."""
        return Period(*(None if one is None else _first_of(one) for one in (self.first, self.last)))


@operation(router, "GET /programmes/{programme}/figures", shapes.ProgrammeFigures)
def programme_figures(
    request: HttpRequest, programme: str, asked: Query[AskedFigures]
) -> HttpResponse:
    """What those who pay ask for, each figure with its range, and the climate added up."""
    found = caller_of(request).programme(programme)
    deeds = programmes.deeds(programmes.entries(found.row))
    km = sum(one.numbers.get("km", 0.0) for one in deeds)
    facts = programmes.facts_in(found.row)
    reckoned = figures_within(facts, deeds, found.today, drawn(), asked.period)
    stays = stayed(stays_in(found.row), found.today)
    return said(told.figures_told(reckoned, saved_in(found.row, km), stays))


def _first_of(month: str) -> dt.date:
    return dt.date.fromisoformat(f"{month}-01")


@operation(router, "GET /programmes/{programme}/exchange", shapes.Exchange)
def exchange(request: HttpRequest, programme: str, asked: Query[AskedExchange]) -> HttpResponse:
    """What a running exchange of vessels would take: vessels, floor, water, hours."""
    found = caller_of(request).programme(programme)
    number = models.ProgrammePlace.objects.filter(programme=found.row, left=None).count()
    how = Exchange(number, asked.fill, float(found.row.round_days), asked.rest)
    return said(told.exchange_told(fleet(how, drawn())))


def _round(found: Programming, day: dt.date) -> Round:
    planned = programmes.round_on(found.row, day)
    if planned is None:
        raise missing("No round is planned for that day.")
    return planned


def _key(row: models.ProgrammeEntry) -> str:
    return f"{row.written_at:%Y%m%dT%H%M%S%f}-{row.pk.hex}"
