"""From a place's folded log and its forecasts to the facts that a coordinator's view needs."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from sourloam.evidence import book
from sourloam.ledger import PlaceState
from sourloam.ledger.amounts import Mix, contents_kg, layer_kg, usual_mix
from sourloam.ledger.due_vessel import stage_on
from sourloam.ledger.lot_demand import demand
from sourloam.ledger.lot_standing import in_store, makes, warnings_of
from sourloam.ledger.state import Record, Turn, VesselState
from sourloam.ledger.where import free_trench_m
from sourloam.ledger.work import Question, rule
from sourloam.programme.facts import (
    BranFacts,
    Days,
    Ended,
    GroundFacts,
    LotFacts,
    LotWarning,
    PlaceFacts,
    Three,
    VesselFacts,
)
from sourloam.site import Site, spans_within

_KEPT_DAYS = 60  # method: so many days with entries show a rhythm
_MOST_CLOSED = 120  # method: days back for which days of rest are known
_WEEK = 7
_SENSED = ("warmth_read", "weighed")
_STAYING = ("buried", "tub", "compost")  # what becomes of contents that stay at the place
Summary = Mapping[str, Any]


@dataclass(frozen=True)
class _Foreseen:
    """As much of a forecast as the stage of a vessel asks for."""

    finished_on: dt.date | None
    full_on: dt.date | None = None
    next_drain_on: dt.date | None = None
    next_drain_ml: float | None = None
    chance_of_failing: float | None = None


@dataclass(frozen=True)
class _Place:
    state: PlaceState
    site: Site | None
    foreseen: Mapping[str, Summary]
    today: dt.date

    @cached_property
    def question(self) -> Question:
        ends = {v: _Foreseen(_days(s, "finished_on")[1]) for v, s in self.foreseen.items()}
        return Question(self.state, self.site, ends, self.today, _WEEK)

    @property
    def mix(self) -> Mix:
        return usual_mix(self.site)


def facts_of(
    place: tuple[str, str], state: PlaceState, foreseen: Mapping[str, Summary], today: dt.date
) -> PlaceFacts:
    """Facts of a place (id and name) today; ``foreseen`` are the summaries of its forecasts."""
    site = state.site()
    asked = _Place(state, site, foreseen, today)
    days = sorted({r.day for v in state.vessels for r in v.log if _by_hand(r)} | _other_days(state))
    turns = [turn for v in state.vessels for turn in v.turns]
    ended = [turn for turn in turns if turn.ended is not None]
    failed = sum(turn.verdict == "failed" or turn.fate == "thrown" for turn in ended)
    by_way, by_month = _kilograms(asked)
    return PlaceFacts(
        id=place[0],
        name=place[1],
        kind="other" if site is None else site.place.kind,
        on=today,
        vessels=tuple(_vessel(v, asked) for v in state.vessels if v.added and not v.retired),
        entry_days=tuple(day for day in days if day <= today)[-_KEPT_DAYS:],
        closed=_closed(site, today),
        bran=_bran(asked),
        ground=_ground(asked),
        kg_by_way=by_way,
        kg_by_month=by_month,
        sound=len(ended) - failed,
        failed=failed,
        buried_kg=sum(_inside(t, asked) for t in ended if t.fate == "buried"),
        liquid_l=sum(turn.liquid_ml for turn in turns) / 1000,
        warns=_warns(asked),
        ended=tuple(sorted(map(_ended, ended), key=lambda one: (one.on, one.full))),
    )


def _other_days(state: PlaceState) -> set[dt.date]:
    """Days on which somebody wrote of beds or of bran."""
    stores = state.stores
    records = (*stores.bran_in, *stores.bran_log, *stores.warmths, *stores.notes)
    return {r.day for r in records if _by_hand(r)} | {r.day for bed in state.beds for r in bed.log}


def _by_hand(record: Record[Any]) -> bool:
    """Not from a thermometer or a scale that posts by itself: a token's entries bear its name
    before its maker's."""
    return record.kind not in _SENSED or " (" not in (record.by or "")


def _ended(turn: Turn) -> Ended:
    assert turn.ended is not None
    began, full = turn.began.day, turn.set_aside or turn.last_fed or turn.began
    return Ended(began, full.day, turn.ended.day, turn.fate not in _STAYING)


def _closed(site: Site | None, today: dt.date) -> tuple[dt.date, ...]:
    if site is None:
        return ()
    first = today - dt.timedelta(days=_MOST_CLOSED)
    spans = [
        span for closed in site.closed if not closed.share
        for span in spans_within(closed, first, today)
    ]  # fmt: skip
    days = (first + dt.timedelta(days=ahead) for ahead in range(_MOST_CLOSED + 1))
    return tuple(day for day in days if any(a <= day <= b for a, b in spans))


def _vessel(vessel: VesselState, asked: _Place) -> VesselFacts:
    said = asked.foreseen.get(vessel.id, {})
    end = asked.question.forecasts.get(vessel.id)
    turn = vessel.turn
    stage = stage_on(vessel, end, asked.question)
    since = None
    if turn is not None:
        ends = turn.judgements[-1:] if stage == "failed" else ()
        since = (*ends, turn.set_aside or turn.began)[0].day
    return VesselFacts(
        id=vessel.id,
        name=vessel.name,
        stage=stage,
        kg=0.0 if turn is None else _inside(turn, asked),
        since=since,
        full_on=_days(said, "full_on") if stage == "filling" and said else None,
        finished_on=_days(said, "finished_on")[1],
        failing=_failing(said) if stage in ("filling", "resting") else None,
        drain_by=_days(said, "next_drain_on")[2],
        dirty=vessel.dirty,
        began=None if turn is None else turn.began.day,
        touched=max((r.day for r in vessel.log if _by_hand(r)), default=None),
    )


def _inside(turn: Turn, asked: _Place) -> float:
    return contents_kg(turn, asked.state, asked.mix)


def _days(said: Summary, key: str) -> Days:
    found = said.get(key) or {}
    low, middle, high = (
        dt.date.fromisoformat(found[k][:10]) if found.get(k) else None
        for k in ("low", "median", "high")
    )
    return low, middle, high


def _failing(said: Summary) -> Three | None:
    found = said.get("chance_of_failing_range")
    if not found:
        return None
    return float(found["low"]), float(found["median"]), float(found["high"])


def _kilograms(asked: _Place) -> tuple[dict[str, float], dict[str, float]]:
    by_way: dict[str, float] = {}
    by_month: dict[str, float] = {}
    for layer in asked.state.each_layer():
        kg = layer_kg(layer.body, asked.state, asked.mix) or 0.0
        amount = layer.body.amount
        way = "weighed" if amount.mass_kg is not None else "litre" if amount.volume_l else "bowl"
        month = layer.day.replace(day=1).isoformat()
        by_way[way] = by_way.get(way, 0.0) + kg
        by_month[month] = by_month.get(month, 0.0) + kg
    return ({k: round(v, 3) for k, v in by_way.items()},
            {k: round(v, 3) for k, v in by_month.items()})  # fmt: skip


def _bran(asked: _Place) -> BranFacts | None:
    found = demand(asked.state, asked.site, asked.today)
    if found is None:
        return None
    days = int(rule("programme.bran.cover"))
    daily = found.over(days) / days
    stores = asked.state.stores
    keeps = bool(stores.bran_in) or makes(asked.state)
    lots = in_store(asked.state, asked.site, asked.today)
    usable = tuple(LotFacts(s.lot.id, s.lot.left_kg, s.passed) for s in lots if s.usable)
    left = max(sum(lot.kg for lot in usable), 0.0)
    came = max((r.day for r in stores.bran_in), default=None)
    three = (daily * found.low, daily, daily * found.high)
    return BranFacts(left, three, keeps, came, lots=usable)


def _warns(asked: _Place) -> tuple[LotWarning, ...]:
    found = warnings_of(asked.state, asked.site, "", asked.today)
    return tuple(LotWarning(one.lot, one.day, one.recalled) for one in found)


def _ground(asked: _Place) -> GroundFacts | None:
    site = asked.site
    if site is None or asked.question.ground is None:
        return None
    row = book()[f"ground.load.{site.ground.texture or 'loam'}"]
    spacing = site.ground.trench_spacing_m or rule("ground.trench.spacing")
    return GroundFacts(
        free_m=free_trench_m(asked.question, asked.today),
        load_kg_m=(row.low, row.value, row.high),
        spacing_m=spacing,
        opens=asked.question.ground.next_open(asked.today),
        own=bool(asked.state.beds),
    )
