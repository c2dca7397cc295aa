"""The drained liquid, in words."""

from __future__ import annotations

import numpy as np

from sourloam.evidence import book
from sourloam.planning.case import YEAR_DAYS
from sourloam.planning.contract import Liquid
from sourloam.planning.parts.filling import usual
from sourloam.planning.parts.scraps import weekly
from sourloam.planning.ranges import middle, range_of, words
from sourloam.planning.work import Work

_LITRE_ML = 1000


def liquid_part(work: Work) -> Liquid:
    """How much, how often, how to use it."""
    case, draining = work.case, work.draining
    yearly = draining.daily_ml[:, case.planned].sum(axis=1) / case.years
    return Liquid(
        by_week=weekly(case, draining.daily_ml, "mL"),
        per_kg=range_of(draining.per_kg_ml, "mL/kg"),
        per_year=range_of(yearly / _LITRE_ML, "L"),
        drain_every_days=draining.every_days,
        per_draining=range_of(draining.per_draining_ml, "mL"),
        sump=round(draining.sump_ml, 1),
        days_until_sump_full=range_of(draining.days_until_full, "days"),
        usual=usual(
            "practice.liquid_draining", "60 to 120 mL every three to four days from one household"
        ),
        why=_why(work),
        dilution=_dilution(),
    )


def _why(work: Work) -> str:
    case, draining = work.case, work.draining
    dry = float(np.median(100 * case.mix.dry_kg / case.mix.fresh_kg))
    worth = book()["planning.drain.worth"].value
    each = range_of(draining.per_draining_ml, "mL")
    text = (
        f"How much drains hangs on how dry the mix is: here {dry:.0f} % dry matter. Drained every "
        f"{draining.every_days} days a filling vessel gives {words(each, work.system)}."
    )
    if (each.median or 0) < worth:
        text += " Often there will be next to nothing: look all the same, so that none stands."
    full = range_of(draining.days_until_full, "days")
    if full.median is not None and full.median < YEAR_DAYS:
        in_time = middle(full, work.system)
        text += f" Never drained, the space under the grid would be full in {in_time}."
    return text


def _dilution() -> str:
    row = book()["practice.dilution"]
    return (
        f"Use it the same day, on soil, with at least {row.low:g} parts of water to one of "
        f"liquid; {row.high / 2:g} for seedlings, pots or salty scraps. Never on leaves that are "
        "eaten raw, never into a stream, ditch or storm drain."
    )
