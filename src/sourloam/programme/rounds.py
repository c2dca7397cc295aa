"""A round: which full vessels to fetch and clean ones to leave, in which order, when.

The order is found by the routing library PyVRP: most pressing stops, least driving, within the
room of the van, what it may carry, and the hours of each place. The same question gives the same
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
from sourloam.programme.drawn import Drawn, three
from sourloam.programme.facts import Three

Spot = tuple[float, float]
Why = Literal["nowhere_on_the_map", "too_far_down", "no_room_or_time"]
_EARTH_M = 6_371_000.0  # method: mean radius; the detour is far less exact
_DAY_S = 86400
MOST = 60  # method: stops looked at for one round
_STEPS = 250  # method: more did not shorten rounds of 60 stops
_SEED = 1
_TRIPS = 3
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
    ``left_out`` calls that are not on it, and why; ``clean`` vessels to load in all."""

    van: Van
    stops: tuple[Stop, ...]
    back_s: int
    way_km: Three
    hours: Three
    trips: int
    left_out: tuple[tuple[Call, Why], ...]

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
    """The best round found for a day."""
    ordered = sorted(calls, key=lambda c: (-c.pressing, c.name, c.id))
    lost: list[tuple[Call, Why]] = [(c, "nowhere_on_the_map") for c in ordered if c.at is None]
    known = [c for c in ordered if c.at is not None]
    lost += [(c, "too_far_down") for c in known[MOST:]]
    asked = known[:MOST]
    if not asked:
        return Round(van, (), van.starts_s, (0.0,) * 3, (0.0,) * 3, 0, tuple(lost))
    ways = _ways_m([van.hub, *(c.at for c in asked if c.at)])
    route = _solved(asked, van, ways)
    stops = _stops(route, asked, van, ways)
    served = {stop.call.id for stop in stops}
    lost += [(c, "no_room_or_time") for c in asked if c.id not in served]
    way_m = 0 if route is None else int(route.distance())
    back = van.starts_s if route is None else int(route.end_time())
    way, hours = _ranges(way_m, stops, back - _start(route, van), sample)
    trips = max((stop.trip for stop in stops), default=0)
    return Round(van, tuple(stops), back, way, hours, trips, tuple(lost))


def _start(route: Any, van: Van) -> int:
    return van.starts_s if route is None else int(route.start_time())


def _ways_m(spots: Sequence[Spot]) -> np.ndarray:
    detour = rule("programme.round.detour")
    return np.array([[round(detour * crow_m(a, b)) for b in spots] for a in spots], dtype=np.int64)


def _service_s(call: Call) -> int:
    vessels = call.full + call.clean / 2  # a clean one is only carried
    return round(60 * (rule("programme.round.stop") + rule("programme.round.vessel") * vessels))


def _solved(calls: Sequence[Call], van: Van, ways: np.ndarray) -> Any:
    """The route that PyVRP found, None if no stop fits."""
    import pyvrp
    from pyvrp.stop import MaxIterations

    tare = rule("programme.round.tare")
    speed = rule("programme.round.speed") * 1000 / 3600
    spots = [pyvrp.Location(0, 0) for _ in range(len(calls) + 1)]
    clients = [
        pyvrp.Client(
            number,
            delivery=[c.clean, math.ceil(c.clean * tare)],
            pickup=[c.full, math.ceil(c.kg + c.full * tare)],
            service_duration=_service_s(c),
            tw_early=max(c.opens_s, 0),
            tw_late=max(min(c.closes_s, _DAY_S) - _service_s(c), c.opens_s, 0),
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
        reload_depots=[0],
        max_reloads=_TRIPS - 1,
        unit_distance_cost=0,
        unit_duration_cost=1,
    )
    matrices: list[Any] = [ways, np.rint(ways / speed).astype(np.int64)]
    depots, fleet_ = [pyvrp.Depot(0)], [vehicle]
    data = pyvrp.ProblemData(spots, clients, depots, fleet_, matrices[:1], matrices[1:])
    found = pyvrp.solve(data, MaxIterations(_STEPS), seed=_SEED, collect_stats=False).best
    routes = found.routes() if found.is_feasible() else []
    return routes[0] if routes else None


def _stops(route: Any, calls: Sequence[Call], van: Van, ways: np.ndarray) -> list[Stop]:
    """The route as people drive it, with what is on board."""
    if route is None:
        return []
    tare, found, before = rule("programme.round.tare"), [], 0
    clean_of: dict[int, int] = {}
    for act in route.schedule():
        if act.is_client():
            clean_of[act.trip] = clean_of.get(act.trip, 0) + calls[act.idx].clean
    full, kg, trip = 0, 0.0, -1
    clean = 0
    for act in route.schedule():
        if not act.is_client():
            before = 0
            continue
        if act.trip != trip:
            trip, full, kg, clean = act.trip, 0, 0.0, clean_of[act.trip]
        call = calls[act.idx]
        clean, full, kg = clean - call.clean, full + call.full, kg + call.kg
        arrive = int(act.start_time)
        found.append(
            Stop(
                call,
                arrive,
                int(act.end_time),
                int(ways[before, act.idx + 1]),
                full,
                clean,
                kg + tare * (full + clean),
                trip + 1,
            )
        )
        before = act.idx + 1
    return found


def _ranges(
    way_m: int, stops: Sequence[Stop], planned_s: int, sample: Drawn
) -> tuple[Three, Three]:
    """Length and time with what is not known of detours, speed and minutes; waiting stays."""
    p = sample.p
    crow_km = way_m / 1000 / rule("programme.round.detour")
    way = crow_km * p["programme.round.detour"]
    vessels = sum(stop.call.full + stop.call.clean / 2 for stop in stops)
    work = len(stops) * p["programme.round.stop"] + vessels * p["programme.round.vessel"]
    usual = (
        way_m / 1000 / rule("programme.round.speed")
        + sum(_service_s(stop.call) for stop in stops) / 3600
    )
    waiting = max(planned_s / 3600 - usual, 0.0)
    return three(way), three(way / p["programme.round.speed"] + work / 60 + waiting)


_ROUND: TypeAdapter[Round] = TypeAdapter(Round)


def round_as_json(found: Round) -> dict[str, Any]:
    """Plain JSON."""
    dumped: dict[str, Any] = _ROUND.dump_python(found, mode="json")
    return dumped


def read_round(raw: Any) -> Round:
    """What ``round_as_json`` gave; ValueError for anything else."""
    return _ROUND.validate_python(raw)
