"""What the burial plan asks of the soil, and the soil room's answer as a table."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal, Protocol

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import Parameters
from sourloam.garden.trench import Trench
from sourloam.soil import Burial, Buried, BuriedCourse, Portion, Soil, bury

Array = NDArray[np.float64]
Way = Literal["sow", "tender", "tolerant"]


class Foresight(Protocol):
    """The narrow view of the soil that a burial plan needs."""

    def wait_days(self, texture: str, day: int, way: Way) -> Array:
        """Days from a burial on ``day`` until planting, ``(members,)``; inf beyond the horizon."""

    def available_share(self, texture: str, element: str) -> Array:
        """Share of an element's total that plants can take within the season, ``(members,)``."""

    def salt_rise_per_kg_m(self, texture: str) -> Array:
        """Rise of ECe, dS/m, over the wetted soil per kg ferment on a metre, ``(members,)``."""


@dataclass(frozen=True)
class SoilTable:
    """``Foresight`` read from a table: waits at ``days`` ``(n,)`` between which it interpolates.

    ``waits`` by texture and way ``(members, n)``; the others by texture (and element),
    ``(members,)``.
    """

    days: NDArray[np.int64]
    waits: Mapping[tuple[str, str], Array]
    available: Mapping[tuple[str, str], Array]
    salt: Mapping[str, Array]

    def wait_days(self, texture: str, day: int, way: Way) -> Array:
        """As ``Foresight``; between an endless and a finite wait the endless one counts."""
        table = self.waits[texture, way]
        after = int(np.clip(np.searchsorted(self.days, day), 1, max(len(self.days) - 1, 1)))
        if len(self.days) == 1:
            return table[:, 0]
        low, high = self.days[after - 1], self.days[after]
        share = float(np.clip((day - low) / (high - low), 0, 1))
        left, right = table[:, after - 1], table[:, after]
        ends = {0.0: left, 1.0: right}
        if share in ends:
            return ends[share]
        with np.errstate(invalid="ignore"):
            between = left + share * (right - left)
        return np.where(np.isfinite(left) & np.isfinite(right), between, np.inf)

    def available_share(self, texture: str, element: str) -> Array:
        """As ``Foresight``."""
        return self.available[texture, element]

    def salt_rise_per_kg_m(self, texture: str) -> Array:
        """As ``Foresight``."""
        return self.salt[texture]


@dataclass(frozen=True)
class Question:
    """What to ask of the soil: a kg of typical ferment, the trench, the load on a metre,
    on which days, how far to look, and pH and salt of the ground before."""

    ferment: Buried
    trench: Trench
    load_kg_m: Mapping[str, float]
    days: tuple[int, ...]
    horizon_days: int
    ph: float
    ece_ds_m: float | None = None


def ask_soil(
    question: Question, temperature_c: Mapping[str, Array], parameters: Parameters
) -> SoilTable:
    """Bury the typical ferment on each day in each texture and tabulate what comes out.

    ``temperature_c`` by texture: daily mean soil temperature at the trench, ``(members, days)``,
    from the plan's start; it must reach ``horizon_days`` beyond the last burial.
    """
    waits: dict[tuple[str, str], Array] = {}
    available: dict[tuple[str, str], Array] = {}
    salt: dict[str, Array] = {}
    for texture, warmth in temperature_c.items():
        courses = _courses(question, texture, warmth, parameters)
        load = question.load_kg_m[texture]
        for way, fit_day in _FIT_DAYS.items():
            waits[texture, way] = np.stack([fit_day(c) for c in courses], axis=1)
        for element, freed in _FREED.items():
            ends = np.stack([freed(c)[:, -1] for c in courses], axis=1)
            total = getattr(question.ferment, f"{element}_kg") / question.ferment.fresh_kg * load
            available[texture, element] = np.median(ends, axis=1) / total
        salt[texture] = (courses[0].ece_wetted_ds_m[:, 0] - _before(question, parameters)) / load
    return SoilTable(np.asarray(question.days), waits, available, salt)


def _before(question: Question, parameters: Parameters) -> Array | float:
    return parameters["soil.usual_salt"] if question.ece_ds_m is None else question.ece_ds_m


def _courses(
    question: Question, texture: str, warmth: Array, parameters: Parameters
) -> list[BuriedCourse]:
    """A metre of trench buried on each day that is asked for."""
    trench = question.trench
    burial = Burial(
        Portion.of(question.ferment, question.load_kg_m[texture]),
        1.0,
        trench.width_m,
        trench.zone_m,
        trench.cover_m,
        trench.spacing_m,
    )
    soil = Soil(texture, question.ph, question.ece_ds_m)
    windows = [warmth[:, day : day + question.horizon_days] for day in question.days]
    return [bury(burial, soil, window, parameters) for window in windows]


_FIT_DAYS: dict[Way, Callable[[BuriedCourse], Array]] = {
    "sow": lambda course: course.sow_day,
    "tender": lambda course: course.transplant_tender_day,
    "tolerant": lambda course: course.transplant_tolerant_day,
}
_FREED: dict[str, Callable[[BuriedCourse], Array]] = {
    "nitrogen": lambda course: course.available_n_kg,
    "phosphorus": lambda course: course.available_p_kg,
    "potassium": lambda course: course.available_k_kg,
}
