"""What is due in beds."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from sourloam.ledger.sentences import Sentence, gettext_noop
from sourloam.ledger.state import BedState
from sourloam.ledger.work import Due, Question, rule
from sourloam.site import spans_within

_PLANT = gettext_noop(
    "Ferment was buried there on %(buried)s; after %(days)d days it may be planted."
)


def due_in(bed: BedState, question: Question) -> Iterator[Due]:
    """When a bed may be planted after its last burial, unless it was planted since."""
    if not bed.burials or bed.added is None or question.site is None or question.ground is None:
        return
    buried = bed.burials[-1].day
    if any(planted.day > buried for planted in bed.plantings):
        return
    days = question.ground.wait_days(buried, question.site.ground.wait_days)
    on = buried + dt.timedelta(days=days)
    crop, on = _next_crop(bed, on)
    if on < question.today - dt.timedelta(days=rule("ledger.due.plant_late")):
        return
    yield Due(
        what="plant",
        on=on,
        urgency="today" if on <= question.today else "soon",
        why=Sentence.of(_PLANT, buried=buried, days=days),
        kind="planted",
        body={"bed": bed.id} | ({"crop": crop} if crop else {}),
        asks=() if crop else ("crop",),
        thing=("bed", bed.id),
        name=bed.name,
    )


def _next_crop(bed: BedState, free: dt.date) -> tuple[str | None, dt.date]:
    """The crop that the bed's description foresees next within a year, and its day."""
    assert bed.added is not None
    found = [
        (first, planting.crop)
        for planting in bed.added.body.read_spec().plantings
        for first, _ in spans_within(planting, free, free + dt.timedelta(days=365))
        if first >= free
    ]
    if not found:
        return None, free
    first, crop = min(found)
    return crop, first
