"""Vessels taking turns: filling, resting, ready, held, buried, washed, filled again.

A day is one step. In each, for one member and in this order:

1. resting vessels whose rest is over turn ready (or failed, where the newest layer never turns
   sour: these are given up after the longest rest and then emptied like the others);
2. on a burial day, if the ground takes it, every ready and failed vessel is emptied; washed,
   it can be filled again ``wash_days`` later;
3. what waited in the caddy since yesterday, then the day's scraps, go into the vessel that is
   filling, then into the next empty one; what finds no room waits one day in the caddy, and
   what has waited there already is refused.

All kinds of vessel may be mixed; empty ones are taken in the order given.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sourloam.numerics.compiling import compiled

EMPTY, FILLING, RESTING, READY, HELD, FAILED = range(6)
STATES = ("empty", "filling", "resting", "ready", "held", "failed")

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Ints = NDArray[np.int64]


@dataclass(frozen=True)
class Rhythm:
    """The habits of the people: days between burials, days to wash, longest rest."""

    burial_interval_days: int
    burial_phase_days: int
    wash_days: int
    longest_rest_days: int


@dataclass(frozen=True)
class Turns:
    """What one rotation needs; members on the leading axis, days on the last.

    ``capacity_kg`` (kinds, members, days): scraps that a vessel of a kind takes when begun on a
    day. ``rest_days`` (members, days): rest of a vessel closed on a day, inf if it fails.
    ``open_ground`` (members, days): the ground takes a ferment on that day.
    """

    scraps_kg: Floats
    capacity_kg: Floats
    rest_days: Floats
    open_ground: Bools

    def __post_init__(self) -> None:
        shape = self.scraps_kg.shape
        for name in ("rest_days", "open_ground"):
            if getattr(self, name).shape != shape:
                raise ValueError(f"{name}: shape {getattr(self, name).shape}, expected {shape}")
        if self.capacity_kg.shape[1:] != shape:
            raise ValueError(f"capacity_kg: shape {self.capacity_kg.shape}, expected (n, *{shape})")
        if not (self.capacity_kg > 0).all():
            raise ValueError("capacity_kg: every vessel must take something")
        if (self.scraps_kg < 0).any():
            raise ValueError("scraps_kg: must not be negative")


@dataclass(frozen=True)
class Turned:
    """How it went, per member and day."""

    refused_kg: Floats
    waiting_kg: Floats
    buried_kg: Floats
    buried_vessels: Ints
    inside_kg: Floats
    state: NDArray[np.int8]


def rotate(
    turns: Turns, kinds: tuple[int, ...], rhythm: Rhythm, keep_states: bool = True
) -> Turned:
    """Run the vessels through the days.

    ``kinds`` names the kind (first axis of ``capacity_kg``) of each vessel. ``state`` comes
    back as (members, vessels, days) of the codes in ``STATES``; the rest as (members, days),
    ``inside_kg`` and ``waiting_kg`` at the end of each day. Without ``keep_states`` the states
    have no days, which is faster.
    """
    members, days = turns.scraps_kg.shape
    out = Turned(
        refused_kg=np.zeros((members, days)),
        waiting_kg=np.zeros((members, days)),
        buried_kg=np.zeros((members, days)),
        buried_vessels=np.zeros((members, days), dtype=np.int64),
        inside_kg=np.zeros((members, days)),
        state=np.zeros((members, len(kinds), days if keep_states else 0), dtype=np.int8),
    )
    habits = np.array(
        [
            rhythm.burial_interval_days,
            rhythm.burial_phase_days,
            rhythm.wash_days,
            rhythm.longest_rest_days,
        ],
        dtype=np.int64,
    )
    for m in range(members):
        _one_member(
            turns.scraps_kg[m],
            np.ascontiguousarray(turns.capacity_kg[:, m]),
            turns.rest_days[m],
            turns.open_ground[m],
            np.array(kinds, dtype=np.int64),
            habits,
            (
                out.refused_kg[m],
                out.waiting_kg[m],
                out.buried_kg[m],
                out.buried_vessels[m],
                out.inside_kg[m],
                out.state[m],
            ),
        )
    return out


@compiled()  # type: ignore[untyped-decorator, unused-ignore]
def _end_rests(state: Ints, free_day: Ints, failing: Bools, open_today: bool, day: int) -> None:
    """Rest over -> ready, failed, or held while the ground is closed."""
    for v in range(len(state)):
        if state[v] == RESTING and day >= free_day[v]:
            state[v] = FAILED if failing[v] else READY
        if state[v] in (READY, HELD):
            state[v] = READY if open_today else HELD


@compiled()  # type: ignore[untyped-decorator, unused-ignore]
def _first_empty(state: Ints, free_day: Ints, day: int) -> int:
    """First vessel that is empty and washed, or -1."""
    for v in range(len(state)):
        if state[v] == EMPTY and day >= free_day[v]:
            return v
    return -1


@compiled()  # type: ignore[untyped-decorator, unused-ignore]
def _close(
    v: int, state: Ints, free_day: Ints, failing: Bools, rest: float, timing: tuple[int, int]
) -> None:
    """A full vessel begins its rest; one that never sours is given up after the longest rest."""
    day, longest = timing
    state[v] = RESTING
    failing[v] = not np.isfinite(rest)
    free_day[v] = day + (longest if failing[v] else int(np.ceil(rest)))


@compiled()  # type: ignore[untyped-decorator, unused-ignore]
def _one_member(
    scraps: Floats,
    capacity: Floats,
    rest: Floats,
    open_ground: Bools,
    kinds: Ints,
    habits: Ints,
    out: tuple[Floats, Floats, Floats, Ints, Floats, NDArray[np.int8]],
) -> None:
    refused, waiting, buried, buried_vessels, inside, states = out
    interval, phase, wash, longest = habits
    number = len(kinds)
    state = np.zeros(number, dtype=np.int64)
    free_day = np.zeros(number, dtype=np.int64)
    failing = np.zeros(number, dtype=np.bool_)
    held_kg = np.zeros(number)
    room = np.zeros(number)
    filling = -1
    caddy = 0.0
    for day in range(len(scraps)):
        _end_rests(state, free_day, failing, open_ground[day], day)
        if open_ground[day] and (day + phase) % interval == 0:
            for v in range(number):
                if state[v] == READY or state[v] == FAILED:
                    buried[day] += held_kg[v]
                    buried_vessels[day] += 1
                    held_kg[v] = 0.0
                    state[v] = EMPTY
                    free_day[v] = day + wash
        left = scraps[day] + caddy
        while left > 0.0:
            if filling < 0:
                filling = _first_empty(state, free_day, day)
                if filling < 0:
                    break
                state[filling] = FILLING
                room[filling] = capacity[kinds[filling], day]
            taken = min(left, room[filling])
            held_kg[filling] += taken
            room[filling] -= taken
            left = left - taken if taken < left else 0.0
            if room[filling] <= 0.0:
                _close(filling, state, free_day, failing, rest[day], (day, longest))
                filling = -1
        refused[day] = max(0.0, left - scraps[day])
        caddy = left - refused[day]
        waiting[day] = caddy
        inside[day] = held_kg.sum()
        if states.shape[1] > 0:
            states[:, day] = state
