"""Bran to make this week, and beds that are too small for what is coming."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy import special

from sourloam.ledger.work import rule
from sourloam.programme.drawn import MEMBERS, Z90, Drawn, three
from sourloam.programme.facts import PlaceFacts, Three

_SEED = 2


@dataclass(frozen=True)
class BranNeed:
    """Bran over the coming ``days``, kg: what all places ask for, what lies there and at the hub,
    what is to be made; ``lacking`` places that keep a stock run short within that time, the
    soonest first, and ``take_kg`` is what they lack."""

    days: int
    asked_kg: Three
    stock_kg: float
    make_kg: Three
    lacking: tuple[tuple[PlaceFacts, int], ...]
    unknown: int
    take_kg: Three = (0.0, 0.0, 0.0)


def bran_need(places: Sequence[PlaceFacts], hub_kg: float, sample: Drawn) -> BranNeed:
    """A place's stock serves that place alone; the hub's serves all."""
    days = int(rule("programme.bran.cover"))
    known = [one for one in places if one.bran is not None]
    if not known:
        return BranNeed(days, (0.0,) * 3, hub_kg, (0.0,) * 3, (), len(places))
    daily = np.array([one.bran.daily_kg for one in known if one.bran])
    left = np.array([max(one.bran.left_kg, 0.0) for one in known if one.bran])
    middle = np.maximum(daily[:, 1], 1e-9)  # method: a logarithm needs more than nothing
    spread = np.log(np.maximum(daily[:, 2], middle) / middle) / Z90
    draws = np.random.default_rng(_SEED).standard_normal((len(known), MEMBERS))
    shared = 1 + sample.p["programme.bran.shared"] * sample.z
    asked = days * middle[:, None] * np.exp(spread[:, None] * draws) * np.maximum(shared, 0.0)
    short = np.maximum(asked - left[:, None], 0.0)
    lacks = np.array([short_of_bran_kg(one) > 0 for one in known])
    lacking = [(one, int(left[i] / middle[i])) for i, one in enumerate(known) if lacks[i]]
    return BranNeed(
        days,
        three(asked.sum(axis=0)),
        float(left.sum()) + hub_kg,
        three(np.maximum(short.sum(axis=0) - hub_kg, 0.0)),
        tuple(sorted(lacking, key=lambda row: (row[1], row[0].name))),
        len(places) - len(known),
        three(short[lacks].sum(axis=0)),
    )


def short_of_bran_kg(one: PlaceFacts) -> float:
    """What a place that keeps a stock will use, in the time that is looked ahead, beyond it."""
    if one.bran is None or not one.bran.keeps_stock:
        return 0.0
    asked = rule("programme.bran.cover") * one.bran.daily_kg[1]
    return float(max(asked - max(one.bran.left_kg, 0.0), 0.0))


def chance_bran_out(one: PlaceFacts, days: int) -> float:
    """Chance that a place's bran is used up within so many days."""
    if one.bran is None or not one.bran.keeps_stock or one.bran.daily_kg[1] <= 0:
        return 0.0
    _low, middle, high = one.bran.daily_kg
    if one.bran.left_kg <= 0:
        return 1.0
    spread = max(np.log(max(high, middle) / middle) / Z90, 1e-3)  # method: never quite sure
    return float(special.ndtr(np.log(middle * days / one.bran.left_kg) / spread))


@dataclass(frozen=True)
class BedShort:
    """A place whose finished ferment will not fit its beds: kg to bury within the time, area that
    lacks, m²; ``held`` where the ground is shut in that time."""

    place: PlaceFacts
    due_kg: float
    lacking_m2: Three
    held: bool


def beds_short(places: Sequence[PlaceFacts], today: dt.date) -> list[BedShort]:
    """Places where beds are too small for the ferment of the coming weeks, the most first."""
    due = ((one, due_kg(one, today)) for one in places)
    short = [_short(one, kg, _last(today)) for one, kg in due if kg > 0]
    found = [one for one in short if one is not None]
    return sorted(found, key=lambda row: (-row.lacking_m2[1], row.place.name))


def due_kg(one: PlaceFacts, today: dt.date) -> float:
    """What a place will have to bury in the time that is looked ahead, kg; nothing without a bed of
    its own: it is handed on."""
    if one.ground is None or not one.ground.own:
        return 0.0
    last = _last(today)
    full = (v for v in one.vessels if v.full)
    return sum(v.kg for v in full if v.stage != "resting" or (v.finished_on or last) <= last)


def _last(today: dt.date) -> dt.date:
    return today + dt.timedelta(days=int(rule("programme.beds.ahead")))


def _short(one: PlaceFacts, due_kg: float, last: dt.date) -> BedShort | None:
    ground = one.ground
    assert ground is not None
    held = ground.opens is None or ground.opens > last
    low, middle, high = (0.0 if held else ground.free_m * load for load in ground.load_kg_m)
    if middle >= due_kg:
        return None
    lacks = [
        max(due_kg - fits, 0.0) / load * ground.spacing_m
        for fits, load in ((high, ground.load_kg_m[2]), (middle, ground.load_kg_m[1]),
                           (low, ground.load_kg_m[0]))
    ]  # fmt: skip
    return BedShort(one, due_kg, (lacks[0], lacks[1], lacks[2]), held)
