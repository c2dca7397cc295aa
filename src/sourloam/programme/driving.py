"""How a planned round goes: when it comes to each stop and home, at a pace that is not known."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from sourloam.programme.drawn import Drawn, Floats

if TYPE_CHECKING:
    from sourloam.programme.rounds import Call, Van


@dataclass(frozen=True)
class Pace:
    """Seconds for a metre as the crow flies, for a stop, for a vessel there, and to lift a vessel
    out of the van or into it at the hub, (members,)."""

    metre: Floats
    stop: Floats
    vessel: Floats
    lift: Floats

    def slower(self, times: float) -> Pace:
        """The usual pace, so many times slower."""
        middle = [times * np.median(each) for each in (self.metre, self.stop, self.vessel)]
        return Pace(*map(np.asarray, (*middle, times * np.median(self.lift))))

    def at(self, call: Call) -> Floats:
        """Time at a stop, s ``(members,)``; a clean vessel is only carried."""
        return np.asarray(self.stop + self.vessel * (call.full + call.clean / 2))

    def at_hub(self, vessels: int) -> Floats:
        """Time between two trips, s ``(members,)``: full vessels out, clean ones in."""
        return np.asarray(self.stop + self.lift * vessels)


def pace_of(sample: Drawn) -> Pace:
    """What is not known of it, drawn."""
    p = sample.p
    metre = p["programme.round.detour"] * 3600 / 1000 / p["programme.round.speed"]
    rest = (60 * p[f"programme.round.{each}"] for each in ("stop", "vessel", "lift"))
    return Pace(np.asarray(metre), *map(np.asarray, rest))


@dataclass(frozen=True)
class Visit:
    """A call by its number, and the trip on which it is."""

    call: int
    trip: int


@dataclass(frozen=True)
class Drive:
    """A round as driven, in every member: when it comes and goes; the way as the crow flies."""

    visits: tuple[Visit, ...]
    leaves_s: int
    arrive_s: tuple[Floats, ...]
    leave_s: tuple[Floats, ...]
    legs_m: tuple[float, ...]
    way_m: float
    back_s: Floats

    def kept(self, calls: Sequence[Call], van: Van) -> bool:
        """Whether its medians keep the hours of the van and of each place."""
        gone = zip(self.visits, self.leave_s, strict=True)
        open_ = all(np.median(leave) <= calls[visit.call].closes_s for visit, leave in gone)
        return open_ and bool(np.median(self.back_s) <= van.ends_s)


def driven(
    visits: Sequence[Visit], leaves_s: int, calls: Sequence[Call], crow: Floats, pace: Pace
) -> Drive:
    """The round at every member's pace: it waits for what is not open yet, and is home between
    trips. ``leaves_s`` is a time of day; ``crow`` holds metres from place to place as the crow
    flies, the hub first."""
    now = np.full(pace.metre.shape, float(leaves_s))
    arrive, leave, legs, way = [], [], [], 0.0
    there, trip = 0, 1
    for visit in visits:
        if visit.trip != trip:
            way += float(crow[there, 0])
            now = now + crow[there, 0] * pace.metre + pace.at_hub(_lifted(visits, calls, trip))
            there, trip = 0, visit.trip
        call, leg = calls[visit.call], float(crow[there, visit.call + 1])
        now = np.maximum(now + leg * pace.metre, call.opens_s)
        arrive.append(now)
        now = now + pace.at(call)
        leave.append(now)
        legs.append(leg)
        way, there = way + leg, visit.call + 1
    home = float(crow[there, 0])
    back = now + home * pace.metre
    return Drive(
        tuple(visits), leaves_s, tuple(arrive), tuple(leave), tuple(legs), way + home, back
    )


def _lifted(visits: Sequence[Visit], calls: Sequence[Call], trip: int) -> int:
    """Vessels lifted at the hub after a trip: its full ones, clean ones for the next."""
    full = sum(calls[v.call].full for v in visits if v.trip == trip)
    return full + sum(calls[v.call].clean for v in visits if v.trip == trip + 1)
