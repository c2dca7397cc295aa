"""Vessels taking turns: filling, resting, ready, held, buried, washed, filled again.

A day is one step. In each, for one member and in this order:

1. resting vessels whose rest is over turn ready (or failed, where the newest layer never turns
   sour: these are given up after the longest rest and then emptied like the others);
2. on a burial day ready and failed vessels are emptied, those that have waited longest first:
   buried as long as the ground is open, free beds take more this year, and there is time for it;
   kept closed where a bed will take them; parted where beds take only a part, the rest passed on
   the same day; passed on where none will. Washed, a vessel can be filled again ``wash_days``
   later;
3. what waited in the caddy since yesterday, then the day's scraps, go into the vessel that is
   filling, then into the next empty one; what finds no room waits one day in the caddy, and
   what has waited there already is refused. On the eve of a long absence the vessel that is
   filling is closed, however full it is.

All kinds of vessel may be mixed; empty ones are taken in the order given.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numba import prange
from numpy.typing import NDArray

from sourloam.numerics.compiling import compiled, over_cores
from sourloam.planning.outlets import Days, Outlets, unlimited

BURIED, PASSED_ON, PARTED = 1, 2, 3
_YEAR_DAYS = 365  # what a bed takes is a year's
_LEAST_PART = 0.2  # method: for a smaller part of a vessel nobody opens a bed
_ROUND = 1 + 1e-9  # method: rounding of hours
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
    day. ``rest_days`` (members, days), or by kind as well: rest of a vessel closed on a day, inf
    if it fails.
    ``open_ground`` (members, days): the ground takes a ferment on that day. ``outlets``: what
    limits the emptying; None for beds and people that take everything.
    """

    scraps_kg: Floats
    capacity_kg: Floats
    rest_days: Floats
    open_ground: Bools
    outlets: Outlets | None = None

    def __post_init__(self) -> None:
        shape = self.scraps_kg.shape
        for name in ("rest_days", "open_ground"):
            found = getattr(self, name).shape
            by_kind = name == "rest_days" and found == self.capacity_kg.shape
            if found != shape and not by_kind:
                raise ValueError(f"{name}: shape {found}, expected {shape}")
        if self.capacity_kg.shape[1:] != shape:
            raise ValueError(f"capacity_kg: shape {self.capacity_kg.shape}, expected (n, *{shape})")
        if not (self.capacity_kg > 0).all():
            raise ValueError("capacity_kg: every vessel must take something")
        if (self.scraps_kg < 0).any():
            raise ValueError("scraps_kg: must not be negative")


@dataclass(frozen=True)
class Turned:
    """How it went, per member and day.

    ``fate`` is (members, vessels, days): ``BURIED``, ``PASSED_ON`` or ``PARTED`` on the day a
    vessel is emptied, else 0; ``buried_share`` the share of its contents that is buried then.
    """

    refused_kg: Floats
    waiting_kg: Floats
    buried_kg: Floats
    buried_vessels: Ints
    passed_kg: Floats
    passed_vessels: Ints
    inside_kg: Floats
    state: NDArray[np.int8]
    fate: NDArray[np.int8]
    buried_share: Floats


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
    outlets = turns.outlets or unlimited(members, days, turns.open_ground)
    kept = (members, len(kinds), days if keep_states else 0)
    out = Turned(
        refused_kg=np.zeros((members, days)),
        waiting_kg=np.zeros((members, days)),
        buried_kg=np.zeros((members, days)),
        buried_vessels=np.zeros((members, days), dtype=np.int64),
        passed_kg=np.zeros((members, days)),
        passed_vessels=np.zeros((members, days), dtype=np.int64),
        inside_kg=np.zeros((members, days)),
        state=np.zeros(kept, dtype=np.int8),
        fate=np.zeros(kept, dtype=np.int8),
        buried_share=np.zeros(kept),
    )
    rest_days = np.atleast_3d(turns.rest_days.T).T  # one kind: the array itself, not a copy
    if rest_days.shape != turns.capacity_kg.shape:
        rest_days = np.broadcast_to(rest_days, turns.capacity_kg.shape)
    hours = np.broadcast_to(outlets.vessel_h, (len(turns.capacity_kg), members))
    habits = np.array(
        [
            rhythm.burial_interval_days,
            rhythm.burial_phase_days,
            rhythm.wash_days,
            rhythm.longest_rest_days,
        ],
        dtype=np.int64,
    )
    _every_member(
        np.ascontiguousarray(turns.scraps_kg),
        np.ascontiguousarray(turns.capacity_kg.swapaxes(0, 1)),
        np.ascontiguousarray(rest_days.swapaxes(0, 1)),
        np.ascontiguousarray(turns.open_ground),
        np.array(kinds, dtype=np.int64),
        habits,
        (
            np.ascontiguousarray(outlets.bed_kg),
            np.ascontiguousarray(outlets.opens_in),
            np.ascontiguousarray(outlets.dig_h),
            outlets.longest,
            np.ascontiguousarray(hours.T),
            outlets.present,
            outlets.eve,
        ),
        (
            out.refused_kg,
            out.waiting_kg,
            out.buried_kg,
            out.buried_vessels,
            out.passed_kg,
            out.passed_vessels,
            out.inside_kg,
            out.state,
            out.fate,
            out.buried_share,
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
def _next_out(state: Ints, free_day: Ints, seen: Bools) -> int:
    """The ready or failed vessel that has waited longest of those not looked at, or -1."""
    found = -1
    for v in range(len(state)):
        waiting = (state[v] == READY or state[v] == HELD or state[v] == FAILED) and not seen[v]
        if waiting and (found < 0 or free_day[v] < free_day[found]):
            found = v
    return found


@compiled()  # type: ignore[untyped-decorator, unused-ignore]
def _put(kg: float, left: Floats, opens_in: Days) -> None:
    """Ferment goes into the open beds, one after another."""
    for b in range(len(left)):
        if opens_in[b] == 0 and kg > 0.0:
            taken = min(kg, left[b])
            left[b] -= taken
            kg -= taken


@compiled()  # type: ignore[untyped-decorator, unused-ignore]
def _rooms(left: Floats, opens_in: Days, longest: int, rate: float) -> tuple[float, float]:
    """What open beds take today, and what beds will take beyond all that comes until they open."""
    here = 0.0
    later = 0.0
    until = 0.0
    for b in range(len(left)):
        if left[b] > 0.0 and opens_in[b] <= longest:
            if opens_in[b] == 0:
                here += left[b]
            if left[b] == np.inf:
                return here, np.inf
            later += left[b]
            until += left[b] * opens_in[b]
    if later > 0.0:
        later -= rate * until / later
    return here, later


@compiled()  # type: ignore[untyped-decorator, unused-ignore]
def _fates(
    waiting: tuple[Ints, Ints, Floats, Floats],
    beds: tuple[Floats, Days, int, float],
    hours: tuple[float, float],
    fate: Ints,
    buried_kg: Floats,
) -> float:
    """What becomes of each vessel that is ready, and the hours that burying has taken so far.

    ``waiting``: state, day since when, content and hours of each vessel; ``beds``: what each takes
    this year (it goes down by what is buried), days until it opens, the longest of them that is
    waited for, and scraps of a mean day; ``hours``: of the week, for burying and already used.
    """
    state, free_day, held_kg, vessel_h = waiting
    left, opens_in, longest, rate = beds
    most_h, used_h = hours
    seen = np.zeros(len(state), dtype=np.bool_)
    fate[:] = 0
    buried_kg[:] = 0.0
    kept = 0.0
    while True:
        v = _next_out(state, free_day, seen)
        if v < 0:
            break
        seen[v] = True
        kg = held_kg[v]
        here, later = _rooms(left, opens_in, longest, rate)
        in_time = used_h == 0.0 or used_h + vessel_h[v] <= most_h * _ROUND
        if in_time and here >= kg:
            fate[v] = BURIED
            buried_kg[v] = kg
        elif later - kept >= kg:
            kept += kg
        elif in_time and here >= _LEAST_PART * kg:
            fate[v] = PARTED
            buried_kg[v] = here
        else:
            fate[v] = PASSED_ON
        if buried_kg[v] > 0.0:
            _put(buried_kg[v], left, opens_in)
            used_h += vessel_h[v]
    return used_h


@compiled()  # type: ignore[untyped-decorator, unused-ignore]
def _empty(fate: Ints, state: Ints, free_day: Ints, held_kg: Floats, washed: int) -> None:
    """Vessels with a fate are empty now, and can be filled again once they are washed."""
    for v in range(len(state)):
        if fate[v] != 0:
            held_kg[v] = 0.0
            state[v] = EMPTY
            free_day[v] = washed


@compiled()  # type: ignore[untyped-decorator, unused-ignore]
def _one_member(  # noqa: C901 - a day is one story, told in its order
    scraps: Floats,
    capacity: Floats,
    rest: Floats,
    open_ground: Bools,
    kinds: Ints,
    habits: Ints,
    outlets: tuple[Floats, Days, tuple[float, int], Floats, Bools, Bools],
    out: tuple[
        Floats,
        Floats,
        Floats,
        Ints,
        Floats,
        Ints,
        Floats,
        NDArray[np.int8],
        NDArray[np.int8],
        Floats,
    ],
) -> None:
    (refused, waiting, buried, buried_vessels, passed, passed_vessels, inside, states,
     fates, shares) = out  # fmt: skip
    bed_kg, opens_in, limits, kind_h, present, eve = outlets
    rate = scraps.mean()
    interval, phase, wash, longest = habits
    number = len(kinds)
    state = np.zeros(number, dtype=np.int64)
    free_day = np.zeros(number, dtype=np.int64)
    failing = np.zeros(number, dtype=np.bool_)
    held_kg = np.zeros(number)
    room = np.zeros(number)
    fate = np.zeros(number, dtype=np.int64)
    buried_kg = np.zeros(number)
    vessel_h = kind_h[kinds]
    used_h = 0.0
    bed_left = bed_kg.copy()
    filling = -1
    caddy = 0.0
    for day in range(len(scraps)):
        _end_rests(state, free_day, failing, open_ground[day], day)
        if day % _YEAR_DAYS == 0:
            bed_left = bed_kg.copy()
        if (day + phase) % interval == 0:
            used_h = 0.0
        if present[day] and ((day + phase) % interval == 0 or eve[day]):
            used_h = _fates(
                (state, free_day, held_kg, vessel_h),
                (bed_left, opens_in[:, day], limits[1], rate),
                (limits[0], used_h),
                fate,
                buried_kg,
            )
            for v in range(number):
                if fate[v] != 0:
                    buried[day] += buried_kg[v]
                    passed[day] += held_kg[v] - buried_kg[v]
                    buried_vessels[day] += 1 if fate[v] == BURIED else 0
                    passed_vessels[day] += 1 if fate[v] == PASSED_ON else 0
                    if states.shape[1] > 0:
                        fates[v, day] = fate[v]
                        shares[v, day] = buried_kg[v] / held_kg[v]
            _empty(fate, state, free_day, held_kg, day + wash)
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
                _close(filling, state, free_day, failing, rest[kinds[filling], day], (day, longest))
                filling = -1
        if eve[day] and filling >= 0:
            _close(filling, state, free_day, failing, rest[kinds[filling], day], (day, longest))
            filling = -1
        refused[day] = max(0.0, left - scraps[day])
        caddy = left - refused[day]
        waiting[day] = caddy
        inside[day] = held_kg.sum()
        if states.shape[1] > 0:
            states[:, day] = state


@over_cores
def _every_member(
    scraps: Floats,
    capacity: Floats,
    rest: Floats,
    open_ground: Bools,
    kinds: Ints,
    habits: Ints,
    outlets: tuple[Floats, Days, Floats, int, Floats, Bools, Bools],
    out: tuple[
        Floats,
        Floats,
        Floats,
        Ints,
        Floats,
        Ints,
        Floats,
        NDArray[np.int8],
        NDArray[np.int8],
        Floats,
    ],
) -> None:
    """``_one_member`` for each, members first on every array; ``out`` is filled."""
    bed_kg, opens_in, dig_h, longest, hours, present, eve = outlets
    (refused, waiting, buried, buried_vessels, passed, passed_vessels, inside, states,
     fates, shares) = out  # fmt: skip
    for m in prange(len(scraps)):
        _one_member(
            scraps[m], capacity[m], rest[m], open_ground[m], kinds, habits,
            (bed_kg[m], opens_in[m], (dig_h[m], longest), hours[m], present, eve),
            (refused[m], waiting[m], buried[m], buried_vessels[m], passed[m],
             passed_vessels[m], inside[m], states[m], fates[m], shares[m]),
        )  # fmt: skip
