"""The burial plan as the contract has it."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np

from sourloam.garden import refusals, sentences
from sourloam.garden.burial import BurialPlan
from sourloam.garden.case import LAST_DAY, Case, gap_index
from sourloam.garden.ceilings import phosphorus_carried_kg_m2
from sourloam.garden.contract import BedAnswer, BurialAnswer, CropSpan, Range, TrenchPiece
from sourloam.garden.crops import spoken
from sourloam.garden.feeding_answer import number, spread_of
from sourloam.garden.options import Buried
from sourloam.garden.trench import Piece, lay_out, settlement_m, trench_room_m

_LONG = 2  # method: times the middle wait from which the long end is given its reason


def burial_answers(case: Case, plan: BurialPlan, start: date) -> tuple[BurialAnswer, ...]:
    """Every burial, by date."""
    places = _places(case, plan)
    return tuple(
        _burial(case, plan, buried, start, pieces)
        for buried, pieces in zip(plan.buried, places, strict=True)
    )


def _places(case: Case, plan: BurialPlan) -> list[tuple[Piece, ...]]:
    """Where the trenches lie: each bed is filled from one end, by date."""
    found: dict[int, tuple[Piece, ...]] = {}
    for b, bed in enumerate(case.beds):
        here = [i for i, buried in enumerate(plan.buried) if buried.offer.option.bed == b]
        lengths = tuple(plan.buried[i].offer.option.room_m * plan.buried[i].parts for i in here)
        laid = lay_out(bed, case.trench_in(b), lengths)
        found |= dict(zip(here, laid, strict=True))
    return [found[i] for i in range(len(plan.buried))]


def _burial(
    case: Case, plan: BurialPlan, buried: Buried, start: date, pieces: tuple[Piece, ...]
) -> BurialAnswer:
    offer, option = buried.offer, buried.offer.option
    vessel, bed = case.vessels[option.vessel], case.beds[option.bed]
    trench = case.trenches[vessel.much_meat]
    share = buried.parts / case.parts
    day = start + timedelta(days=offer.day)
    last = day + timedelta(days=LAST_DAY)
    longest = offer.wait_range[1]
    sinks = settlement_m(offer.load_kg_m, trench, case.parameters)
    return BurialAnswer(
        vessel=vessel.name,
        bed=bed.name,
        week=day,
        share=share,
        mass=spread_of(vessel.ferment.fresh_kg * share, "kg"),
        length=option.room_m * buried.parts,
        depth=trench.depth_m,
        width=trench.width_m,
        cover=trench.cover_m,
        load=offer.load_kg_m,
        mound=spread_of(sinks * 100, "cm"),
        pieces=tuple(TrenchPiece(along=p.middle_m, start=p.from_m, end=p.to_m) for p in pieces),
        wait=Range(
            median=number(offer.wait_days),
            low=number(offer.wait_range[0]),
            high=number(longest),
            unit="days",
        ),
        wait_held_by=_held_by(case, buried),
        plant_from=last + timedelta(days=int(np.ceil(longest))) if np.isfinite(longest) else None,
        next_crop=spoken(offer.next_crop.crop) if offer.next_crop else "",
        among_rows=offer.among_rows,
        held=offer.day - vessel.ready_day,
        reason=sentences.reason(case, buried),
        elsewhere=sentences.elsewhere(case, plan, buried),
    )


def _held_by(case: Case, buried: Buried) -> str:
    """What makes the long end of the wait several times the middle one; empty where it is not,
    or where the gardener's own wait is longer."""
    offer = buried.offer
    longest = offer.wait_range[1]
    if longest <= max(_LONG * offer.wait_days, case.least_wait_days):
        return ""
    spot = case.spot(offer.option.vessel, offer.option.bed)
    return case.foresight.held_by(spot, offer.day, offer.load_kg_m)


def bed_answers(case: Case, plan: BurialPlan, start: date) -> tuple[BedAnswer, ...]:
    """Every bed with its limits and what it gets."""
    closed = refusals.closed_beds(case, plan)
    return tuple(_bed(case, plan, b, start, closed.get(b, "")) for b in range(len(case.beds)))


def _bed(case: Case, plan: BurialPlan, b: int, start: date, closed: str) -> BedAnswer:
    bed = case.beds[b]
    here = [x for x in plan.buried if x.offer.option.bed == b]
    carried = phosphorus_carried_kg_m2(bed, case.crops, case.parameters)

    def given(field: str) -> Range:
        amounts = np.zeros(case.parameters.members)
        for x in here:
            held = getattr(case.vessels[x.offer.option.vessel].ferment, f"{field}_kg")
            amounts = amounts + held * x.parts / case.parts
        return spread_of(amounts * 1000, "g")

    return BedAnswer(
        name=bed.name,
        length=bed.length_m,
        width=bed.width_m,
        texture=bed.texture,
        plantings=tuple(_span(case, plan, b, i, start) for i in range(len(bed.plantings))),
        nitrogen_limit=float(plan.limits["nitrogen"][b]) * 1000,
        nitrogen_buried=given("nitrogen"),
        phosphorus_limit=_grams(float(plan.limits["phosphorus"][b])),
        phosphorus_carried=carried * bed.area_m2 * 1000,
        phosphorus_buried=given("phosphorus"),
        trench_room=trench_room_m(bed, case.trench_in(b)),
        trench_used=sum(x.offer.option.room_m * x.parts for x in here),
        closed=closed,
    )


def _grams(limit_kg: float) -> float | None:
    return limit_kg * 1000 if np.isfinite(limit_kg) else None


def _span(case: Case, plan: BurialPlan, b: int, place: int, start: date) -> CropSpan:
    bed, planting = case.beds[b], case.beds[b].plantings[place]
    gap = gap_index(case, b, place)
    demand = case.crops[planting.crop].nitrogen_demand_kg_m2
    wanted = np.maximum(demand - case.parameters["beds.soil_nitrogen"] / 1000, 0) * bed.area_m2
    given = np.zeros(case.parameters.members)
    for x in plan.buried:
        if x.offer.option.gap == gap:
            spot = case.spot(x.offer.option.vessel, b)
            stand = case.stand(b, planting, x.offer.day)
            share = case.foresight.available_share(spot, "nitrogen", x.offer.day, stand)
            held = case.vessels[x.offer.option.vessel].ferment.nitrogen_kg
            given = given + held * x.parts / case.parts * share
    return CropSpan(
        crop=spoken(planting.crop),
        start=start + timedelta(days=planting.start_day),
        end=start + timedelta(days=planting.end_day),
        sown=planting.sown,
        nitrogen_wanted=spread_of(wanted * 1000, "g"),
        nitrogen_given=spread_of(given * 1000, "g"),
    )
