"""How long the ground needs after a burial, by the day of burying: the soil room's answer."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from sourloam import climate, soil
from sourloam.evidence import Parameters
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
MEMBERS = 80  # method: members whose burials are followed; the others are like one of them
_YEAR_DAYS = 365
_EVERY_DAYS = 28  # method: waits change slowly with the day of burial
FORESEEN_DAYS = 120  # method: days followed after a burial
_FIT: Mapping[Way, Callable[[soil.BuriedCourse], Floats]] = {
    "sow": lambda course: course.sow_day,
    "tender": lambda course: course.transplant_tender_day,
    "tolerant": lambda course: course.transplant_tolerant_day,
}


@dataclass(frozen=True)
class Waiting:
    """Waits of burials spread over a year, days, (members, burials) by way; inf if longer.

    ``knots`` are days of the year since its ``first`` day in the window of days.
    """

    first: int
    knots: Ints
    by_way: Mapping[Way, Floats]

    def on(self, days: Ints, way: Way = "sow") -> Floats:
        """Waits of burials on some days of the window, (members, days)."""
        at = np.interp((days - self.first) % _YEAR_DAYS, self.knots, np.arange(len(self.knots)))
        left, right = np.floor(at).astype(int), np.ceil(at).astype(int)
        part, table = at - left, self.by_way[way]
        before, after = table[:, left], table[:, right]
        finite = np.isfinite(before) & np.isfinite(after)
        between = np.where(finite, before, 0) * (1 - part) + np.where(finite, after, 0) * part
        return np.where(finite, between, np.inf)

    def cautious(self, days: Ints, way: Way = "sow") -> Floats:
        """The wait that nine members in ten need at most, (days,)."""
        return np.asarray(np.quantile(self.on(days, way), CAUTIOUS, axis=0, method="nearest"))


def stated(days: float, first: int, members: int) -> Waiting:
    """The same wait for everybody and on every day: the person's own."""
    same = np.full((members, 1), days)
    return Waiting(first, np.array([0]), {"sow": same, "tender": same, "tolerant": same})


def ask_soil(
    ground: soil.Soil,
    trench: Trench,
    load_kg_m: float,
    weather: tuple[Floats, soil.Water],
    few: Parameters,
) -> Waiting:
    """Bury a metre of typical ferment through a year and see when plants may follow.

    ``weather``: temperature at the trench (members, days) and water, both with a year to warm up,
    the year of the burials, and the days foreseen beyond.
    """
    soil_c, water = weather
    first = _YEAR_DAYS
    ferment = soil.Portion.typical(load_kg_m, few)
    burial = soil.Burial(ferment, 1, trench.width, trench.zone, trench.cover, trench.spacing)
    knots = np.append(np.arange(0, _YEAR_DAYS, _EVERY_DAYS), _YEAR_DAYS)
    courses = [
        soil.bury(
            burial,
            ground,
            soil_c[:, first + day :][:, :FORESEEN_DAYS],
            few,
            water.within(int(first + day), FORESEEN_DAYS),
        )
        for day in knots[:-1]
    ]
    courses.append(courses[0])
    by_way = {way: np.stack([fit(course) for course in courses], 1) for way, fit in _FIT.items()}
    return Waiting(first, knots, by_way)
