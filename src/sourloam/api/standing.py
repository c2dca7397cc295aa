"""What stands at a place today: work, vessels with their forecasts, beds, bran, measures."""

from __future__ import annotations

from typing import Annotated

from django.http import HttpRequest, HttpResponse
from ninja import Query, Router
from pydantic import BaseModel, ConfigDict, Field

from sourloam.api import shapes
from sourloam.api.caller import caller_of
from sourloam.api.operations import operation, said
from sourloam.api.paging import Asked, paged
from sourloam.api.trouble import missing
from sourloam.ledger.lot_demand import ahead, good_kg
from sourloam.ledger.lot_standing import Standing, standing
from sourloam.ledger.lots import LotState
from sourloam.ledger.state import BedState, Turn, VesselState
from sourloam.ledger.supersession import Oddity
from sourloam.ledger.work import Due
from sourloam.logbook import models
from sourloam.site import Site
from sourloam.web import reading, short
from sourloam.web.ground.plantable import days_by_crop
from sourloam.web.ground.waits import Waits
from sourloam.web.house import Inside

router = Router(tags=["what stands"])
_TWO_WEEKS = 14


class AskedWork(BaseModel):
    """How far ahead."""

    model_config = ConfigDict(frozen=True)

    days: Annotated[int, Field(ge=0, le=_TWO_WEEKS, description="days ahead")] = _TWO_WEEKS


class AskedWorkEverywhere(Asked):
    """How far ahead, and which part of the places."""

    days: Annotated[int, Field(ge=0, le=_TWO_WEEKS, description="days ahead")] = _TWO_WEEKS


@operation(router, "GET /due", shapes.DueEverywhere)
def due_everywhere(request: HttpRequest, asked: Query[AskedWorkEverywhere]) -> HttpResponse:
    """What every place wants, place by place."""
    houses, after = paged(caller_of(request).houses(), asked, lambda house: house.id)
    items = tuple(
        shapes.DueThere(
            place=inside.house.id,
            name=inside.house.name,
            today=inside.house.today,
            items=_work(inside, asked.days),
        )
        for inside in reading.insides_of(houses)
    )
    return said(shapes.DueEverywhere(items=items, next=after))


@operation(router, "GET /places/{place}/due", shapes.Due)
def due(request: HttpRequest, place: str, asked: Query[AskedWork]) -> HttpResponse:
    """What a place wants today and in the days to come, the most pressing first."""
    inside = _inside(request, place)
    return said(shapes.Due(today=inside.house.today, items=_work(inside, asked.days)))


@operation(router, "GET /places/{place}/vessels", shapes.Vessels)
def vessels(request: HttpRequest, place: str, asked: Query[Asked]) -> HttpResponse:
    """Vessels, retired ones too."""
    inside = _inside(request, place)
    found, after = paged(inside.state.vessels, asked, lambda vessel: vessel.id)
    return said(shapes.Vessels(items=tuple(_vessel(inside, one) for one in found), next=after))


@operation(router, "GET /places/{place}/vessels/{vessel}", shapes.Vessel)
def vessel(request: HttpRequest, place: str, vessel: str) -> HttpResponse:
    """One vessel. Its log is the list of entries about it."""
    inside = _inside(request, place)
    try:
        return said(_vessel(inside, inside.state.vessel(vessel)))
    except KeyError:
        raise missing() from None


@operation(router, "GET /places/{place}/forecasts", shapes.Forecasts)
def forecasts(request: HttpRequest, place: str, asked: Query[Asked]) -> HttpResponse:
    """The newest forecasts of a place's vessels.

    They are computed after an entry came in and once a day, never while somebody waits: `waits`
    tells that newer ones are on their way.
    """
    house = caller_of(request).house(place)
    now = models.PlaceNow.objects.filter(place_id=house.id).first()
    rows = models.Forecast.objects.filter(place_id=house.id)
    found, after = paged(rows, asked, lambda row: str(row.vessel))
    return said(
        shapes.Forecasts(
            waits=now is not None and now.wanted_seq > now.done_seq,
            trouble="" if now is None else now.trouble,
            items=tuple(map(_forecast, found)),
            next=after,
        )
    )


@operation(router, "GET /places/{place}/vessels/{vessel}/forecast", shapes.Forecast)
def forecast(request: HttpRequest, place: str, vessel: str) -> HttpResponse:
    """The newest forecast of one vessel; 404 while there is none."""
    house = caller_of(request).house(place)
    rows = models.Forecast.objects.filter(place_id=house.id)
    found = rows.filter(vessel=vessel).first() if vessel.isprintable() else None
    if found is None:
        raise missing()
    return said(_forecast(found))


@operation(router, "GET /places/{place}/beds", shapes.Beds)
def beds(request: HttpRequest, place: str, asked: Query[Asked]) -> HttpResponse:
    """Beds with their trenches and crops, and what may be sown from when."""
    inside = _inside(request, place)
    waits = Waits(inside)
    found, after = paged(inside.state.beds, asked, lambda bed: bed.id)
    sow = tuple(shapes.Sowing(crop=crop, first=day) for crop, day in days_by_crop(waits))
    return said(shapes.Beds(items=tuple(_bed(one, waits) for one in found), next=after, sow=sow))


@operation(router, "GET /places/{place}/beds/{bed}", shapes.Bed)
def bed(request: HttpRequest, place: str, bed: str) -> HttpResponse:
    """One bed."""
    inside = _inside(request, place)
    try:
        return said(_bed(inside.state.bed(bed), Waits(inside)))
    except KeyError:
        raise missing() from None


@operation(router, "GET /places/{place}/lots", shapes.Lots)
def lots(request: HttpRequest, place: str, asked: Query[Asked]) -> HttpResponse:
    """Lots of inoculated bran, with what each is worth today."""
    inside = _inside(request, place)
    site = inside.state.site()
    found, after = paged(inside.state.lots, asked, lambda lot: lot.id)
    return said(shapes.Lots(items=tuple(_lot(inside, one, site) for one in found), next=after))


@operation(router, "GET /places/{place}/lots/{lot}", shapes.Lot)
def lot(request: HttpRequest, place: str, lot: str) -> HttpResponse:
    """One lot of bran."""
    inside = _inside(request, place)
    try:
        return said(_lot(inside, inside.state.lot(lot), inside.state.site()))
    except KeyError:
        raise missing() from None


@operation(router, "GET /places/{place}/stores", shapes.Stores)
def stores(request: HttpRequest, place: str) -> HttpResponse:
    """Household measures, and the stock of bran."""
    inside = _inside(request, place)
    state, site, today = inside.state, inside.state.site(), inside.house.today
    story = ahead(state, site, today) if state.lots else None
    newest = {record.body.measure: record for record in reversed(state.stores.measures)}
    measures = tuple(
        shapes.Measure(
            id=name,
            name=record.body.name,
            mass_kg=record.body.mass_kg,
            volume_l=record.body.volume_l,
            since=record.day,
        )
        for name, record in sorted(newest.items())
    )
    return said(
        shapes.Stores(
            measures=measures,
            bran_left_kg=state.bran_left_kg,
            bran_usable_kg=good_kg(state, site, today),
            bran_until=None if story is None else story.runs_out,
            bran_used_g=state.bran_used_g,
        )
    )


def _inside(request: HttpRequest, place: str) -> Inside:
    return reading.inside(caller_of(request).house(place))


def _work(inside: Inside, days: int) -> tuple[shapes.Work, ...]:
    near = (one for one in inside.dues if (one.on - inside.house.today).days <= days)
    return tuple(map(_piece, near))


def _piece(one: Due) -> shapes.Work:
    told = one.as_json()
    thing = (
        None
        if one.thing is None
        else shapes.Thing.model_validate(dict(zip(("sort", "id"), one.thing, strict=True)))
    )
    kept = {k: told[k] for k in ("key", "what", "urgency", "name", "kind", "body", "expected_ml")}
    return shapes.Work(
        **kept, on=one.on, why=one.why.english, thing=thing, asks=tuple(told["asks"])
    )


def _vessel(inside: Inside, one: VesselState) -> shapes.Vessel:
    return shapes.Vessel.model_validate(
        {
            "id": one.id,
            "name": one.name,
            "code": short.code(inside.house.id, one.id),
            "where": one.where,
            "stage": inside.stage(one),
            "retired": one.retired is not None,
            "spec": None if one.added is None else one.added.body.spec,
            "filling": None if one.turn is None else _filling(one.turn),
            "conflicts": len(one.conflicts),
            "oddities": _oddities(one.oddities),
        }
    )


def _filling(turn: Turn) -> shapes.Filling:
    return shapes.Filling.model_validate(
        {
            "began": turn.began.day,
            "layers": len(turn.layers),
            "last_layer": None if turn.last_fed is None else turn.last_fed.day,
            "liquid_ml": turn.liquid_ml,
            "set_aside": None if turn.set_aside is None else turn.set_aside.day,
            "verdict": turn.verdict,
        }
    )


def _forecast(row: models.Forecast) -> shapes.Forecast:
    return shapes.Forecast(vessel=row.vessel, seq=row.seq, says=row.summary)


def _bed(one: BedState, waits: Waits) -> shapes.Bed:
    trenches = tuple(
        shapes.Trench.model_validate(
            {
                "buried": record.day,
                "plant_from": day,
                "state": state,
                "length_m": record.body.length_m,
                "width_m": record.body.width_m,
                "depth_m": record.body.depth_m,
                "along_m": record.body.along_m,
            }
        )
        for record, day, state in waits.trenches(one)
    )
    growing = tuple(shapes.Growing(crop=r.body.crop, since=r.day) for r in waits.standing(one))
    return shapes.Bed(
        id=one.id,
        name=one.name,
        spec=None if one.added is None else one.added.body.spec,
        burials=len(one.burials),
        trenches=trenches,
        growing=growing,
        oddities=_oddities(one.oddities),
    )


def _oddities(found: tuple[Oddity, ...]) -> tuple[str, ...]:
    return tuple(odd.sentence.english for odd in found)


def _lot(inside: Inside, one: LotState, site: Site | None) -> shapes.Lot:
    worth = standing(one, inside.state, site, inside.house.today)
    return shapes.Lot(
        id=one.id,
        stage=one.stage,
        began=one.began,
        made_here=one.made_here,
        in_kg=one.in_kg,
        used_kg=one.used_kg + one.unnamed_kg,
        out_kg=one.out_kg,
        left_kg=one.left_kg,
        recalled=None if one.recalled is None else one.recalled.day,
        worth=None if worth is None else _worth(worth),
    )


def _worth(found: Standing) -> shapes.Worth:
    today = found.today
    return shapes.Worth(
        age_days=found.age_days,
        store_c=found.store_c,
        strength=today.strength,
        dose=today.dose,
        advised_g_per_kg=today.advised_g_per_kg,
        chance_good=today.chance_good,
        best_before=found.best_before,
        used_until=found.used_until,
        usable=found.usable,
        moves=tuple(name for name, _low, _high in today.moves),
    )
