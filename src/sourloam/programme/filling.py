"""When vessels will be full, over many places: the chance by day, and how many to expect."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from scipy import special

from sourloam.programme.drawn import Z90
from sourloam.programme.facts import Days, PlaceFacts, Three, VesselFacts

_BEYOND = 90.0  # method: days taken for "beyond the time foreseen"
_APART = 0.25  # method: least days between two points of a foreseen day


@dataclass(frozen=True)
class FullBy:
    """Vessels that will be full by a day, with those that stand full today."""

    day: dt.date
    vessels: Three


def chance_full(full_on: Days | None, today: dt.date, days: int) -> float:
    """Chance that a vessel is full within so many days, from its 10, 50 and 90 % points."""
    if full_on is None or all(day is None for day in full_on):
        return 0.0
    at = [_BEYOND if day is None else float((day - today).days) for day in full_on]
    knots = [at[0], max(at[1], at[0] + _APART)]
    knots.append(max(at[2], knots[1] + _APART))
    where = days + 0.5  # method: a day counts to its end
    rise = Z90 / (knots[1] - knots[0]) if where < knots[1] else Z90 / (knots[2] - knots[1])
    return float(special.ndtr((where - knots[1]) * rise))


def full_by(places: Iterable[PlaceFacts], today: dt.date, days: Iterable[int]) -> list[FullBy]:
    """How many vessels are full by each day: the mean, and 10 and 90 % points of the number, each
    vessel by itself."""
    facts = list(places)
    now = sum(len(one.standing_full) for one in facts)
    filling = [v for one in facts for v in one.filling]
    found = []
    for ahead in days:
        chances = np.array([chance_full(v.full_on, today, ahead) for v in filling])
        mean, spread = float(chances.sum()), float(np.sqrt((chances * (1 - chances)).sum()))
        low, high = max(mean - Z90 * spread, 0.0), min(mean + Z90 * spread, float(len(filling)))
        day = today + dt.timedelta(days=ahead)
        found.append(FullBy(day, (now + low, now + mean, now + high)))
    return found


def next_full(
    places: Iterable[PlaceFacts], today: dt.date, days: int, least: float
) -> list[tuple[PlaceFacts, VesselFacts, float]]:
    """Vessels still filling whose chance of being full within so many days is at least that, the
    likeliest first."""
    found = [
        (one, vessel, chance)
        for one in places
        for vessel in one.filling
        if (chance := chance_full(vessel.full_on, today, days)) >= least
    ]
    return sorted(found, key=lambda row: (-row[2], row[0].name, row[1].name))
