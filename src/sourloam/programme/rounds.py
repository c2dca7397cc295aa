"""A round: which full vessels to fetch and clean ones to leave, in which order, when.

The order is found by the routing library PyVRP: most pressing stops, least driving, within the
room of the van, what it may carry, its hours and those of each place; between two trips it comes
home, and vessels are lifted out and in. The same question gives the same
round. Ways are as the crow flies times a detour; nothing is asked of anybody outside.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
from pydantic import TypeAdapter

from sourloam.ledger.work import rule
from sourloam.programme.drawn import Drawn, Floats, three
from sourloam.programme.driving import Drive, Pace, Visit, driven, pace_of
from sourloam.programme.facts import Three

Spot = tuple[float, float]
Why = Literal["nowhere_on_the_map", "too_far_down", "no_room_or_time"]
_EARTH_M = 6_371_000.0  # method: mean radius; the detour is far less exact
_DAY_S = 86400
MOST = 60  # method: stops looked at for one round
_STEPS = 250  # method: more did not shorten rounds of 60 stops
_SEED = 1
_TRIPS = 3
_SLOWER = (1.0, 1.04, 1.08, 1.12)  # method: the sum of medians is not the median of the sum
_LEAST_PRIZE, _PRIZE = 1800, 36000  # method: seconds of driving that a stop is worth


@dataclass(frozen=True)
class Call:
    """A place to go to: full vessels to fetch, clean ones to leave, kg in the full ones, how
    pressing it is (0 to 1), its hours in seconds of the day, and bran to bring, kg."""

    id: str
    name: str
    at: Spot | None
    full: int
    clean: int
    kg: float
    pressing: float = 0.0
    opens_s: int = 0
    closes_s: int = _DAY_S
    how: str = ""
    bran_kg: float = 0.0


@dataclass(frozen=True)
class Van:
    """What goes round, from and to the hub: room for vessels, what it may carry, its hours."""

    hub: Spot
    hub_name: str
    room: int
    payload_kg: float
    starts_s: int
    ends_s: int


@dataclass(frozen=True)
class Stop:
    """One stop as planned: when, how far from the one before, what is on board after it."""

    call: Call
    arrive_s: int
    leave_s: int
    way_m: int
    full_on_board: int
    clean_on_board: int
    kg_on_board: float
    trip: int


@dataclass(frozen=True)
class Round:
    """A planned round. ``back_s`` when it is home, ``hours`` and ``way_km`` with their ranges,
    ``left_out`` calls that are not on it, and why; ``leaves_s`` when it sets out; ``clean``
    vessels to load in all. Times are medians: ``leaves_s`` and ``hours`` give ``back_s``."""

    van: Van
    stops: tuple[Stop, ...]
    back_s: int
    way_km: Three
    hours: Three
    trips: int
    left_out: tuple[tuple[Call, Why], ...]
    leaves_s: int | None = None

    @property
    def sets_out_s(self) -> int:
        """When it sets out; a round that an older version kept did so when the van may."""
        return self.van.starts_s if self.leaves_s is None else self.leaves_s

    @property
    def clean(self) -> int:
        """Clean vessels that it leaves."""
        return sum(stop.call.clean for stop in self.stops)

    @property
    def full(self) -> int:
        """Full vessels that it fetches."""
        return sum(stop.call.full for stop in self.stops)

    @property
    def bran_kg(self) -> float:
        """Bran that it brings, kg."""
        return sum(stop.call.bran_kg for stop in self.stops)

    @property
    def kg(self) -> float:
        """What it brings home, kg."""
        return sum(stop.call.kg for stop in self.stops)


def crow_m(one: Spot, other: Spot) -> float:
    """Metres as the crow flies between two points of latitude and longitude."""
    lat, lat2 = math.radians(one[0]), math.radians(other[0])
    across = math.radians(other[1] - one[1])
    a = math.sin((lat2 - lat) / 2) ** 2
    a += math.cos(lat) * math.cos(lat2) * math.sin(across / 2) ** 2
    return 2 * _EARTH_M * math.asin(min(math.sqrt(a), 1.0))


def plan_round(calls: Sequence[Call], van: Van, sample: Drawn) -> Round:
    """The best round found for a day; by its own median it is home in time."""
    ordered = sorted(calls, key=lambda c: (-c.pressing, c.name, c.id))
    lost: list[tuple[Call, Why]] = [(c, "nowhere_on_the_map") for c in ordered if c.at is None]
    known = [c for c in ordered if c.at is not None]
    lost += [(c, "too_far_down") for c in known[MOST:]]
    asked = known[:MOST]
    crow = _crow([van.hub, *(c.at for c in asked if c.at)])
    drive = _planned(asked, van, crow, pace_of(sample))
    served = {visit.call for visit in drive.visits}
    lost += [(c, "no_room_or_time") for n, c in enumerate(asked) if n not in served]
    hours = three((drive.back_s - drive.leaves_s) / 3600)
    return Round(
        van,
        tuple(_stops(drive, asked)),
        drive.leaves_s + round(3600 * hours[1]),
        three(drive.way_m / 1000 * sample.p["programme.round.detour"]),
        hours,
        drive.visits[-1].trip if drive.visits else 0,
        tuple(lost),
        drive.leaves_s,
    )


def _crow(spots: Sequence[Spot]) -> Floats:
    return np.array([[crow_m(a, b) for b in spots] for a in spots])


def _planned(calls: Sequence[Call], van: Van, crow: Floats, pace: Pace) -> Drive:
    """The first round that keeps all hours, planned slower and slower; at last it turns home
    before the stops that do not fit."""
    visits: list[Visit] = []
    leaves = van.starts_s
    for times in _SLOWER if calls else ():
        visits, leaves = _solved(calls, van, crow, pace.slower(times))
        drive = driven(visits, leaves, calls, crow, pace)
        if drive.kept(calls, van):
            return drive
    while visits:
        visits = visits[:-1]
        drive = driven(visits, leaves, calls, crow, pace)
        if drive.kept(calls, van):
            return drive
    return driven([], van.starts_s, calls, crow, pace)


def _solved(calls: Sequence[Call], van: Van, crow: Floats, pace: Pace) -> tuple[list[Visit], int]:
    """The order that PyVRP found, and when to leave; no visit if no stop fits."""
    import pyvrp
    from pyvrp.stop import MaxIterations

    tare = rule("programme.round.tare")
    clients = [
        pyvrp.Client(
            number,
            delivery=[c.clean, math.ceil(c.clean * tare)],
            pickup=[c.full, math.ceil(c.kg + c.full * tare)],
            service_duration=_seconds(pace.at(c)),
            tw_early=max(c.opens_s, 0),
            tw_late=max(min(c.closes_s, _DAY_S) - _seconds(pace.at(c)), c.opens_s, 0),
            prize=_LEAST_PRIZE + round(_PRIZE * c.pressing),
            required=False,
        )
        for number, c in enumerate(calls, start=1)
    ]
    vehicle = pyvrp.VehicleType(
        1,
        capacity=[van.room, int(van.payload_kg)],
        tw_early=van.starts_s,
        tw_late=van.ends_s,
        reload_depots=[1],
        max_reloads=_TRIPS - 1,
        unit_distance_cost=0,
        unit_duration_cost=1,
    )
    depots = [
        pyvrp.Depot(0),
        pyvrp.Depot(0, service_duration=_seconds(pace.at_hub(2 * van.room))),
    ]
    spots = [pyvrp.Location(0, 0) for _ in range(len(calls) + 1)]
    metres: Any = np.rint(crow).astype(np.int64)
    seconds: Any = np.rint(crow * pace.metre).astype(np.int64)
    data = pyvrp.ProblemData(spots, clients, depots, [vehicle], [metres], [seconds])
    found = pyvrp.solve(data, MaxIterations(_STEPS), seed=_SEED, collect_stats=False).best
    routes = found.routes() if found.is_feasible() else []
    if not routes:
        return [], van.starts_s
    acts = [act for act in routes[0].schedule() if act.is_client()]
    return [Visit(act.idx, act.trip + 1) for act in acts], int(routes[0].start_time())


def _seconds(time: Floats) -> int:
    return round(float(time))


def _stops(drive: Drive, calls: Sequence[Call]) -> list[Stop]:
    """The round as people drive it, with what is on board."""
    tare, detour = rule("programme.round.tare"), rule("programme.round.detour")
    found: list[Stop] = []
    trip = full = clean = 0
    kg = 0.0
    for n, visit in enumerate(drive.visits):
        if visit.trip != trip:
            trip, full, kg = visit.trip, 0, 0.0
            clean = sum(calls[v.call].clean for v in drive.visits if v.trip == trip)
        call = calls[visit.call]
        clean, full, kg = clean - call.clean, full + call.full, kg + call.kg
        arrive, leave = (int(np.median(each[n])) for each in (drive.arrive_s, drive.leave_s))
        way = round(detour * drive.legs_m[n])
        on_board = kg + tare * (full + clean)
        found.append(Stop(call, arrive, leave, way, full, clean, on_board, trip))
    return found


_ROUND: TypeAdapter[Round] = TypeAdapter(Round)


def round_as_json(found: Round) -> dict[str, Any]:
    """Plain JSON."""
    dumped: dict[str, Any] = _ROUND.dump_python(found, mode="json")
    return dumped


def read_round(raw: Any) -> Round:
    """What ``round_as_json`` gave; ValueError for anything else."""
    return _ROUND.validate_python(raw)
