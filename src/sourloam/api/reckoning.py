"""What is reckoned when it is asked for: plans, gardens, the next batch, rescues, achievements."""

from __future__ import annotations

import json
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import lru_cache
from typing import Annotated, Any, Literal, TypeVar

from django.http import HttpRequest, HttpResponse
from ninja import Query, Router
from pydantic import BaseModel, ConfigDict, Field, ValidationError

from sourloam import garden, impact, planning, triage
from sourloam.api import shapes
from sourloam.api.caller import caller_of
from sourloam.api.operations import operation, said
from sourloam.api.paging import Day
from sourloam.api.taking import Taken, body_of
from sourloam.api.trouble import Trouble, missing
from sourloam.climate import ClimateError
from sourloam.logbook.achieving import Question
from sourloam.planning.gardening import GardenError, plan_garden
from sourloam.site import Site
from sourloam.site.explaining import explain
from sourloam.triage import Context, SignError
from sourloam.triage.signs import stage_of
from sourloam.web import reading
from sourloam.web.bran.next_batch import next_batch
from sourloam.web.house import House
from sourloam.web.rescue.page import known_of

router = Router(tags=["reckoned"])
Document = dict[str, Any]
_LEAST, _USUAL, _MOST = 20, 100, 500  # members of an answer
_YEARS = 3
_WAIT_S, _AGAIN_S = 20.0, 30
_SIGNS = 60
_reckoning = threading.BoundedSemaphore(1)  # a plan takes a core: one at a time
_M = TypeVar("_M", bound=BaseModel)

Members = Annotated[int, Field(ge=_LEAST, le=_MOST, description="members of the ensemble")]
Seed = Annotated[int, Field(ge=0, le=2**31 - 1)]
Years = Annotated[int, Field(ge=1, le=_YEARS)]
Signs = Annotated[tuple[Annotated[str, Field(max_length=64)], ...], Field(max_length=_SIGNS)]


class AskedPlan(BaseModel):
    """How a plan is reckoned."""

    model_config = ConfigDict(frozen=True)

    members: Members = _USUAL
    seed: Seed = 1
    years: Years = 1


class AskedGarden(BaseModel):
    """How a garden is reckoned."""

    model_config = ConfigDict(frozen=True)

    members: Members = _USUAL
    seed: Seed = 1


class ToPlan(Taken):
    """A place that need not be in the logbook."""

    site: Document
    """The content of a site file as JSON."""
    members: Members = _USUAL
    seed: Seed = 1
    years: Years = 1


class ToGarden(Taken):
    """A place that need not be in the logbook."""

    site: Document
    """The content of a site file as JSON."""
    members: Members = _USUAL
    seed: Seed = 1


class Seen(Taken):
    """What was seen and smelled, and what was looked for and is not there."""

    vessel: Annotated[str, Field(max_length=64)] | None = None
    """Give either a vessel or a bed."""
    bed: Annotated[str, Field(max_length=64)] | None = None
    seen: Signs = ()
    absent: Signs = ()
    skip: Signs = ()
    """Signs that are not to be asked for again."""


class AskedAchieved(BaseModel):
    """Which time, by whose weights of the gases."""

    model_config = ConfigDict(frozen=True)

    first: Day | None = None
    last: Day | None = None
    report: Literal["ar5", "ar6"] = "ar6"
    years: Annotated[Literal["20", "100"], Field(description="over which gases count")] = "100"


@operation(router, "GET /places/{place}/plan", planning.Plan)
def plan(request: HttpRequest, place: str, asked: Query[AskedPlan]) -> HttpResponse:
    """The place's plan of the year, from its newest description.

    What `sourloam plan` answers. It takes some seconds; one is reckoned at a time.
    """
    site = _described(caller_of(request).house(place))
    return said(_planned(_text(site), asked.members, asked.seed, asked.years))


@operation(router, "POST /plans", planning.Plan, ToPlan)
def plan_of(request: HttpRequest) -> HttpResponse:
    """The plan of a place that is only described here; nothing is kept."""
    asked = body_of(request, ToPlan)
    return said(_planned(_text(asked.site), asked.members, asked.seed, asked.years))


@operation(router, "GET /places/{place}/garden", garden.GardenPlan)
def garden_of_place(request: HttpRequest, place: str, asked: Query[AskedGarden]) -> HttpResponse:
    """Which ferment goes into which bed and when, from the place's newest description.

    What `sourloam garden` answers. It takes some seconds; one is reckoned at a time.
    """
    site = _described(caller_of(request).house(place))
    return said(_gardened(_text(site), asked.members, asked.seed))


@operation(router, "POST /gardens", garden.GardenPlan, ToGarden)
def garden_of(request: HttpRequest) -> HttpResponse:
    """The garden of a place that is only described here; nothing is kept."""
    asked = body_of(request, ToGarden)
    return said(_gardened(_text(asked.site), asked.members, asked.seed))


@operation(router, "GET /places/{place}/next-batch", shapes.Batch)
def batch(request: HttpRequest, place: str) -> HttpResponse:
    """The next batch of inoculated bran: how much, of what, at what cost, until when it is good."""
    house = caller_of(request).house(place)
    state = reading.state_of(house)
    found = next_batch(state, state.site(), house.today, "metric")
    wanted = None if found.wanted is None else shapes.Wanted(**vars(found.wanted))
    return said(
        shapes.Batch(
            wanted=wanted,
            start_by=found.start_by,
            runs_out=found.runs_out,
            fault=found.fault,
            answer=None if found.answer is None else found.answer.model_dump(mode="json"),
        )
    )


@operation(router, "GET /signs", shapes.Signs)
def signs(request: HttpRequest) -> HttpResponse:
    """Every sign that a rescue knows."""
    items = tuple(
        shapes.Sign(id=sign.id, stage=sign.stage, group=sign.group, label=sign.label)
        for sign in triage.SIGNS.values()
    )
    return said(shapes.Signs(items=items))


@operation(router, "POST /places/{place}/rescue", shapes.Rescue, Seen)
def rescue(request: HttpRequest, place: str) -> HttpResponse:
    """What signs at a vessel or a bed mean, and what to do.

    The log and the forecast of a vessel are known beforehand, and what helped at this place
    counts. Nothing is kept: `entry` is the body of an entry that would keep it.
    """
    inside = reading.inside(caller_of(request).house(place))
    told = body_of(request, Seen)
    if (told.vessel is None) == (told.bed is None):
        raise Trouble(422, "give either vessel or bed", "together", "vessel")
    context, stage = Context(), _stage(told)
    try:
        if told.vessel is not None:
            context, _looked = known_of(inside, inside.state.vessel(told.vessel))
        else:
            inside.state.bed(str(told.bed))
    except KeyError:
        raise missing("No such vessel or bed stands here.") from None
    taught = triage.outcomes_of(inside.state) if stage == "vessel" else ()
    beliefs = triage.learned(triage.judged(stage), taught)
    absent = [sign for sign in told.absent if sign not in told.seen]
    verdict = triage.diagnose(told.seen, absent, context, beliefs)
    answer = triage.answer_to(verdict, told.skip, beliefs)
    thing = {"vessel": told.vessel} if told.vessel is not None else {"bed": str(told.bed)}
    return said(shapes.Rescue(answer=answer.as_json(), entry=answer.entry_body(**thing)))


@operation(router, "GET /places/{place}/achieved", {200: impact.Impact, 202: shapes.Achieved})
def achieved(request: HttpRequest, place: str, asked: Query[AskedAchieved]) -> HttpResponse:
    """What a place achieved against bin and compost heap, each figure with its range and source.

    The first asking orders the answer: 202 while it is being reckoned, then 200. Entries that came
    since order it anew, and the older answer is given until then.
    """
    answer = answer_of(caller_of(request).house(place), asked)
    if answer is not None:
        return said(answer)
    waits = said(shapes.Achieved(answer=None, waits=True, trouble=""), 202)
    waits["Retry-After"] = str(_AGAIN_S)
    return waits


def answer_of(house: House, asked: AskedAchieved) -> impact.Impact | None:
    """What is known of what a place achieved, None while it is being reckoned."""
    if asked.first and asked.last and asked.first > asked.last:
        raise Trouble(422, "first comes after last; swap them", "field", "first")
    question = Question(
        first=asked.first,
        last=asked.last,
        report=asked.report,
        years=20 if asked.years == "20" else 100,
    )
    found = reading.achieved(house, question)
    if found.answer is None and found.trouble:
        raise Trouble(409, found.trouble, "log")
    return None if found.answer is None else found.answer.model_copy(update={"name": house.name})


def _stage(told: Seen) -> Literal["vessel", "ground"]:
    stage: Literal["vessel", "ground"] = "ground" if told.vessel is None else "vessel"
    try:
        named = stage_of({*told.seen, *told.absent, *told.skip}, stage)
    except SignError as error:
        raise Trouble(422, str(error), "choice", "seen") from None
    if named != stage:
        raise Trouble(422, f"seen: signs of a {named}, asked of a {stage}", "choice", "seen")
    return stage


def _described(house: House) -> Document:
    found = reading.site_document(house)
    if found is None:
        line = "Nobody has described this place yet: write an entry of the kind place_described."
        raise Trouble(409, line, "described")
    return found


def _text(site: Document) -> str:
    return json.dumps(site, sort_keys=True)


def _site(text: str) -> Site:
    try:
        site = Site.model_validate(json.loads(text))
    except ValidationError as error:
        raise Trouble(422, f"site: {explain(error, Site, '')}", "field", "site") from None
    except RecursionError:
        raise Trouble(422, "site: nested too deep", "field", "site") from None
    if site.climate.csv is not None:
        line = "site: climate.csv: a file can't travel here; give monthly_means instead"
        raise Trouble(422, line, "field", "site")
    return site


@lru_cache(maxsize=16)
def _planned(text: str, members: int, seed: int, years: int) -> planning.Plan:
    site = _site(text)
    return _reckoned(lambda: planning.make_plan(site, years, members, seed))


@lru_cache(maxsize=16)
def _gardened(text: str, members: int, seed: int) -> garden.GardenPlan:
    site = _site(text)
    return _reckoned(lambda: plan_garden(site, members, seed))


def _reckoned(make: Callable[[], _M]) -> _M:
    with _alone():
        try:
            return make()
        except (ClimateError, GardenError, ValueError) as error:
            raise Trouble(422, f"site: {error}", "field", "site") from None


@contextmanager
def _alone() -> Iterator[None]:
    if not _reckoning.acquire(timeout=_WAIT_S):
        line = "Other answers are being reckoned; ask again in half a minute."
        raise Trouble(503, line, "busy", wait_s=_AGAIN_S)
    try:
        yield
    finally:
        _reckoning.release()
