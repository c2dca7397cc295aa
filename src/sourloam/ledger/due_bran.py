"""What is due about inoculated bran: a recalled lot, a batch on its way, the next one in time."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from sourloam.ledger.lot_demand import ahead, good_kg, order_kg
from sourloam.ledger.lot_standing import closed_days, in_store, lead, makes, under_way, way_of
from sourloam.ledger.lots import LotState
from sourloam.ledger.sentences import Sentence, gettext_noop
from sourloam.ledger.state import Turn, VesselState
from sourloam.ledger.work import Due, Question, rule

_BRAN = gettext_noop(
    "About %(left_kg)s of bran that may be used is left. With enough of it on each layer, it "
    "lasts until %(until)s."
)
_NONE = gettext_noop("No bran that may be used is left.")
_MIX = gettext_noop(
    "Good bran lasts until about %(until)s; a batch takes about %(days)d days to sour and dry."
)
_OLD = gettext_noop("The bran in store is too weak or recalled; a batch takes about %(days)d days.")
_OPEN = gettext_noop("It was mixed on %(mixed)s; at this warmth bran stays closed %(days)d days.")
_PACK = gettext_noop("It was dry on %(dried)s; weigh it and pack it before it takes up water.")
_TEST = gettext_noop(
    "In %(percent)d of 100 cases like this one it is still strong enough; a test tells."
)
_RECALLED = gettext_noop(
    "Its layers hold bran of lot %(lot)s, which was recalled on %(day)s: look, smell, try a strip."
)
_THROW = gettext_noop("It was recalled on %(day)s and about %(left_kg)s of it is still here.")
_LEAST_KG = 0.05
_REST = 0.1  # of a lot: so little is no longer worth a test


def due_recalled(question: Question) -> Iterator[Due]:
    """A look at every vessel whose layers hold bran of a recalled lot, until somebody looked."""
    recalled = {lot.id: lot for lot in question.place.lots if lot.recalled is not None}
    if not recalled:
        return
    for vessel in question.place.vessels:
        turn = vessel.turn
        if turn is None or vessel.retired is not None or vessel.stage == "failed":
            continue  # one that failed is to be decided on, and its work names the lot
        lots = {layer.body.lot for layer in turn.layers} & set(recalled)
        found = [recalled[name] for name in lots if name is not None]
        open_ = [lot for lot in found if not _seen_since(turn, lot)]
        if open_:
            yield _recall(vessel, min(open_, key=_recall_day), question)
    for lot in recalled.values():
        yield from _to_throw(lot, question)


def _recall_day(lot: LotState) -> dt.datetime:
    assert lot.recalled is not None
    return lot.recalled.at


def _seen_since(turn: Turn, lot: LotState) -> bool:
    """Whether somebody looked at, judged or sought help for the vessel after the recall."""
    seen = (*turn.looks, *turn.judgements, *turn.rescues)
    return any(record.at >= _recall_day(lot) for record in seen)


def _recall(vessel: VesselState, lot: LotState, question: Question) -> Due:
    assert lot.recalled is not None
    day = lot.recalled.day
    return Due(
        what="recall",
        on=day,
        urgency=question.urgency(min(day, question.today)),
        why=Sentence.of(_RECALLED, lot=lot.id, day=day),
        kind="looked",
        body={"vessel": vessel.id},
        asks=("signs",),
        thing=("vessel", vessel.id),
        name=vessel.name,
    )


def _to_throw(lot: LotState, question: Question) -> Iterator[Due]:
    if lot.recalled is not None and lot.left_kg > _LEAST_KG:
        said = Sentence.of(_THROW, day=lot.recalled.day, left_kg=lot.left_kg)
        yield _of_lot(lot, "bran_discarded", question.today, question, said)


def _of_lot(lot: LotState, kind: str, on: dt.date, question: Question, why: Sentence) -> Due:
    return Due(
        what="bran",
        on=on,
        urgency=question.urgency(on),
        why=why,
        kind=kind,
        body={"lot": lot.id},
        asks=("more",),
        thing=("lot", lot.id),
        name=lot.id,
    )


def due_bran(question: Question) -> Iterator[Due]:
    """Batches on their way, lots to test, and the next bran in time."""
    yield from _batches(question)
    yield from _tests(question)
    yield from _next(question)


def _batches(question: Question) -> Iterator[Due]:
    way = way_of(question.place, question.site)
    for lot in under_way(question.place):
        if lot.dried is not None:
            said = Sentence.of(_PACK, dried=lot.dried.day)
            yield _of_lot(lot, "bran_packed", max(lot.dried.day, question.today), question, said)
        elif lot.mixed is not None:
            days = closed_days(way)
            said = Sentence.of(_OPEN, mixed=lot.mixed.day, days=days)
            on = lot.mixed.day + dt.timedelta(days=days)
            yield _of_lot(lot, "bran_dried", max(on, question.today), question, said)


def _tests(question: Question) -> Iterator[Due]:
    """A lot of which nobody can be sure any more is tested once in the time that a test holds, by
    whoever made it or hands it out."""
    valid = dt.timedelta(days=rule("bran_tests.valid"))
    for found in in_store(question.place, question.site, question.today):
        lot = found.lot
        rest = max(_LEAST_KG, _REST * lot.in_kg)
        if not found.usable or lot.left_kg < rest or not (lot.made_here or lot.handed):
            continue
        tested = any(question.today - valid <= r.day for r in lot.tests)
        if not tested and found.today.chance_good < rule("ledger.bran.test_from"):
            said = Sentence.of(_TEST, percent=round(100 * found.today.chance_good))
            yield _of_lot(lot, "bran_tested", question.today, question, said)


def _next(question: Question) -> Iterator[Due]:
    """By what layers ask for; nothing where no stock is kept."""
    place, today = question.place, question.today
    story = ahead(place, question.site, today)
    kept = place.stores.bran_in or makes(place)
    if story is None or not kept or _ordered(question):
        return
    until = story.runs_out
    if until is None or story.start_by is None:
        return
    mixing = makes(place)
    yield Due(
        what="bran",
        on=story.start_by,
        urgency=question.urgency(story.start_by),
        why=_why(question, until, mixing),
        kind="bran_mixed" if mixing else "bran_ordered",
        body={"mass_kg": order_kg(place, question.site, today)},
        asks=("lot",) if mixing else (),
    )


def _why(question: Question, until: dt.date, mixing: bool) -> Sentence:
    left = good_kg(question.place, question.site, question.today)
    if not mixing:
        return Sentence.of(_BRAN, left_kg=left, until=until) if left else Sentence.of(_NONE)
    days = lead(way_of(question.place, question.site))
    return Sentence.of(_MIX, until=until, days=days) if left else Sentence.of(_OLD, days=days)


def _ordered(question: Question) -> bool:
    """Whether bran is on its way: ordered of late and not come since."""
    stores = question.place.stores
    habit = dt.timedelta(days=rule("ledger.due.habit"))
    came = stores.bran_in[-1].at if stores.bran_in else None
    return any(
        (came is None or o.at > came) and question.today - habit < o.day
        for o in stores.bran_ordered
    )
