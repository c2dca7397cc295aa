"""What the ground must give, month by month and for a year."""

from __future__ import annotations

import datetime as dt
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import book
from sourloam.planning.burying import waits
from sourloam.planning.case import TEXTURE_IF_NONE, Case
from sourloam.planning.contract import Ground, MonthGround, Range, SeasonAmount
from sourloam.planning.free_beds import FURTHER
from sourloam.planning.parts.day_words import listed, vessels
from sourloam.planning.parts.weeks import Week, weeks_of
from sourloam.planning.parts.year import Year
from sourloam.planning.ranges import middle, plain_figures, range_of, words
from sourloam.planning.trenches import trench_of
from sourloam.planning.waiting import FORESEEN_DAYS
from sourloam.planning.work import Work
from sourloam.units import percent, show, show_on_bed

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Ints = NDArray[np.int64]
_EVERY = 7  # method: days between two burials that are followed
_ELSEWHERE = ("parted", "passed_on")
_LONG = 2  # method: times the middle wait from which the long end is given its reason
_LATE = 0.9  # method: the share of the waits that lies below the long end
_HELD_BY = {
    "acids": "acids, which soil life takes up slowly in the cold and inside lumps: chop and mix "
    "well, or bury in warmer weather",
    "oxygen": "want of air, which heavy or wet ground lets in slowly while the ferment uses it up: "
    "lay it thinner, and not in wet weather",
    "ammonia": "free ammonia, which comes as the acids go and lasts until it is nitrate: lay it "
    "thinner",
    "salt": "salt, which only rain or watering washes down: lay it thinner, or plant what bears "
    "salt, such as beetroot or chard",
}


def ground_part(work: Work, year: Year) -> Ground:
    """Trenches, or the tub where there is no ground; counts are those of the calendar."""
    case, burying = work.case, work.burying
    tub = case.site.ground.none
    area = None if tub else range_of(burying.area_m2, "m2")
    given = None if tub else round(sum(room.area_m2 for room in case.beds), 2)
    weeks = weeks_of(work, year)
    parted, passed_on = (sum(getattr(week, key) for week in weeks) for key in _ELSEWHERE)
    taken = None if tub else range_of(100 * burying.taken_share, "%")
    all_taken = parted + passed_on == 0 and bool(np.median(burying.taken_share) >= 1)
    return Ground(
        way="tub" if tub else "trench",
        vessels_per_year=range_of(burying.vessels_per_year, "vessels"),
        per_vessel_mass=range_of(burying.ferment_kg, "kg"),
        per_vessel_nitrogen=range_of(burying.nitrogen_g, "g"),
        trench_per_vessel=None if tub else range_of(burying.trench_m, "m"),
        bed_area=area,
        bed_area_least=None if tub else range_of(burying.least_area_m2, "m2"),
        bed_area_given=given,
        enough=None if tub else all_taken,
        taken=taken,
        buried=sum(week.buried for week in weeks),
        parted=parted,
        passed_on=passed_on,
        phosphorus=None if tub else range_of(burying.phosphorus_g_m2, "g/m2"),
        phosphorus_carried=None if tub else round(burying.carried_g_m2, 2),
        rest_goes=_rest(work, all_taken),
        limited_by=burying.limited_by,
        tub_soil=range_of(burying.soil_l, "L") if tub else None,
        wait=_wait(case, case.seasons),
        wait_by_season=tuple(
            SeasonAmount(season=name, amount=_wait(case, (name,))) for name in case.seasons
        ),
        wait_why=_wait_why(case),
        by_month=_months(case),
        why=_why(work, area, weeks),
    )


def _wait(case: Case, seasons: tuple[str, ...]) -> Range:
    """Waits of burials on days when the ground takes them; of all days if it never does."""
    _, found, taken = _waits(case, seasons)
    return range_of(found[taken], "days")


def _waits(case: Case, seasons: tuple[str, ...]) -> tuple[Ints, Floats, Bools]:
    """Days of burying, waits from them (members, days), and which of them count."""
    days = np.sort(np.concatenate([case.days_in(name) for name in seasons]))[::_EVERY]
    found = waits(case, days)
    taken = case.open_ground[: len(found), days]
    return days, found, taken if taken.any() else np.ones_like(taken)


def _wait_why(case: Case) -> str:
    """What makes the long end of the wait longer than a few times the middle one, in a sentence."""
    days, found, taken = _waits(case, case.seasons)
    span = range_of(found[taken], "days")
    if span.high is not None and span.high <= _LONG * (span.median or 0.0):
        return ""
    least = np.quantile(found[taken], _LATE, method="nearest")
    late = np.where(taken, found, -1.0)
    reason = case.waiting[case.site.ground.texture or TEXTURE_IF_NONE].mostly_held_by(
        days, late, float(least)
    )
    if not reason:
        return ""
    how_long = (
        f"In one case of ten it is not over within the {FORESEEN_DAYS} days followed"
        if span.high is None
        else "One case in ten waits that long"
    )
    return f"{how_long}, mostly for {_HELD_BY[reason]}."


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


def _rest(work: Work, all_taken: bool) -> Literal["nowhere needed", "tub", "other people"]:
    if work.case.site.ground.none or all_taken:
        return "nowhere needed"
    return "tub" if work.case.site.ground.tub else "other people"


def _why(work: Work, area: Range | None, weeks: tuple[Week, ...]) -> str:
    system, burying = work.system, work.burying
    if area is None:
        soil = words(range_of(burying.soil_l, "L"), system)
        return (
            f"Without ground the ferment of one vessel is mixed with {soil} of old soil in a tub "
            "under a roof; it is ready for planting when it smells of earth."
        )
    nitrogen = middle(range_of(burying.nitrogen_g, "g"), system)
    length = words(range_of(burying.trench_m, "m"), system)
    width = show(trench_of(work.case.site).width, "length", system)
    have = _area(sum(room.area_m2 for room in work.case.beds), system)
    further = next((room.area_m2 for room in work.case.beds if room.name == FURTHER), 0.0)
    undescribed = further if work.case.site.beds else 0.0
    empty = (
        f", of which {_area(undescribed, system)} are not described as [[bed]] and counted "
        "as empty all year"
        if undescribed
        else ""
    )
    return (
        f"One vessel needs {length} of trench {width} wide and carries about {nitrogen} of "
        f"nitrogen. {_thinner(work)}{_binds(work, words(area, system))}; you have {have}{empty}. "
        f"{_story(work, weeks)}"
    )


def _area(square_metres: float, system: str) -> str:
    return plain_figures(show(square_metres, "area", system))


def _thinner(work: Work) -> str:
    """What is laid on a metre, where the wait asks for less than there is room for."""
    case, texture = work.case, work.case.site.ground.texture or TEXTURE_IF_NONE
    share = case.waiting[texture].load_share
    if share >= 1:
        return ""
    load = show(float(np.median(case.load_kg_m(texture))), "mass", work.system)
    return (
        f"Laid thinner: {load} on a metre, {percent(share)} of what air and room allow, so that "
        "the soil is ready sooner. "
    )


def _binds(work: Work, area: str) -> str:
    """The limit that decides, where its figure comes from, and the bed that would be enough."""
    limit, evidence = work.burying.limited_by, book()
    enough = f"all vessels of a year together would need {area} of bed like yours"
    if limit == "phosphorus":
        return f"What sets the limit is the phosphorus that you allow your beds: {enough}"
    if limit != "nitrogen":
        what = "the air that soil can draw in" if limit == "oxygen" else "room for trenches"
        return f"What sets the limit is {what}: trench beside trench, {enough}"
    usual, highest = (
        show_on_bed(evidence[f"ground.nitrogen.{key}"].value / 1000, work.system)
        for key in ("usual", "highest")
    )
    site = work.case.site
    own = any(bed.nitrogen_limit_kg_m2 is not None for bed in site.beds)
    where = (
        "within the ceiling that you wrote as nitrogen_limit"
        if site.ground.nitrogen_limit_kg_m2 is not None
        else "within the ceiling that you wrote as nitrogen_limit, and the usual one elsewhere"
        if own
        else f"{usual} in a year, which is European law's ceiling for manure on fields, taken here "
        f"as a prudent one (the highest met in rules is {highest}; write nitrogen_limit under "
        "[ground] or a [[bed]] if yours differs)"
    )
    return f"What sets the limit is nitrogen, {where}: {enough}"


def _story(work: Work, weeks: tuple[Week, ...]) -> str:
    """What is buried in the calendar, and where the rest goes."""
    buried, parted, passed_on = (
        sum(getattr(week, key) for week in weeks) for key in ("buried", *_ELSEWHERE)
    )
    if not parted + passed_on:
        return f"In the calendar below {vessels(buried)} {_are(buried)} buried in the coming year."
    share = range_of(work.burying.taken_share, "1").median or 0.0
    takes = "all" if share >= 1 else f"about {percent(share)}"
    by = (
        "by what each may be given and when"
        if share < 1
        else "but not at the times at which it is ready"
    )
    are = "are" if buried > 1 else "is"
    fates = [f"{vessels(buried) if buried else 'none'} {are} buried{' whole' if parted else ''}"]
    if parted:
        fates.append(f"{vessels(parted)} {_are(parted)} buried in part")
    if passed_on:
        fates.append(f"{vessels(passed_on)} {_are(passed_on)} emptied elsewhere")
    return (
        f"Your beds take {takes} of a year's ferment, {by}; crops and frost leave them closed for "
        f"a part of the year. So in the calendar below {listed(fates)}; what is not buried is "
        f"{_where(work)}. More bed, or less put in, would change that."
    )


def _where(work: Work) -> str:
    if work.case.site.ground.tub:
        return "mixed with old soil in the tub"
    return "passed on to people with ground, a community garden or the food waste collection"


def _are(number: int) -> str:
    return "is" if number == 1 else "are"
