"""The drained liquid, in words."""

from __future__ import annotations

import numpy as np

from sourloam.evidence import book
from sourloam.planning.contract import Liquid
from sourloam.planning.parts.filling import usual
from sourloam.planning.parts.scraps import weekly
from sourloam.planning.parts.spans import span
from sourloam.planning.ranges import range_of
from sourloam.planning.work import Work
from sourloam.units import percent, show_range

_LITRE_ML, _ML = 1000, 1e6
_ML_KG_PER_PERCENT = 10
DISAGREEMENT = (
    "Model and practice are known to disagree here: with the 20 to 30 % of dry matter that is "
    "published for household scraps, five to ten times less drains than practice says, and we "
    "could not find why."
)


def liquid_part(work: Work) -> Liquid:
    """How much, how often, how to use it."""
    case, draining = work.case, work.draining
    yearly = draining.daily_ml[:, case.planned].sum(axis=1) / case.years
    return Liquid(
        by_week=weekly(case, draining.daily_ml, "mL"),
        per_kg=range_of(draining.per_kg_ml, "mL/kg"),
        per_year=range_of(yearly / _LITRE_ML, "L"),
        drain_every_days=draining.every_days,
        usual_rhythm=usual("practice.drain", f"every {span('practice.drain')}"),
        room_days=draining.room_days,
        per_draining=range_of(draining.per_draining_ml, "mL"),
        sump=round(draining.sump_ml, 1),
        days_until_sump_full=range_of(draining.days_until_full, "days"),
        usual=usual(
            "practice.liquid_draining",
            f"{_usual_amount(work)} every three to four days from one household",
        ),
        why=_why(work),
        dilution=_dilution(),
    )


def _usual_amount(work: Work) -> str:
    row = book()["practice.liquid_draining"]
    return show_range(row.low / _ML, row.high / _ML, "small_volume", work.system)


def _why(work: Work) -> str:
    case, draining = work.case, work.draining
    dry = float(np.median(100 * case.mix.dry_kg / case.mix.fresh_kg))
    text = f"How much drains hangs on how dry the mix is: here {dry:.0f} % is dry matter."
    if np.median(draining.per_draining_ml) < book()["planning.drain.worth"].value:
        text += " Often there will be next to nothing: look all the same, so that none stands."
    if below_usual(work):
        text += f" {DISAGREEMENT} Two measured drainings tell more about your kitchen than either."
    return f"{text} {_why_so_often(draining.every_days, draining.room_days)}"


def below_usual(work: Work) -> bool:
    """Whether the middle case drains less than practice says."""
    share = np.median(work.draining.per_kg_ml) / _ML_KG_PER_PERCENT
    return bool(share < book()["practice.liquid_share"].low)


def _why_so_often(every: int, room: int | None) -> str:
    """Room under the grid beside what is usual, and which of the two decides."""
    row = book()["practice.drain"]
    if room is not None and room <= row.high:
        return (
            f"The space under the grid decides: in nine cases of ten it takes {_days(room)} or "
            f"longer to be {percent(book()['planning.drain.sump_share'].value)} full, which is as "
            "full as is safe."
        )
    share = percent(book()["planning.drain.sump_share"].value)
    takes = f"{_days(room)} or longer" if room is not None else "more than a year"
    return (
        f"In nine cases of ten the space under the grid takes {takes} to be {share} full, which is "
        f"as full as is safe; but liquid that stands turns foul, so the usual {row.low:g} to "
        f"{row.high:g} days are kept."
    )


def _days(number: int) -> str:
    return "1 day" if number == 1 else f"{number} days"


def _dilution() -> str:
    row = book()["practice.dilution"]
    return (
        f"Use it the same day, on soil. Usual advice: one part to {row.low:g} of water. By its "
        f"acids that is too strong in many cases: {row.high / 2:g} parts are safer, {row.high:g} "
        "for seedlings, pots or salty scraps; the garden plan says how far for each crop. Never on "
        "leaves that are eaten raw, never into a stream, ditch or storm drain."
    )
