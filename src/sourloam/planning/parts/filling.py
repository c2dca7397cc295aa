"""How long vessels fill and rest, beside what is usually advised."""

from __future__ import annotations

import math
from typing import Literal

import numpy as np

from sourloam.evidence import book
from sourloam.planning.case import Kind
from sourloam.planning.contract import (
    Fill,
    Finish,
    LevelPoint,
    Range,
    SeasonFill,
    SeasonRest,
    Usual,
)
from sourloam.planning.dosing import layers_per_day
from sourloam.planning.filling import Filled
from sourloam.planning.parts.bran import usual_layer_kg
from sourloam.planning.parts.day_words import listed
from sourloam.planning.parts.spans import weeks
from sourloam.planning.ranges import middle, range_of, words
from sourloam.planning.work import Work
from sourloam.units import show, show_range

USUAL_M3 = 0.019  # method: the size that the row practice.fill speaks of
_CM = 100.0
_POINTS = 40  # method: about so many points of a level curve


def usual(row_id: str, text: str) -> Usual:
    """Usual advice from its row."""
    row = book()[row_id]
    return Usual(text=text, low=row.low, high=row.high, unit=row.unit, standing=row.standing)


def fill_part(work: Work, kind: Kind) -> Fill:
    """Days to fill one kind, season by season."""
    filled = work.filled[kind.vessel.name]
    first = next(f for f in filled if f.season == work.case.season_on(work.case.first))
    one_layer = usual_layer_kg(work.case, kind)
    return Fill(
        vessel=kind.vessel.name,
        by_season=tuple(
            SeasonFill(
                season=one.season,
                days=range_of(one.full_day, "days"),
                taken=range_of(one.taken_kg, "kg"),
                layers=range_of(one.scraps_kg / one_layer, "layers"),
                poor=round(float(one.failed.mean()), 4),
            )
            for one in filled
        ),
        level=_level(first),
        usual=usual(
            "practice.fill",
            f"a {show(USUAL_M3, 'volume', work.system)} vessel with a weighted plate lasts "
            f"{weeks('practice.fill')}",
        ),
        why=_why_fill(work, kind, filled),
    )


def _level(filled: Filled) -> tuple[LevelPoint, ...]:
    """The level until nine members out of ten are full."""
    days = filled.level.shape[1]
    ends = np.where(np.isfinite(filled.full_day), filled.full_day, days)
    last = int(min(days - 1, np.quantile(ends, 0.9)))
    stride = max(1, last // _POINTS)
    until_full = np.where(
        np.arange(days) >= filled.full_day[:, None], 1.0, np.minimum(filled.level, 1.0)
    )
    return tuple(
        LevelPoint(day=day + 1, share=range_of(100 * until_full[:, day], "%"))
        for day in range(0, last + 1, stride)
    )


def mean_days(filled: tuple[Filled, ...]) -> Range:
    """Days to fill over all seasons."""
    return range_of(np.concatenate([one.full_day for one in filled]), "days")


def _why_fill(work: Work, kind: Kind, filled: tuple[Filled, ...]) -> str:
    case, row = work.case, book()["practice.fill"]
    takes = np.median(np.concatenate([one.scraps_kg for one in filled]))
    fits = show_range(takes / row.high, takes / row.low, "mass_rate", work.system)
    goes_in = words(range_of(case.scraps_kg[:, case.planned].mean(axis=1), "kg/day"), work.system)
    days = words(mean_days(filled), work.system)
    return (
        f"That fits {fits} in a {kind.vessel.name}; here {goes_in} go in, so it fills in {days}. "
        f"{_a_layer(work, kind)}"
    )


def _a_layer(work: Work, kind: Kind) -> str:
    """What is counted as one layer: what gets one dose of bran."""
    parts = layers_per_day(work.case, kind)
    mass = middle(range_of(usual_layer_kg(work.case, kind), "kg"), work.system)
    if parts == 1:
        return f"A layer is a day's scraps, about {mass}, with its bran."
    highest = show(book()["practice.layer"].high / _CM, "length", work.system)
    return (
        f"A layer is about {mass} of scraps with its bran: a day's make {parts}, one upon the "
        f"other, because loose in one they would lie higher than {highest}."
    )


def finish_part(work: Work) -> Finish:
    """Days of rest by season of closing."""
    rows = tuple(_season_rest(work, name) for name in work.case.seasons)
    return Finish(
        by_season=rows,
        usual=usual("practice.rest", f"{weeks('practice.rest')} at room temperature"),
        why=_why_rest(work, rows),
    )


def _season_rest(work: Work, season: str) -> SeasonRest:
    resting = work.resting
    mine = np.isin(resting.closing_day, work.case.days_in(season))
    return SeasonRest(
        season=season,
        days=range_of(resting.rest_days[:, mine], "days"),
        temperature=range_of(resting.warmth_c[:, mine], "°C"),
        not_sour=round(float((~np.isfinite(resting.rest_days[:, mine])).mean()), 4),
    )


def _why_rest(work: Work, rows: tuple[SeasonRest, ...]) -> str:
    fastest, slowest = _ends(rows)
    pieces = {"whole": "whole pieces", "chopped": "chopped scraps", "minced": "minced scraps"}
    text = (
        f"The rest is counted from the last layer, because the newest layer sours last: "
        f"{pieces[work.case.pieces]} need {words(fastest.days, work.system)} in "
        f"{fastest.season} at {words(fastest.temperature, work.system)}"
    )
    if slowest.season != fastest.season:
        text += (
            f" and {words(slowest.days, work.system)} in {slowest.season} at "
            f"{words(slowest.temperature, work.system)}"
        )
    if (slowest.temperature.low or 0) <= book()["ferment.frozen_below"].value:
        return f"{text}. Frost stops souring; the rest goes on when the vessel has thawed."
    if rest_verdict(rows) == "agrees":
        return f"{text}. No rest is called over before a week has passed."
    most = book()["practice.rest"].high
    long = [r.season for r in rows if r.days.median is None or r.days.median > most]
    when = "" if len(long) == len(rows) else f" in {listed(long)}"
    longer = f"{text}. The middle rest{when} is longer than the usual {weeks('practice.rest')}"
    usual_c = book()["practice.temperature"]
    if (slowest.temperature.median or 0) < usual_c.low:
        return f"{longer}: cold slows souring."
    return f"{longer}: {_SLOW[work.case.pieces]}."


_SLOW = {
    "whole": "whole pieces let their juice go slowly",
    "chopped": "this mix gives its juice or its sugar slowly",
    "minced": "this mix has little sugar or much that binds acid",
}


def _ends(rows: tuple[SeasonRest, ...]) -> tuple[SeasonRest, SeasonRest]:
    """The seasons of the shortest and of the longest middle rest."""

    def days(row: SeasonRest) -> float:
        return math.inf if row.days.median is None else row.days.median

    return min(rows, key=days), max(rows, key=days)


def rest_verdict(rows: tuple[SeasonRest, ...]) -> Literal["agrees", "differs"]:
    """The one judgement on rests: they agree where every season's middle is in the usual span."""
    row = book()["practice.rest"]
    inside = (r.days.median is not None and row.low <= r.days.median <= row.high for r in rows)
    return "agrees" if all(inside) else "differs"


def rest_days_words(rows: tuple[SeasonRest, ...], system: str) -> str:
    """The middle rest of the quickest and of the slowest season."""
    fastest, slowest = _ends(rows)
    quick, slow = (middle(one.days, system) for one in (fastest, slowest))
    if quick == slow:
        return quick
    return f"{quick} in {fastest.season}, {slow} in {slowest.season}"
