"""Has somebody stopped? A silence weighed against the place's own rhythm.

Pauses that end by themselves, and how often people stop at all, are weighed in.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from scipy import special

from sourloam.ledger.work import rule
from sourloam.programme.drawn import Drawn, Floats, three
from sourloam.programme.facts import PlaceFacts, Three

_RECENT = 40  # method: gaps from which a rhythm is read
_YEAR = 365.25
_LEAST = 1e-12  # method: keeps a quotient finite


@dataclass(frozen=True)
class Silence:
    """A place's silence: days without an entry (its closed days left out), its usual gap, and the
    chance that it stopped. ``last`` is the last day with an entry; where there is none yet, the day
    on which it joined, and ``began`` is False."""

    last: dt.date
    days: int
    usual_days: float
    chance: Three
    began: bool = True


def silence(facts: PlaceFacts, today: dt.date, sample: Drawn) -> Silence | None:
    """None for a place that never wrote an entry and of which nobody knows when it joined."""
    last = facts.entry_days[-1] if facts.entry_days else facts.joined
    if last is None:
        return None
    began = bool(facts.entry_days)
    days = _between(last, today, facts)
    gaps = [_between(a, b, facts) for a, b in pairwise(facts.entry_days[-_RECENT - 1 :])]
    gaps = [max(gap, 1) for gap in gaps]
    if days < 1:
        usual = float(sorted(gaps)[len(gaps) // 2]) if gaps else rule("programme.silence.gap_days")
        return Silence(last, 0, usual, (0.0, 0.0, 0.0), began)
    middle, spread = _rhythm(gaps, sample)
    chance = _stopped(float(days), middle, spread, sample)
    return Silence(last, days, float(np.exp(three(middle)[1])), three(chance), began)


def _between(first: dt.date, second: dt.date, facts: PlaceFacts) -> int:
    """Days from one to the other on which the place was open."""
    return (second - first).days - sum(first < day <= second for day in facts.closed)


def _rhythm(gaps: list[int], sample: Drawn) -> tuple[Floats, Floats]:
    """Middle and spread of the logarithm of a gap, (members,): the usual one until the place's own
    gaps outweigh it."""
    p, weight = sample.p, rule("programme.silence.weight")
    own = np.log(np.asarray(gaps, dtype=np.float64)) if gaps else np.zeros(0)
    total = weight + len(own)
    middle = (weight * np.log(p["programme.silence.gap_days"]) + own.sum()) / total
    apart = ((own[None, :] - middle[:, None]) ** 2).sum(axis=1)
    spread = np.sqrt((weight * p["programme.silence.gap_spread"] ** 2 + apart) / total)
    return middle + spread / np.sqrt(total) * sample.z, spread


def _stopped(days: float, middle: Floats, spread: Floats, sample: Drawn) -> Floats:
    p, gap = sample.p, np.exp(middle)
    rhythm = _longer(days, middle, spread)
    pause = _longer(
        days, np.log(p["programme.silence.pause_days"]), p["programme.silence.pause_spread"]
    )
    pausing = np.minimum(p["programme.silence.pauses"] * gap / _YEAR, 0.5)
    going_on = (1 - pausing) * rhythm + pausing * pause
    stops = -np.expm1(-p["programme.silence.stop_rate"] * gap / _YEAR)
    return np.asarray(stops / np.maximum(stops + (1 - stops) * going_on, _LEAST))


def _longer(days: float, middle: Floats, spread: Floats) -> Floats:
    """Chance that a lognormal gap lasts so long at least."""
    return np.asarray(special.ndtr((middle - np.log(days)) / spread))
