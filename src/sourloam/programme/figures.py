"""Figures that those who pay for a programme ask for, each with its range and how it is counted."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from sourloam.evidence import book
from sourloam.programme.drawn import MEMBERS, Drawn, three
from sourloam.programme.facts import PlaceFacts, Three
from sourloam.programme.silence import silence

_SEED = 3
_WAYS: Mapping[str, str] = {
    "weighed": "forecast.amount.weighed",
    "litre": "forecast.amount.by_eye",
    "bowl": "forecast.amount.counted",
}


@dataclass(frozen=True)
class Deed:
    """One line of the programme's own log: what, when, and its numbers."""

    kind: str
    day: dt.date
    numbers: Mapping[str, float]


@dataclass(frozen=True)
class Figures:
    """All places together. ``kept_kg`` scraps that went into vessels, as logged there;
    ``fetched_kg`` as weighed on rounds, its contamination taken off; ``active`` places still at
    it, ``share_elsewhere`` what was left in the one city where somebody went and asked; ``sound``
    and ``failed`` finished vessels, ``emptied`` those whose day is known, ``vessels`` those that
    stand at places; the rest counts the programme's own log."""

    places: int
    kept_kg: Three
    weighed_share: float
    by_month: tuple[tuple[dt.date, float], ...]
    fetched_kg: float
    contamination_kg: float
    active: Three
    share_elsewhere: float
    vessels: int
    emptied: int | None
    sound: int
    failed: int
    buried_kg: float
    liquid_l: float
    trainings: int
    trained: int
    questions: int
    visits: int
    rounds: int
    complaints: int
    hours: float
    bran_out_kg: float


def figures(
    places: Sequence[PlaceFacts], deeds: Sequence[Deed], today: dt.date, sample: Drawn
) -> Figures:
    """What all places and the programme's log come to."""
    months: dict[str, float] = {}
    for one in places:
        for month, kg in one.kg_by_month.items():
            months[month] = months.get(month, 0.0) + kg
    total = sum(one.kg for one in places)
    weighed = sum(one.kg_by_way.get("weighed", 0.0) for one in places)

    def summed(kind: str, key: str) -> float:
        return float(sum(d.numbers.get(key, 0.0) for d in deeds if d.kind == kind))

    def counted(kind: str) -> int:
        return sum(d.kind == kind for d in deeds)

    stray = summed("fetched", "contamination_kg")
    return Figures(
        places=len(places),
        kept_kg=_kept(places, sample),
        weighed_share=weighed / total if total else 0.0,
        by_month=tuple((dt.date.fromisoformat(m), kg) for m, kg in sorted(months.items())),
        fetched_kg=summed("fetched", "kg") - stray,
        contamination_kg=stray,
        active=_active(places, today, sample),
        share_elsewhere=book()["programme.active.share"].low,
        vessels=sum(len(one.vessels) for one in places),
        emptied=sum(len(one.ended) for one in places),
        sound=sum(one.sound for one in places),
        failed=sum(one.failed for one in places),
        buried_kg=sum(one.buried_kg for one in places),
        liquid_l=sum(one.liquid_l for one in places),
        trainings=counted("training"),
        trained=round(summed("training", "people")),
        questions=counted("question"),
        visits=counted("visit"),
        rounds=counted("round"),
        complaints=counted("complaint"),
        bran_out_kg=summed("bran", "kg"),
        hours=sum(summed(kind, "hours") for kind in ("training", "visit", "round", "hours")),
    )


def _kept(places: Sequence[PlaceFacts], sample: Drawn) -> Three:
    """A place's own bowl or eye errs the same way all year; places err each in its own way."""
    draws = np.random.default_rng(_SEED).standard_normal((len(places), MEMBERS))
    total = np.zeros(MEMBERS)
    for one, z in zip(places, draws, strict=True):
        for way, kg in one.kg_by_way.items():
            total += kg * np.exp(sample.p[_WAYS.get(way, _WAYS["bowl"])] * z)
    return three(total)


def _active(places: Sequence[PlaceFacts], today: dt.date, sample: Drawn) -> Three:
    """Places still at it; one that never began counts as what its silence since joining says."""
    found = [quiet for one in places if (quiet := silence(one, today, sample)) is not None]
    on = [1 - np.array(quiet.chance) for quiet in found]
    if not on:
        return 0.0, 0.0, 0.0
    high, middle, low = np.sum(on, axis=0)
    return float(low), float(middle), float(high)
