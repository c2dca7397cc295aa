"""The feeding plan as the contract has it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sourloam.garden.case import WEEK, Case, gap_index, needs_kg
from sourloam.garden.contract import (
    FedBed,
    Feeding,
    FeedingBed,
    FeedingMonth,
    FeedingWeek,
    Range,
    StrengthDay,
    ThinningLine,
)
from sourloam.garden.crops import spoken
from sourloam.garden.feeding import CAUTIOUS, Can, FeedingPlan, Given, thin
from sourloam.garden.liquid import aged, conductivity_ds_m
from sourloam.garden.wording import said
from sourloam.numerics import middle, spread

DAYS_SHOWN = (0, 1, 2, 3, 7)
_HARDLY_L = 0.05  # method: less than a cupful in all the time is as good as none


def number(value: float) -> float | None:
    """The value, or None where it lies beyond the time foreseen."""
    return float(value) if np.isfinite(value) else None


def spread_of(values: ArrayLike, unit: str) -> Range:
    """Median and 10-90 % range over ``(members,)``, in the unit of the values."""
    found = spread(np.asarray(values, dtype=np.float64))
    low, middle, high = (number(float(x)) for x in (found.low, found.median, found.high))
    return Range(median=middle, low=low, high=high, unit=unit)


def feeding_answer(
    case: Case, can: Can, plan: FeedingPlan, jar_c: float, freed_kg: NDArray[np.float64]
) -> Feeding:
    """All of the feeding plan; ``freed_kg`` (gaps,) is the nitrogen that crops get from ferment."""
    start = case.start
    lines = tuple(_thinning(case, can, name) for name in case.crops)
    return Feeding(
        answer=_answer(case, can, plan, lines),
        strength=_strength(can, jar_c),
        temperature=jar_c,
        thinning=lines,
        usual=f"Usual advice: one part to {can.middle('feeding.usual'):.0f} of water, on soil.",
        weeks=tuple(_week(case, can, plan, w, start) for w in range(plan.supply_l.shape[1])),
        months=tuple(_months(case, plan, start)),
        beds=_beds(case, plan, freed_kg),
        supply=spread_of(plan.supply_l.sum(axis=1), "L"),
        surplus=spread_of(plan.surplus_l.sum(axis=1), "L"),
    )


def _thinning(case: Case, can: Can, name: str) -> ThinningLine:
    young, grown = (thin(can, case.crops[name], seedling) for seedling in (True, False))
    return ThinningLine(
        crop=spoken(name),
        seedlings=young.handy,
        seedlings_middle=_whole(young.middle),
        established=grown.handy,
        established_middle=_whole(grown.middle),
        limited_by="salt" if grown.limited_by == "salt" else "acid",
    )


def _whole(parts: float) -> int | None:
    return round(parts) if np.isfinite(parts) else None


def _strength(can: Can, jar_c: float) -> tuple[StrengthDay, ...]:
    old = aged(can.liquid, DAYS_SHOWN, jar_c, can.parameters)
    acids = old.acids_mol_m3(can.parameters)
    ec = conductivity_ds_m(old, can.parameters)
    return tuple(
        StrengthDay(
            day=day,
            ph=spread_of(old.ph[:, i], "pH"),
            acids=spread_of(acids[:, i], "mmol/L"),
            conductivity=spread_of(ec[:, i], "dS/m"),
            ammonium=spread_of(old.ammonium_nitrogen[:, i], "g N/L"),
        )
        for i, day in enumerate(DAYS_SHOWN)
    )


def _week(case: Case, can: Can, plan: FeedingPlan, week: int, start: date) -> FeedingWeek:
    here = [g for g in plan.given if g.week == week]
    return FeedingWeek(
        week=start + timedelta(days=week * WEEK),
        supply=spread_of(plan.supply_l[:, week], "L"),
        used=spread_of(plan.used_l[:, week], "L"),
        surplus=spread_of(plan.surplus_l[:, week], "L"),
        beds=tuple(_bed_week(case, g) for g in here),
    )


def _bed_week(case: Case, given: Given) -> FeedingBed:
    bed = case.beds[given.bed]
    thinned = given.litres * (1 + (given.parts_of_water or 0))
    return FeedingBed(
        bed=bed.name,
        crop=spoken(given.crop),
        liquid=given.litres,
        parts_of_water=given.parts_of_water,
        per_m2=thinned / bed.area_m2,
        stopped=given.stopped,
    )


def _months(case: Case, plan: FeedingPlan, start: date) -> Iterator[FeedingMonth]:
    """Each bed, crop and month that has feed, in that order."""
    groups: dict[tuple[int, date, str], list[Given]] = {}
    for given in sorted(plan.given, key=lambda g: (g.bed, g.week)):
        day = start + timedelta(days=given.week * WEEK)
        groups.setdefault((given.bed, day.replace(day=1), given.crop), []).append(given)
    for (b, month, crop), every in groups.items():
        fed = [g for g in every if g.litres > 0]
        if not fed:
            continue
        stops = [g.week for g in plan.given if _ends(g, fed[-1])]
        liquid = float(np.mean([g.litres for g in fed]))
        water = float(np.mean([g.litres * (g.parts_of_water or 0) for g in fed]))
        yield FeedingMonth(
            bed=case.beds[b].name,
            crop=spoken(crop),
            month=month,
            weeks=len(fed),
            liquid=liquid,
            water=water,
            stop=start + timedelta(days=stops[0] * WEEK) if stops else None,
        )


def _ends(given: Given, last: Given) -> bool:
    """Whether this is the week after the last one with feed, stopped because picking is near."""
    alike = (given.bed, given.crop) == (last.bed, last.crop)
    return alike and given.stopped and given.week == last.week + 1


def _beds(case: Case, plan: FeedingPlan, freed_kg: NDArray[np.float64]) -> tuple[FedBed, ...]:
    needs, fed = needs_kg(case), []
    for b, bed in enumerate(case.beds):
        every = range(len(bed.plantings))
        fed_later = [i for i in every if freed_kg[gap_index(case, b, i)] > 0]
        wanted = sum(needs[gap_index(case, b, i)] for i in bed.of_a_year(fed_later))
        n, p, k = (
            spread_of(x[:, b] * 1000, "g")
            for x in (plan.nitrogen_kg, plan.phosphorus_kg, plan.potassium_kg)
        )
        fed.append(
            FedBed(
                bed=bed.name,
                nitrogen=n,
                phosphorus=p,
                potassium=k,
                nitrogen_wanted=float(wanted) * 1000,
                nitrogen_from_ferment=1000
                * sum(float(freed_kg[gap_index(case, b, i)]) for i in every),
            )
        )
    return tuple(fed)


def _answer(case: Case, can: Can, plan: FeedingPlan, thinned: tuple[ThinningLine, ...]) -> str:
    ec = _middle(conductivity_ds_m(can.liquid, can.parameters))
    acids = _middle(can.liquid.acids_mol_m3(can.parameters))
    told = [f"Fresh liquid holds about {acids:.0f} mmol/L of acids and conducts {ec:.0f} dS/m."]
    told.append(_how_far(can, thinned))
    supply = _middle(plan.supply_l.sum(axis=1))
    left = _middle(plan.surplus_l.sum(axis=1))
    nitrogen = said(case, _middle(plan.nitrogen_kg.sum(axis=1)), "small_mass")
    if supply < _HARDLY_L:
        most = float(np.quantile(plan.supply_l.sum(axis=1), CAUTIOUS))
        much = f", at most about {_litres(case, most)}" if most >= _HARDLY_L else ""
        told.append(f"Hardly any liquid drains in this time{much}: pour what comes as below.")
        return " ".join(part for part in told if part)
    told.append(
        f"About {_litres(case, supply)} drain in this time; {_litres(case, supply - left)} find "
        f"room on growing beds and bring {nitrogen} of nitrogen: water with a little feed, not a "
        "fertiliser."
    )
    if left > supply / 10:
        told.append(
            f"About {_litres(case, left)} find no bed: where your local rules allow, send it down "
            "the household drain with plenty of water, never into a storm drain or a stream."
        )
    return " ".join(part for part in told if part)


def _how_far(can: Can, lines: tuple[ThinningLine, ...]) -> str:
    """Thinning in words, with the usual advice beside it."""
    grown = [x.established for x in lines if x.established is not None]
    halfway = [x.established_middle for x in lines if x.established_middle is not None]
    young = [x.seedlings for x in lines if x.seedlings is not None]
    if not grown:
        return "No crop here can take it however far it is thinned with this water."
    text = (
        f"To be safe in nine cases of ten thin one part with {_span(grown)} parts of water for "
        f"established plants in soil; the middle estimate is {_span(halfway)}, the usual advice "
        f"{can.middle('feeding.usual'):.0f}."
    )
    return text + (f" Seedlings need {_span(young)}." if young else "")


def _span(numbers: list[int]) -> str:
    low, high = min(numbers), max(numbers)
    return f"{low}" if low == high else f"{low} to {high}"


def _litres(case: Case, volume: float) -> str:
    return said(case, volume / 1000, "volume")


def _middle(values: NDArray[np.float64]) -> float:
    return middle(values)
