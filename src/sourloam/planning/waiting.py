"""How long the ground needs after a burial, by the day of burying: the soil room's answer."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from sourloam import climate, soil
from sourloam.evidence import Parameters, book
from sourloam.numerics.abreast import abreast
from sourloam.planning.trenches import Trench

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Way = Literal["sow", "tender", "tolerant"]
EVIDENCE = (
    *soil.EVIDENCE,
    *climate.RAIN_EVIDENCE,
    "beds.usual_ph",
    "ground.trench.depth",
)
CAUTIOUS = 0.9  # method: what must be ready in time is reckoned with nine cases in ten
MEMBERS = 40  # method: members whose burials are followed; the others are like one of them
_YEAR_DAYS = 365
_THIN = 0.5  # method: where a crop follows soon, half as much is laid on a metre
_EVERY_DAYS = 28  # method: waits change slowly with the day of burial
_SOON_DAYS = 120  # method: days followed after every burial
FORESEEN_DAYS = 240  # method: days followed after burials that some need longer for
_STEPS = 2  # method: times that the ferment on a metre is halved where the wait is too long
_FIT: Mapping[Way, Callable[[soil.BuriedCourse], Floats]] = {
    "sow": lambda course: course.sow_day,
    "tender": lambda course: course.transplant_tender_day,
    "tolerant": lambda course: course.transplant_tolerant_day,
}


@dataclass(frozen=True)
class Waiting:
    """Waits of burials spread over a year, days, (members, burials) by way; inf if longer.

    ``knots`` are days of the year since its ``first`` day in the window of days. ``laid_thin``
    holds the same for half as much ferment on a metre. ``load_share``: what is laid on a metre, of
    what air can reach and room is there for. ``held_by`` (members, burials): index in
    ``soil.REASONS`` of what held sowing back longest; None where the person states the wait.
    """

    first: int
    knots: Ints
    by_way: Mapping[Way, Floats]
    laid_thin: Mapping[Way, Floats]
    load_share: float = 1.0
    held_by: Ints | None = None

    def mostly_held_by(self, days: Ints, waits: Floats, least: float) -> str:
        """What held back most of the burials on some days that wait ``least`` days or longer.

        ``waits`` (members, days) are those of ``on``; empty where nothing is known or none is.
        """
        if self.held_by is None:
            return ""
        at = np.interp((days - self.first) % _YEAR_DAYS, self.knots, np.arange(len(self.knots)))
        late = self.held_by[:, np.rint(at).astype(int)][waits >= least]
        if not late.size:
            return ""
        return soil.REASONS[int(np.bincount(late, minlength=len(soil.REASONS)).argmax())]

    def on(self, days: Ints, way: Way = "sow", thin: bool = False) -> Floats:
        """Waits of burials on some days of the window, (members, days)."""
        at = np.interp((days - self.first) % _YEAR_DAYS, self.knots, np.arange(len(self.knots)))
        left, right = np.floor(at).astype(int), np.ceil(at).astype(int)
        part, table = at - left, (self.laid_thin if thin else self.by_way)[way]
        before, after = table[:, left], table[:, right]
        finite = np.isfinite(before) & np.isfinite(after)
        between = np.where(finite, before, 0) * (1 - part) + np.where(finite, after, 0) * part
        return np.where(finite, between, np.inf)

    def cautious(self, days: Ints, way: Way = "sow") -> Floats:
        """The wait of thinly laid ferment that nine members in ten need at most, (days,)."""
        found = self.on(days, way, thin=True)
        return np.asarray(np.quantile(found, CAUTIOUS, axis=0, method="nearest"))


def stated(days: float, first: int, members: int) -> Waiting:
    """The same wait for everybody and on every day: the person's own."""
    same = np.full((members, 1), days)
    every: dict[Way, Floats] = {"sow": same, "tender": same, "tolerant": same}
    return Waiting(first, np.array([0]), every, every)


def ask_soil(
    ground: soil.Soil,
    load_kg_m: float,
    trench: Trench,
    weather: tuple[Floats, soil.Water],
    few: Parameters,
) -> Waiting:
    """Bury a metre of typical ferment through a year and see when plants may follow.

    ``trench`` is the site's own, standing alone. ``weather``: temperature at the trench (members,
    days) and water, both with a year to warm up, the year of the burials, and the days foreseen
    beyond. The load is halved, and halved again, while the middle burial can't be sown within a
    season.
    """
    first = _YEAR_DAYS
    knots = np.append(np.arange(0, _YEAR_DAYS, _EVERY_DAYS), _YEAR_DAYS)
    season = book()["planning.wait.season"].value

    def followed(load: float) -> list[soil.BuriedCourse]:
        burial = soil.Burial(
            soil.Portion.typical(load, few), 1, trench.width, trench.zone, trench.cover
        )
        days = [first + int(day) for day in knots[:-1]]
        courses = abreast(lambda day: _course(burial, ground, weather, few, day), days)
        return [*courses, courses[0]]

    share, laid, thin = 1.0, followed(load_kg_m), followed(_THIN * load_kg_m)
    for _ in range(_STEPS):
        if np.median([course.sow_day for course in laid]) <= season:
            break
        share *= _THIN
        laid, thin = thin, followed(_THIN * share * load_kg_m)
    held_by = np.stack([course.sow_held_by for course in laid], axis=1)
    return Waiting(first, knots, _by_way(laid), _by_way(thin), share, held_by)


def _by_way(courses: list[soil.BuriedCourse]) -> dict[Way, Floats]:
    return {way: np.stack([fit(course) for course in courses], 1) for way, fit in _FIT.items()}


def _course(
    burial: soil.Burial,
    ground: soil.Soil,
    weather: tuple[Floats, soil.Water],
    few: Parameters,
    day: int,
) -> soil.BuriedCourse:
    """One burial; followed for longer where some members can't sow soon, as after an autumn."""
    soil_c, water = weather

    def for_days(days: int) -> soil.BuriedCourse:
        warmth = soil_c[:, day:][:, :days]
        return soil.bury(burial, ground, warmth, few, water.within(day, days))

    soon = for_days(_SOON_DAYS)
    late = float(np.mean(~np.isfinite(soon.sow_day)))
    return for_days(FORESEEN_DAYS) if late > 1 - CAUTIOUS else soon
