"""What is due in beds and in the store of bran."""

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
_BRAN = gettext_noop(
    "About %(left_kg)s of inoculated bran is left; at the present use it lasts until %(until)s."
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


def due_bran(question: Question) -> Iterator[Due]:
    """Bran in time, by how much went on the layers of late; nothing where no stock is kept."""
    stores = question.place.stores
    habit = dt.timedelta(days=rule("ledger.due.habit"))
    recent = [
        layer
        for layer in question.place.each_layer()
        if question.today - habit < layer.day <= question.today
    ]
    used_kg = sum(layer.body.bran_g or 0.0 for layer in recent) / 1000
    if not stores.bran_in or not used_kg:
        return
    came = stores.bran_in[-1].at
    if any(o.at > came and question.today - habit < o.day for o in stores.bran_ordered):
        return
    since = max((question.today - min(layer.day for layer in recent)).days, 7)
    a_day_kg = used_kg / since
    left = max(question.place.bran_left_kg, 0.0)
    until = question.today + dt.timedelta(days=int(min(left / a_day_kg, 3650)))
    on = max(until - dt.timedelta(days=rule("ledger.due.bran_lead")), question.today)
    yield Due(
        what="bran",
        on=on,
        urgency=question.urgency(on),
        why=Sentence.of(_BRAN, left_kg=left, until=until),
        kind="bran_ordered",
        body={"mass_kg": max(round(a_day_kg * rule("ledger.due.bran_stock"), 1), 0.1)},
    )
