"""The site in short, and its scraps through the year."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from sourloam import scraps
from sourloam.planning.case import YEAR_DAYS, Case
from sourloam.planning.contract import (
    ClassShare,
    MonthAmount,
    Scraps,
    Season,
    SeasonAmount,
    SiteSummary,
    VesselKind,
    WeekAmount,
)
from sourloam.planning.ranges import middle, range_of
from sourloam.planning.work import Work
from sourloam.site.sections import MealScraps, MeasuredScraps, PeopleScraps
from sourloam.units import percent, show

_WEEK = 7
_CLOSED_NOW_AND_THEN = 0.95  # method: share of days with scraps below which closed days are told
_LITRE = 1000
_MEALS = {
    "school_lunch": "school lunches",
    "cafe_cover": "café guests",
    "restaurant_cover": "restaurant guests",
    "hospital_meal": "hospital meals",
}


def site_part(work: Work) -> SiteSummary:
    """Who, where, since when, with what."""
    case = work.case
    place = case.site.place
    return SiteSummary(
        name=place.name,
        kind=place.kind,
        start=place.start,
        until=case.date(case.planned.stop - 1),
        accepted_risk=place.risk,
        units="us" if place.units == "us" else "metric",
        scraps=(
            *(_stream_words(entry, place.units) for entry in case.site.scraps),
            *_closed_days(work),
        ),
        climate=_climate_words(case),
        room=_room_words(case),
        vessels=tuple(
            VesselKind(
                name=kind.vessel.name,
                volume=round(kind.volume_m3 * _LITRE, 2),
                usable=round(kind.vessel.usable_m3 * _LITRE, 2),
                surface=round(kind.vessel.section_m2, 4),
                owned=kind.owned,
            )
            for kind in work.all_kinds
        ),
        has_ground=not case.site.ground.none,
        seasons=tuple(
            Season.model_validate(
                {
                    "name": name,
                    "months": _months(case, name),
                }
            )
            for name in case.seasons
        ),
    )


def _months(case: Case, season: str) -> tuple[int, ...]:
    """Months of a season in the order of time, 1 for January."""
    mine = [m for m in range(12) if case.months[m] == season]
    firsts = [m for m in mine if case.months[m - 1] != season] or [0]
    return tuple(sorted((m + 1 for m in mine), key=lambda m: (m - 1 - firsts[0]) % 12))


def _stream_words(entry: object, system: str) -> str:
    if isinstance(entry, PeopleScraps):
        who = f"{entry.people:g} people"
        if entry.households > 1:
            who += f" in {entry.households} households"
        if entry.capture is None:
            return f"{who}; how much of their scraps goes in is not known"
        return f"{who}; {percent(entry.capture)} of their scraps go in"
    if isinstance(entry, MealScraps):
        return f"{entry.per_day:g} {_MEALS[entry.meals]} a day"
    amount = getattr(entry, "amount_kg_per_day")  # noqa: B009 - the third kind of stream
    return f"measured: {show(amount, 'mass', system)} on an ordinary day"


def _closed_days(work: Work) -> Iterator[str]:
    """The mean over the whole year beside that of a day with scraps, where they differ."""
    coming = work.case.scraps_kg[:, work.case.planned]
    every = middle(range_of(coming.mean(axis=1), "kg/day"), work.system)
    open_day = middle(range_of(daily_kg(work), "kg"), work.system)
    if (coming > 0).mean() < _CLOSED_NOW_AND_THEN:
        yield (
            f"together about {open_day} on a mean day with scraps; with the days without, that is "
            f"{every} over the year"
        )


def daily_kg(work: Work) -> NDArray[np.float64]:
    """Scraps on a mean day on which some come, per member."""
    coming = work.case.scraps_kg[:, work.case.planned]
    return np.asarray(coming.sum(axis=1) / np.maximum((coming > 0).sum(axis=1), 1))


def weighed(work: Work) -> bool:
    """Whether all scraps of the place were measured, so that weighing anew would tell little."""
    return all(isinstance(entry, MeasuredScraps) for entry in work.case.site.scraps)


def _climate_words(case: Case) -> str:
    weather = case.site.climate
    if weather.record is not None:
        return f'the packaged daily record "{weather.record}"'
    if weather.csv is not None:
        return f"your own daily record {weather.csv}"
    if weather.monthly_means is not None:
        return "your twelve monthly means, with day-to-day weather added"
    return "a mean year with a summer and a winter, with day-to-day weather added"


def _room_words(case: Case) -> str:
    room = case.site.room
    if room.temperature_c is None:
        return room.kind
    words = f"{room.kind}, {show(room.temperature_c, 'temperature', case.site.place.units)}"
    if room.winter_temperature_c is not None:
        words += (
            f", {show(room.winter_temperature_c, 'temperature', case.site.place.units)} in winter"
        )
    return words


def scraps_part(work: Work) -> Scraps:
    """Amounts by week, season and year, and the make-up of the mix."""
    case = work.case
    yearly = case.scraps_kg[:, case.planned].sum(axis=1) / case.years
    return Scraps(
        per_day=range_of(yearly / YEAR_DAYS, "kg/day"),
        per_year=range_of(yearly, "kg"),
        by_week=weekly(case, case.scraps_kg, "kg"),
        by_season=tuple(
            SeasonAmount(
                season=name,
                amount=range_of(case.scraps_kg[:, case.days_in(name)].mean(axis=1), "kg/day"),
            )
            for name in case.seasons
        ),
        by_month=_a_week_by_month(case),
        dry_matter=range_of(100 * case.mix.dry_kg / case.mix.fresh_kg, "%"),
        composition=tuple(
            ClassShare(name=name, share=range_of(100 * case.shares[:, i], "%"))
            for i, name in enumerate(scraps.CLASSES)
            if np.median(case.shares[:, i]) > 0
        ),
    )


def weekly(case: Case, daily: np.ndarray, unit: str) -> tuple[WeekAmount, ...]:
    """Sums of (members, days) by week of the planned time; a last part of a week counts as one."""
    weeks = []
    for place, first in enumerate(range(case.planned.start, case.planned.stop, _WEEK)):
        last = min(first + _WEEK, case.planned.stop)
        begin, end = case.date(first), case.date(last - 1)
        weeks.append(
            WeekAmount(
                week=place + 1,
                start=begin,
                amount=range_of(daily[:, first:last].sum(axis=1), unit),
                closed=_closed_name(case, begin, end),
            )
        )
    return tuple(weeks)


def month_days(case: Case) -> Iterator[tuple[dt.date, NDArray[np.int64]]]:
    """First day of each calendar month of the planned time, and the month's planned days."""
    month = case.dates.astype("datetime64[M]")
    planned = month[case.planned]
    for name in np.unique(planned):
        days = np.flatnonzero(planned == name) + case.planned.start
        yield name.astype("datetime64[D]").astype(dt.date), days


def _a_week_by_month(case: Case) -> tuple[MonthAmount, ...]:
    return tuple(
        MonthAmount(
            month=month, amount=range_of(_WEEK * case.scraps_kg[:, days].mean(axis=1), "kg")
        )
        for month, days in month_days(case)
        if len(days) >= _WEEK
    )


def _closed_name(case: Case, first: dt.date, last: dt.date) -> str:
    for stop in case.closures:
        if stop.start <= last and stop.end >= first:
            return stop.name
    return ""
