"""What the ground must give, month by month and for a year."""

from __future__ import annotations

import datetime as dt

import numpy as np

from sourloam.evidence import book
from sourloam.planning.burying import trench_of, waits
from sourloam.planning.case import Case
from sourloam.planning.contract import Ground, MonthGround, Range, SeasonAmount
from sourloam.planning.ranges import middle, range_of, words
from sourloam.planning.work import Work
from sourloam.units import percent, show

_EVERY = 7  # method: days between two burials that are followed


def ground_part(work: Work) -> Ground:
    """Trenches, or the tub where there is no ground."""
    case, burying = work.case, work.burying
    tub = case.site.ground.none
    area = None if tub else range_of(burying.area_m2, "m2")
    given = case.site.ground.bed_area_m2
    given = None if given is None else round(given, 2)
    return Ground(
        way="tub" if tub else "trench",
        vessels_per_year=range_of(burying.vessels_per_year, "vessels"),
        per_vessel_mass=range_of(burying.ferment_kg, "kg"),
        per_vessel_nitrogen=range_of(burying.nitrogen_g, "g"),
        trench_per_vessel=None if tub else range_of(burying.trench_m, "m"),
        bed_area=area,
        bed_area_least=None if tub else range_of(burying.least_area_m2, "m2"),
        bed_area_given=given,
        enough=None if area is None or given is None else given >= (area.median or 0),
        limited_by=burying.limited_by,
        tub_soil=range_of(burying.soil_l, "L") if tub else None,
        wait=_wait(case, case.seasons),
        wait_by_season=tuple(
            SeasonAmount(season=name, amount=_wait(case, (name,))) for name in case.seasons
        ),
        by_month=_months(case),
        why=_why(work, area, given),
    )


def _wait(case: Case, seasons: tuple[str, ...]) -> Range:
    """Waits of burials on days when the ground takes them; of all days if it never does."""
    days = np.sort(np.concatenate([case.days_in(name) for name in seasons]))[::_EVERY]
    found = waits(case, days)
    taken = case.open_ground[:, days]
    return range_of(found[taken] if taken.any() else found, "days")


def _months(case: Case) -> tuple[MonthGround, ...]:
    month = case.dates.astype("datetime64[M]")
    closed = ~case.open_ground & ~case.busy
    out = []
    for name in np.unique(month[case.planned]):
        mine = np.flatnonzero(month[case.planned] == name) + case.planned.start
        out.append(
            MonthGround(
                month=name.astype("datetime64[D]").astype(dt.date),
                closed_days=range_of(closed[:, mine].sum(axis=1), "days"),
                busy_days=int(case.busy[mine].sum()),
            )
        )
    return tuple(out)


def _why(work: Work, area: Range | None, given: float | None) -> str:
    system, burying = work.system, work.burying
    if area is None:
        soil = words(range_of(burying.soil_l, "L"), system)
        return (
            f"Without ground the ferment of one vessel is mixed with {soil} of old soil in a tub "
            "under a roof; it is ready for planting when it smells of earth."
        )
    ceiling = book()["ground.nitrogen.usual"].value
    highest = book()["ground.nitrogen.highest"].value
    nitrogen = middle(range_of(burying.nitrogen_g, "g"), system)
    length = words(range_of(burying.trench_m, "m"), system)
    trench = trench_of(work.case)
    text = (
        f"One vessel needs {length} of trench "
        f"{show(trench.width, 'length', system)} wide and carries about {nitrogen} of nitrogen. "
    )
    if burying.limited_by == "nitrogen":
        text += (
            f"Spread over a year at no more than {show(ceiling / 1000, 'mass_per_area', system)} "
            f"of nitrogen, all vessels together need {words(area, system)} of bed"
        )
    else:
        text += f"All vessels of a year together need {words(area, system)} of bed"
    if given is None or given >= (area.median or 0):
        return f"{text}."
    least = words(range_of(burying.least_area_m2, "m2"), system)
    share = given / (area.median or given)
    return (
        f"{text}; you have {show(given, 'area', system)}. At the highest ceiling met in rules, "
        f"{show(highest / 1000, 'mass_per_area', system)}, it is {least}. Your beds take about "
        f"{percent(share)} of a year's ferment: find more bed, give some away where that is "
        "allowed, or put less in."
    )
