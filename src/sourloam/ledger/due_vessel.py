"""What is due at one vessel: feed, drain, look, set aside, judge, bury, wash."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from itertools import pairwise
from statistics import median
from typing import Any

from sourloam.evidence import book
from sourloam.ledger.entries import body_json
from sourloam.ledger.foreseen import Foreseen, percent_of
from sourloam.ledger.sentences import Sentence, Value, gettext_noop
from sourloam.ledger.state import Record, Stage, Turn, VesselState
from sourloam.ledger.where import Spot, find_spot
from sourloam.ledger.work import Due, Question, What, rule

_RECENT = 10  # layers from which the rhythm is read

_FEED = gettext_noop("The last layer went in on %(last)s; you add one about every %(days)d days.")
_FEED_DAILY = gettext_noop("The last layer went in on %(last)s; you add one about every day.")
_FEED_FIRST = gettext_noop("It is empty and clean, and no other vessel is filling.")
_DRAIN = gettext_noop("About %(expected_ml)s has gathered under the grid by then.")
_DRAIN_RHYTHM = gettext_noop("It was last drained, or begun, on %(last)s.")
_LOOK = gettext_noop("Nobody has looked at it since %(last)s.")
LOOK_RISK = gettext_noop("In %(percent)d of 100 cases like this one it fails; look early.")
_LOOK_FAILED = gettext_noop("It was judged failed on %(last)s; decide what becomes of it.")
_LOOK_FAILED_LOT = gettext_noop(
    "It was judged failed on %(last)s, and its bran, of lot %(lot)s, was recalled; decide what "
    "becomes of it."
)
_FULL_MARK = gettext_noop("It was %(percent)d %% full on %(last)s.")
_FULL = gettext_noop("It is foreseen to be full on %(full)s.")
_LONG = gettext_noop("It has been filling since %(began)s; long fillings fail more often.")
_JUDGE = gettext_noop(
    "It is foreseen to be sour and steady by %(finished)s: smell, look, try a strip."
)
_JUDGE_REST = gettext_noop("It has rested since %(since)s: smell, look, try a strip.")
_WASH = gettext_noop("It was emptied on %(last)s.")
_BURY = gettext_noop(
    "Its ferment is ready; %(bed)s has room for it. "
    "Dig the trench %(depth_m)s deep, with %(cover_m)s of soil on top. From about "
    "%(plant)s plants can stand there, where the soil is warm enough for them."
)
_BURY_READY = gettext_noop(
    "Its ferment is ready. "
    "Dig the trench %(depth_m)s deep, with %(cover_m)s of soil on top. From about "
    "%(plant)s plants can stand there, where the soil is warm enough for them."
)
_BURY_HELD = gettext_noop(
    "Its ferment is ready, but the ground only opens about %(opens)s. "
    "Dig the trench %(depth_m)s deep, with %(cover_m)s of soil on top. From about "
    "%(plant)s plants can stand there, where the soil is warm enough for them."
)
_BURY_TUB = gettext_noop("Its ferment is ready for the soil tub.")


def stage_on(vessel: VesselState, foreseen: Foreseen | None, question: Question) -> Stage:
    """What the vessel is today with what is foreseen: rested enough is ready; ready while the
    ground takes nothing is held."""
    stage = vessel.stage
    if stage == "resting" and foreseen is not None and foreseen.finished_on is not None:
        stage = "ready" if foreseen.finished_on <= question.today else "resting"
    if stage == "ready" and question.ground is not None:
        return "ready" if question.ground.is_open(question.today) else "held"
    return stage


def due_at(vessel: VesselState, question: Question) -> Iterator[Due]:
    """Everything due at one vessel, in no order; far days included."""
    if vessel.retired is not None:
        return
    foreseen = question.forecasts.get(vessel.id)
    turn = vessel.turn
    if turn is None:
        if vessel.dirty:
            yield _wash(vessel, question)
        return
    if vessel.stage == "failed":
        yield _look_failed(vessel, turn, question)
        return
    yield from _drain(vessel, turn, foreseen, question)
    yield from _look(vessel, turn, foreseen, question)
    if turn.set_aside is None:
        aside = _set_aside(vessel, turn, foreseen, question)
        if aside is not None:
            yield aside
        feed = _feed(vessel, turn, question)
        if feed is not None and (aside is None or feed.on < aside.on):
            yield feed
        return
    yield from _judge(vessel, turn, foreseen, question)
    yield from _bury(vessel, turn, foreseen, question)


def begin(vessels: tuple[VesselState, ...], question: Question) -> Iterator[Due]:
    """Where nothing is filling, the first vessel that could be filled."""
    used = [v for v in vessels if v.retired is None]
    if any(v.stage == "filling" for v in used):
        return
    free = [v for v in used if v.stage == "empty" and not v.dirty and v.added is not None]
    if free:
        on = question.on_open_day(question.today)
        body = {"vessel": free[0].id}
        yield _due(
            "feed", free[0], on, _FEED_FIRST, question, kind="fed", body=body, asks=("amount",)
        )


def _due(
    what: What,
    vessel: VesselState,
    on: dt.date,
    msgid: str,
    question: Question,
    data: Mapping[str, Value] | None = None,
    **more: Any,
) -> Due:
    """One piece of work at a vessel."""
    return Due(
        what=what,
        on=on,
        urgency=question.urgency(on),
        why=Sentence.of(msgid, **(data or {})),
        thing=("vessel", vessel.id),
        name=vessel.name,
        **more,
    )


def _feed(vessel: VesselState, turn: Turn, question: Question) -> Due | None:
    """By the person's own rhythm. A missed day does no harm, so it is never overdue."""
    last = turn.last_fed
    if last is None:
        return None
    days = sorted({layer.day for layer in turn.layers[-_RECENT:]})
    gaps = [(b - a).days for a, b in pairwise(days)]
    gap = max(1, round(median(gaps))) if gaps else 1
    on = question.on_open_day(max(last.day + dt.timedelta(days=gap), question.today))
    told = body_json(last.body)
    body = {k: told[k] for k in ("amount", "kinds", "bran_g", "lot", "pieces") if k in told}
    recalled = _is_recalled(body.get("lot"), question)
    if recalled:
        del body["lot"]
    msgid, data = (_FEED_DAILY, {}) if gap == 1 else (_FEED, {"days": gap})
    return _due(
        "feed", vessel, on, msgid, question, {"last": last.day, **data}, kind="fed",
        body={"vessel": vessel.id, **body}, asks=("lot",) if recalled else (),
    )  # fmt: skip


def _is_recalled(lot: str | None, question: Question) -> bool:
    """Whether last time's bran must not be given again."""
    return any(one.id == lot and one.recalled is not None for one in question.place.lots)


def _drain(
    vessel: VesselState, turn: Turn, foreseen: Foreseen | None, question: Question
) -> Iterator[Due]:
    last: Record[Any] = turn.drains[-1] if turn.drains else turn.began
    body: dict[str, Any] = {"vessel": vessel.id}
    if turn.drains:
        body["use"] = turn.drains[-1].body.use
    if foreseen is not None:
        on, expected = foreseen.next_drain_on, foreseen.next_drain_ml
        if on is None or expected is None or expected < rule("planning.drain.worth"):
            return
        body["volume_ml"] = round(expected, -1)
        yield _due(
            "drain", vessel, on, _DRAIN, question, {"expected_ml": float(round(expected, -1))},
            kind="drained", body=body, expected_ml=expected,
        )  # fmt: skip
        return
    if turn.verdict != "sound" and not _rested(turn, question):
        every = dt.timedelta(days=round(rule("practice.drain")))
        yield _due(
            "drain", vessel, last.day + every, _DRAIN_RHYTHM, question, {"last": last.day},
            kind="drained", body=body, asks=("volume_ml",),
        )  # fmt: skip


def _rested(turn: Turn, question: Question) -> bool:
    """Set aside for longer than the usual rest: little liquid is left to come."""
    if turn.set_aside is None:
        return False
    return question.today > turn.set_aside.day + dt.timedelta(days=_usual_rest())


def _usual_rest() -> int:
    return round(book()["practice.rest"].high)


def _look(
    vessel: VesselState, turn: Turn, foreseen: Foreseen | None, question: Question
) -> Iterator[Due]:
    seen = [*turn.looks, *turn.phs, *turn.photos, *turn.judgements, *turn.marks]
    looked = max(r.day for r in (*seen, turn.began))
    more: dict[str, Any] = {"kind": "looked", "body": {"vessel": vessel.id, "signs": []}}
    chance = None if foreseen is None else foreseen.chance_of_failing
    if chance is not None and chance >= rule("ledger.due.chance") and looked < question.today:
        percent = {"percent": percent_of(chance)}
        yield _due(
            "check", vessel, question.today, LOOK_RISK, question, percent, asks=("signs",), **more
        )
        return
    last = max((looked, *(layer.day for layer in turn.layers)))
    on = last + dt.timedelta(days=round(rule("ledger.due.check")))
    yield _due("check", vessel, on, _LOOK, question, {"last": last}, **more)


def _look_failed(vessel: VesselState, turn: Turn, question: Question) -> Due:
    judged = turn.judgements[-1].day
    lots = (layer.body.lot for layer in reversed(turn.layers))
    lot = next((one for one in lots if _is_recalled(one, question)), None)
    msgid, data = (_LOOK_FAILED, {}) if lot is None else (_LOOK_FAILED_LOT, {"lot": lot})
    return _due(
        "check", vessel, judged, msgid, question, {"last": judged, **data}, kind="emptied",
        body={"vessel": vessel.id}, asks=("fate",),
    )  # fmt: skip


def _set_aside(
    vessel: VesselState, turn: Turn, foreseen: Foreseen | None, question: Question
) -> Due | None:
    """The earliest of: seen to be full, foreseen to be full, filling for too long."""
    found: list[tuple[dt.date, str, dict[str, Value]]] = []
    full = [m for m in turn.marks[-1:] if m.body.fraction >= rule("ledger.due.full_mark")]
    for mark in full:
        percent = round(100 * mark.body.fraction)
        found.append((mark.day, _FULL_MARK, {"last": mark.day, "percent": percent}))
    if foreseen is not None and foreseen.full_on is not None:
        found.append((foreseen.full_on, _FULL, {"full": foreseen.full_on}))
    began = turn.began.day
    late = began + dt.timedelta(days=round(rule("planning.longest_fill")))
    found.append((late, _LONG, {"began": began}))
    on, msgid, data = min(found, key=lambda f: f[0])
    body = {"vessel": vessel.id}
    return _due("set_aside", vessel, on, msgid, question, data, kind="set_aside", body=body)


def _judge(
    vessel: VesselState, turn: Turn, foreseen: Foreseen | None, question: Question
) -> Iterator[Due]:
    if turn.verdict is not None or turn.set_aside is None:
        return
    more: dict[str, Any] = {"kind": "judged", "body": {"vessel": vessel.id}, "asks": ("verdict",)}
    if foreseen is None:
        since = turn.set_aside.day
        on = since + dt.timedelta(days=_usual_rest())
        yield _due("check", vessel, on, _JUDGE_REST, question, {"since": since}, **more)
    elif foreseen.finished_on is not None:
        on = foreseen.finished_on
        yield _due("check", vessel, on, _JUDGE, question, {"finished": on}, **more)


def _bury(
    vessel: VesselState, turn: Turn, foreseen: Foreseen | None, question: Question
) -> Iterator[Due]:
    ready = _ready_on(turn, foreseen)
    if ready is None or question.ground is None or question.site is None:
        return
    # A ferment keeps: burying it has no day by which it must be done.
    ready = max(ready, question.today)
    on = question.ground.next_open(ready)
    if question.site.ground.none:
        body: dict[str, Any] = {"vessel": vessel.id, "fate": "tub"}
        yield _due("bury", vessel, ready, _BURY_TUB, question, kind="emptied", body=body)
    elif on is not None:
        held = on > ready
        spot = find_spot(question, turn, on)
        yield _burial(vessel, on, held, spot, question)


def _burial(vessel: VesselState, on: dt.date, held: bool, spot: Spot, question: Question) -> Due:
    msgid, data = _BURY_READY, _trench(on, spot, question)
    if held:
        msgid, data = _BURY_HELD, {**data, "opens": on}
    elif spot.bed_name is not None:
        msgid, data = _BURY, {**data, "bed": spot.bed_name}
    return _due(
        "bury", vessel, on, msgid, question, data, kind="buried",
        body={"vessel": vessel.id, **spot.body}, asks=() if spot.bed_name else ("bed",),
    )  # fmt: skip


def _trench(on: dt.date, spot: Spot, question: Question) -> dict[str, Value]:
    """How deep, how much soil on top, and from when the spot may be planted."""
    assert question.ground is not None  # nothing is buried without ground that is described
    assert question.site is not None
    wait = question.ground.wait_days(on, question.site.ground.wait_days)
    measures = {key: spot.body[key] for key in ("depth_m", "cover_m")}
    return {**measures, "plant": on + dt.timedelta(days=wait)}


def _ready_on(turn: Turn, foreseen: Foreseen | None) -> dt.date | None:
    """The day from which the ferment may be buried, if it is known."""
    if turn.verdict == "sound":
        return turn.judgements[-1].day
    return None if foreseen is None else foreseen.finished_on


def _wash(vessel: VesselState, question: Question) -> Due:
    last = vessel.turns[-1]
    emptied = last.emptied or last.ended
    assert emptied is not None  # a dirty vessel was emptied
    body = {"vessel": vessel.id}
    data: dict[str, Value] = {"last": emptied.day}
    return _due("wash", vessel, emptied.day, _WASH, question, data, kind="washed", body=body)
