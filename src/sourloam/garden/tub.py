"""The other way home: ferment mixed with old soil in a tub, under a roof, at any time of year."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sourloam import soil
from sourloam.evidence import Parameters
from sourloam.garden.contract import TubAnswer, TubLine
from sourloam.garden.feeding_answer import spread_of
from sourloam.garden.finished import Finished, makes_of
from sourloam.garden.wording import said

Array = NDArray[np.float64]
RATIOS = (2, 4, 8)  # method: rows of a table, kg of dry soil to one of ferment
HORIZON_DAYS = 150  # method: a winter
_LITRES = 1000
_OVER = 0.1  # method: a tub may hold a tenth more before a second one is filled


@dataclass(frozen=True)
class Tubs:
    """What is mixed with old soil of one texture, and who reads of it."""

    vessels: tuple[Finished, ...]
    texture: str
    parameters: Parameters
    system: str = "metric"

    def middle(self, key: str) -> float:
        """Median of one evidence row."""
        return float(np.median(self.parameters[key]))

    @property
    def usual(self) -> Finished:
        """A vessel of the commonest make."""
        makes = np.asarray(makes_of(self.vessels))
        return self.vessels[int(np.argmax(makes == np.bincount(makes).argmax()))]

    def batch_kg(self, vessel: Finished) -> float:
        """Ferment that goes into one tub: a vessel's, or as much of it as gets air."""
        return vessel.fresh_kg / self.count(vessel)

    def count(self, vessel: Finished) -> int:
        """Tubs that a vessel's ferment fills."""
        return max(int(np.ceil(vessel.fresh_kg / self.middle("beds.tub.batch") - _OVER)), 1)

    def course(self, fresh_kg: float, ratio: int, warmth_c: Array) -> soil.BuriedCourse:
        """One tub with ``fresh_kg`` of ferment and ``ratio`` times as much dry soil, day by day at
        ``warmth_c``, °C ``(members, days)`` or ``(days,)``."""
        dry_kg = ratio * fresh_kg
        loose, packed = (
            self.middle(k) for k in (f"soil.{self.texture}.dug_density", "soil.ferment.density")
        )
        section = (dry_kg / loose + fresh_kg / packed) / self.middle("beds.tub.depth")
        portion = soil.Portion.of(self.usual.ferment, fresh_kg)
        tub = soil.Tub(portion, dry_kg, float(np.sqrt(4 * section / np.pi)), air="all sides")
        ground = soil.Soil(self.texture, self.middle("beds.usual_ph"))
        return soil.bury(tub, ground, warmth_c, self.parameters)

    def soil_l(self, fresh_kg: float, ratio: int) -> Array:
        """Old soil for so much ferment, loosely filled, L, ``(members,)``."""
        density = self.parameters[f"soil.{self.texture}.dug_density"]
        return np.asarray(ratio * fresh_kg / density * _LITRES)


def tub_answer(case: Tubs, warmth_c: float) -> TubAnswer | None:
    """Ratio, time and readiness for a vessel of the commonest make, or as much of it as goes into
    one tub; None without a vessel."""
    if not case.vessels:
        return None
    batch_kg = case.batch_kg(case.usual)
    lines = tuple(_line(case, batch_kg, ratio, warmth_c) for ratio in RATIOS)
    return TubAnswer(
        answer=_answer(case, lines, batch_kg),
        vessel=case.usual.name,
        mass=batch_kg,
        texture=case.texture,
        temperature=warmth_c,
        lines=lines,
    )


def _line(case: Tubs, fresh_kg: float, ratio: int, warmth_c: float) -> TubLine:
    course = case.course(fresh_kg, ratio, np.full(HORIZON_DAYS, warmth_c))
    return TubLine(
        ratio=ratio,
        soil=spread_of(case.soil_l(fresh_kg, ratio), "L"),
        ready=spread_of(course.ready_to_spread_day, "days"),
        share=spread_of(course.share_for_beds, "1"),
    )


def surest(lines: tuple[TubLine, ...]) -> TubLine | None:
    """The smallest amount of soil that is ready for sure within the horizon."""
    fits = [line for line in lines if line.ready.high is not None]
    return min(fits, key=lambda line: line.ratio) if fits else None


def spread_words(line: TubLine) -> str:
    """What becomes of the soil of a tub."""
    share = line.share.median or 0.0
    if share >= 1:
        return "It may then be used as it is"
    return f"It is then rich and salty: mix one part into {1 / share - 1:.0f} parts of other soil"


def _answer(case: Tubs, lines: tuple[TubLine, ...], fresh_kg: float) -> str:
    best = surest(lines)
    if best is None:
        return (
            "In a tub of soil under a roof this ferment would not be ready within "
            f"{HORIZON_DAYS} days for sure; use more soil, mix it finer, or keep it warmer."
        )
    deep = said(case, case.middle("beds.tub.depth"), "length")
    litres = said(case, (best.soil.median or 0.0) / _LITRES, "volume")
    return (
        f"Without a free bed, or in winter: mix {said(case, fresh_kg, 'mass')} of ferment with "
        f"{litres} of old garden soil in a tub or box with holes all round, under a roof, no "
        f"deeper than {deep}; keep it moist and out of reach of rats. At the warmth of the "
        f"vessels' room it is ready after {best.ready.low:.0f} to {best.ready.high:.0f} days. "
        f"{spread_words(best)}."
    )
