"""An invented programme: places of one town, a year of entries each, drawn by simple rules.

Who makes how much, when a vessel is full, how long it rests and whether it fails are drawn here by
rules of thumb, not by the model of the vessel: three hundred simulated years would take long, and
what a coordinator sees comes from the entries alone. People join over the year; some stop, a few
never begin.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID

import numpy as np

from sourloam.ledger import Entry, parse_body

_STREETS = (
    *("Alder Row", "Brook Lane", "Quince Street", "Mill Rise", "Larch Close", "Saltings Way"),
    *("Heron Path", "Barley Hill", "Old Ropewalk", "Plum Court", "Reed Quay", "Tanner's Yard"),
)
_CLIMATE = [-2.5, -1.0, 3.0, 8.0, 13.0, 16.5, 18.5, 18.0, 13.5, 8.5, 3.5, -0.5]
_HUB = (52.0, 5.0)  # in no particular town
_TOWN_KM = 2.6
_KM_NORTH, _KM_EAST = 111.2, 68.5
_NAMES = ("Blue", "Green", "Red", "Grey", "White", "Yellow", "Brown", "Black")
_YEAR = 365
_STOP_A_YEAR = 0.4
_ML_A_KG = 95.0
_SHORTEST = 25  # days in the programme
_MUTE, _MUTE_OF = 117, 150  # which of so many places joins and never begins


@dataclass(frozen=True)
class Sort:
    """A sort of place: its share of the town, what it makes and in what."""

    kind: str
    word: str
    share: float
    kg_a_day: float
    litres: int
    plate_kg: int
    vessels: tuple[int, int]
    gap_days: tuple[float, float]
    scraps: dict[str, Any]
    bed_m: tuple[float, float] | None


_HOME = {"from": "people", "people": 3, "capture": 0.5, "mix": "household"}
_MEALS = {"from": "meals", "meals": "cafe_cover", "per_day": 30, "mix": "cafe"}
_LUNCH = {"from": "meals", "meals": "school_lunch", "per_day": 80, "mix": "school_lunch"}
SORTS = (
    Sort("home", "House at {n} {street}", 0.62, 0.33, 19, 1, (2, 3), (1.5, 4.0), _HOME, (4, 1.2)),
    Sort("home", "Flat at {n} {street}", 0.2, 0.26, 15, 1, (2, 2), (1.5, 4.0), _HOME, None),
    Sort("cafe", "Café on {street} {n}", 0.12, 2.4, 60, 4, (4, 6), (1.0, 1.6), _MEALS, None),
    Sort("school", "School on {street} {n}", 0.06, 1.8, 60, 4, (4, 5), (1.0, 2.0), _LUNCH, (8, 2)),
)


@dataclass(frozen=True)
class Handed:
    """A full vessel whose contents were handed on: set aside, gone, kg."""

    full: dt.date
    on: dt.date
    kg: float


@dataclass(frozen=True)
class TownPlace:
    """A place of the programme with its entries in the order in which they were written; where it
    lies, its hours as (opens, closes) in hours of the day, the day on which it joined, and what it
    handed on."""

    id: str
    name: str
    kind: str
    entries: tuple[Entry, ...]
    spot: tuple[float, float]
    hours: tuple[int, int] | None
    joined: dt.date
    handed: tuple[Handed, ...] = ()


@dataclass
class _Book:
    """Gathers the entries of one place up to the day before today, or until it stopped."""

    place: str
    until: dt.date
    rng: np.random.Generator
    entries: list[Entry] = field(default_factory=list)
    handed: list[Handed] = field(default_factory=list)

    def write(self, day: dt.date, kind: str, body: dict[str, Any], hour: float = 18.5) -> None:
        if day >= self.until:
            return
        minutes = round(60 * (hour + float(self.rng.uniform(-0.8, 0.8))))
        at = dt.datetime.combine(day, dt.time(), dt.UTC) + dt.timedelta(minutes=minutes)
        self.entries.append(
            Entry(
                id=UUID(bytes=self.rng.bytes(16), version=4),
                place=self.place,
                kind=kind,
                at=at,
                written_at=at + dt.timedelta(minutes=1),
                body=parse_body(kind, body),
                by="keeper",
            )
        )


def hub() -> tuple[float, float]:
    """Where the programme's hub lies."""
    return _HUB


def north_east(north_km: float, east_km: float) -> tuple[float, float]:
    """So many degrees of latitude and longitude from the hub."""
    return north_km / _KM_NORTH, east_km / _KM_EAST


def town(today: dt.date, places: int = 300, seed: int = 1) -> Iterator[TownPlace]:
    """The places, one after the other; the same question gives the same town."""
    shares = np.cumsum([sort.share for sort in SORTS])
    for number in range(places):
        rng = np.random.default_rng([seed, number])
        sort = SORTS[int(np.searchsorted(shares, (number + 0.5) / places * shares[-1]))]
        yield _place(number, sort, today, rng)


def _place(number: int, sort: Sort, today: dt.date, rng: np.random.Generator) -> TownPlace:
    street = _STREETS[int(rng.integers(len(_STREETS)))]
    name = sort.word.format(n=number + 1, street=street)
    joined = today - dt.timedelta(days=int(rng.integers(_SHORTEST, _YEAR)))
    stays = float(rng.exponential(_YEAR / _STOP_A_YEAR))
    stopped = joined + dt.timedelta(days=max(int(stays), _SHORTEST)) if stays < _YEAR else today
    place_id = f"alder-town-{number + 1}"
    mute = number % _MUTE_OF == _MUTE
    book = _Book(place_id, joined if mute else min(stopped, today), rng)
    vessels = _begin(book, name, sort, joined)
    _live(book, sort, vessels, joined)
    book.entries.sort(key=lambda e: (e.written_at, e.id))
    spread = rng.normal(0, _TOWN_KM / 2, 2)
    up, right = north_east(float(spread[0]), float(spread[1]))
    spot = (_HUB[0] + up, _HUB[1] + right)
    hours = {"cafe": (8, 11), "school": (9, 12)}.get(sort.kind)
    entries, handed = tuple(book.entries), tuple(book.handed)
    return TownPlace(place_id, name, sort.kind, entries, spot, hours, joined, handed)


def _begin(book: _Book, name: str, sort: Sort, joined: dt.date) -> list[str]:
    many = int(book.rng.integers(sort.vessels[0], sort.vessels[1] + 1))
    spec = {
        "name": f"{sort.litres} L vessel",
        "volume": f"{sort.litres} L",
        "plate": f"{sort.plate_kg} kg",
    }
    ground: dict[str, Any] = {"none": True}
    if sort.bed_m:
        area = sort.bed_m[0] * sort.bed_m[1]
        ground = {"texture": "loam", "bed_area": f"{area:g} m²", "trench_depth": "30 cm"}
    site = {
        "site": {"name": name, "kind": sort.kind, "start": joined.isoformat()},
        "climate": {"monthly_means": _CLIMATE, "unit": "°C"},
        "room": {"kind": "indoors", "temperature": "20 °C"},
        "scraps": [sort.scraps],
        "vessel": [{**spec, "owned": many}],
        "ground": ground,
    }
    book.write(joined, "place_described", {"site": site}, 7)
    book.write(joined, "measure_set", {"measure": "bowl", "name": "Bowl", "mass_kg": 0.7}, 9)
    names = [f"{_NAMES[i % len(_NAMES)]} pail" for i in range(many)]
    for one in names:
        body = {"vessel": one.lower().replace(" ", "-"), "name": one, "spec": spec}
        book.write(joined, "vessel_added", body, 9)
    if sort.bed_m:
        length, width = sort.bed_m
        bed = {"name": "Long bed", "length": f"{length:g} m", "width": f"{width:g} m"}
        book.write(joined, "bed_added", {"bed": "long", "name": "Long bed", "spec": bed}, 9)
    return [one.lower().replace(" ", "-") for one in names]


@dataclass
class _Turn:
    """What is in one vessel."""

    vessel: str
    kg: float = 0.0
    undrained_kg: float = 0.0
    aside: dt.date | None = None
    rests: int = 14
    fails: bool = False


def _live(book: _Book, sort: Sort, vessels: list[str], joined: dt.date) -> None:
    """Day after day: feed, drain, set aside, judge, empty, wash."""
    rng = book.rng
    rate = sort.kg_a_day * float(np.exp(0.35 * rng.standard_normal()))
    gap = float(rng.uniform(*sort.gap_days))
    way = rng.choice(["mass_kg", "bowl", "volume_l"], p=[0.35, 0.45, 0.2])
    bran_kg = 60 * rate * 0.02
    room_kg = 0.68 * sort.litres
    tardy = bool(rng.random() < 0.25)  # empties late
    free, standing = list(vessels), dict[str, _Turn]()
    filling: _Turn | None = None
    next_feed, next_drain, next_bran = 0.0, 4.0, 0.0
    for ahead in range((book.until - joined).days):
        day = joined + dt.timedelta(days=ahead)
        _empty(book, standing, free, day, bool(sort.bed_m))
        if ahead >= next_bran:
            body = {"lot": f"lot-{ahead}", "mass_kg": round(max(bran_kg, 0.2), 1)}
            book.write(day, "bran_received", body, 10)
            next_bran += float(rng.uniform(50, 75))
        if ahead < next_feed:
            continue
        next_feed = ahead + _gap(rng, gap)
        if filling is None and free:
            filling = _Turn(free.pop(0), fails=bool(rng.random() < 0.06))
            standing[filling.vessel] = filling
        if filling is None:
            continue  # nowhere to put it: the scraps go where they went before
        kg = max(rate * (next_feed - ahead) * float(np.exp(0.3 * rng.standard_normal())), 0.2)
        kg = min(kg, room_kg - filling.kg + 0.5)
        _feed(book, filling, day, kg, way)
        if ahead >= next_drain:
            _drain(book, filling, day)
            next_drain = ahead + float(rng.uniform(3, 6))
        if filling.kg >= room_kg:
            book.write(day, "set_aside", {"vessel": filling.vessel}, 19.6)
            filling.aside = day
            filling.rests = int(rng.integers(14, 22)) + (int(rng.integers(10, 60)) if tardy else 0)
            filling = None


def _gap(rng: np.random.Generator, usual: float) -> float:
    """Days until the next layer; now and then people are away."""
    away = float(rng.uniform(7, 16)) if rng.random() < 0.012 else 0.0
    return max(float(rng.exponential(usual - 1)) + 1, 1.0) + away


def _empty(
    book: _Book, standing: dict[str, _Turn], free: list[str], day: dt.date, beds: bool
) -> None:
    """Vessels that rested long enough stand free again."""
    for turn in [t for t in standing.values() if t.aside is not None]:
        if _emptied(book, turn, day, beds):
            del standing[turn.vessel]
            free.append(turn.vessel)


def _feed(book: _Book, turn: _Turn, day: dt.date, kg: float, way: str) -> None:
    amount: dict[str, Any] = {"mass_kg": round(kg, 1) or 0.1}
    if way == "bowl":
        amount = {"measure": "bowl", "count": max(round(2 * kg / 0.7) / 2, 0.5)}
    elif way == "volume_l":
        amount = {"volume_l": max(round(2 * kg / 0.45) / 2, 0.5)}
    body = {"vessel": turn.vessel, "amount": amount, "bran_g": float(max(round(20 * kg), 5))}
    book.write(day, "fed", body)
    turn.kg += kg
    turn.undrained_kg += kg


def _drain(book: _Book, turn: _Turn, day: dt.date) -> None:
    ml = turn.undrained_kg * _ML_A_KG * float(book.rng.uniform(0.6, 1.3))
    body = {"vessel": turn.vessel, "volume_ml": max(round(ml, -1), 10.0), "use": "plants"}
    book.write(day, "drained", body, 19.2)
    turn.undrained_kg = 0.0


def _emptied(book: _Book, turn: _Turn, day: dt.date, beds: bool) -> bool:
    """Rested long enough: judged, emptied, washed."""
    assert turn.aside is not None
    if (day - turn.aside).days < turn.rests:
        return False
    verdict = "failed" if turn.fails else "sound"
    book.write(day, "judged", {"vessel": turn.vessel, "verdict": verdict}, 10)
    if turn.fails and book.rng.random() < 0.4:
        turn.rests += 30  # nobody knows what to do with it
        return False
    fate = "thrown" if turn.fails else "buried" if beds else "given"
    if fate == "buried":
        trench = {"depth_m": 0.3, "width_m": 0.3, "length_m": 1.0, "cover_m": 0.2}
        book.write(day, "buried", {"vessel": turn.vessel, "bed": "long", **trench}, 11)
    if fate == "given":
        book.handed.append(Handed(turn.aside, day, turn.kg))
    book.write(day, "emptied", {"vessel": turn.vessel, "fate": fate}, 12)
    book.write(day, "washed", {"vessel": turn.vessel}, 13)
    return True
