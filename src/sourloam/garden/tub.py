"""The other way home: ferment mixed with old soil in a tub, under a roof, at any time of year."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sourloam import soil
from sourloam.garden.case import Case
from sourloam.garden.contract import TubAnswer, TubLine
from sourloam.garden.feeding_answer import spread_of
from sourloam.garden.wording import said

Array = NDArray[np.float64]
RATIOS = (2, 4, 8)  # method: rows of a table, kg of dry soil to one of ferment
HORIZON_DAYS = 150  # method: a winter
_LITRES = 1000
_LATE = 0.9  # method: ready in nine cases of ten


def tub_answer(case: Case, warmth_c: float) -> TubAnswer | None:
    """Ratio, time and readiness for a vessel of the commonest make, or as much of it as goes into
    one tub; None without a vessel."""
    if not case.vessels:
        return None
    makes = np.asarray(case.makes)
    vessel = case.vessels[int(np.argmax(makes == np.bincount(makes).argmax()))]
    texture = case.beds[0].texture
    batch_kg = min(vessel.fresh_kg, case.middle("beds.tub.batch"))
    lines = tuple(_line(case, vessel.ferment, batch_kg, ratio, warmth_c) for ratio in RATIOS)
    return TubAnswer(
        answer=_answer(case, lines, batch_kg),
        vessel=vessel.name,
        mass=batch_kg,
        texture=texture,
        temperature=warmth_c,
        lines=lines,
    )


def _line(
    case: Case, ferment: soil.Buried, fresh_kg: float, ratio: int, warmth_c: float
) -> TubLine:
    p, texture = case.parameters, case.beds[0].texture
    portion = soil.Portion.of(ferment, fresh_kg)
    dry_kg = ratio * fresh_kg
    loose, packed = (
        case.middle(k) for k in (f"soil.{texture}.dug_density", "soil.ferment.density")
    )
    section = (dry_kg / loose + fresh_kg / packed) / case.middle("beds.tub.depth")
    tub = soil.Tub(portion, dry_kg, float(np.sqrt(4 * section / np.pi)), air="all sides")
    ground = soil.Soil(texture, case.middle("beds.usual_ph"))
    course = soil.bury(tub, ground, np.full(HORIZON_DAYS, warmth_c), p)
    litres = dry_kg / p[f"soil.{texture}.dug_density"] * _LITRES
    return TubLine(
        ratio=ratio,
        soil=spread_of(litres, "L"),
        ready=spread_of(course.ready_to_spread_day, "days"),
        share=spread_of(course.share_for_beds, "1"),
    )


def _answer(case: Case, lines: tuple[TubLine, ...], fresh_kg: float) -> str:
    """The smallest amount of soil that is ready for sure within the horizon."""
    fits = [line for line in lines if line.ready.high is not None]
    if not fits:
        return (
            "In a tub of soil under a roof this ferment would not be ready within "
            f"{HORIZON_DAYS} days for sure; use more soil, mix it finer, or keep it warmer."
        )
    best = min(fits, key=lambda line: line.ratio)
    deep = said(case, case.middle("beds.tub.depth"), "length")
    litres = said(case, (best.soil.median or 0.0) / _LITRES, "volume")
    share = best.share.median or 0.0
    spread = (
        "It may then be used as it is"
        if share >= 1
        else f"It is then rich and salty: mix one part into {1 / share - 1:.0f} parts of other soil"
    )
    return (
        f"Without a free bed, or in winter: mix {said(case, fresh_kg, 'mass')} of ferment with "
        f"{litres} of old garden soil in a tub or box with holes all round, under a roof, no "
        f"deeper than {deep}; keep it moist and out of reach of rats. At the warmth of the "
        f"vessels' room it is ready after {best.ready.low:.0f} to {best.ready.high:.0f} days. "
        f"{spread}."
    )
