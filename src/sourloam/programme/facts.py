"""What a coordinator's view needs of a place: plain facts, made when an entry arrives, and kept."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from typing import Any

from pydantic import TypeAdapter

#: Low, middle, high: 10, 50 and 90 % points.
Three = tuple[float, float, float]
Days = tuple[dt.date | None, dt.date | None, dt.date | None]
VERSION = 1


@dataclass(frozen=True)
class VesselFacts:
    """One vessel in use or free. ``kg`` is what is in it; ``full_on`` and ``failing`` as foreseen,
    None without a forecast; ``drain_by`` the day on which it should be drained at the latest.
    ``began`` is the day of its first layer, ``touched`` the last on which somebody wrote of it,
    ``fetched_on`` the round that took it where the place's own log does not tell yet."""

    id: str
    name: str
    stage: str
    kg: float = 0.0
    since: dt.date | None = None
    full_on: Days | None = None
    finished_on: dt.date | None = None
    failing: Three | None = None
    drain_by: dt.date | None = None
    dirty: bool = False
    began: dt.date | None = None
    touched: dt.date | None = None
    fetched_on: dt.date | None = None

    @property
    def full(self) -> bool:
        """Whether it was set aside with its contents in it."""
        return self.stage in ("resting", "ready", "held")

    @property
    def free(self) -> bool:
        """Whether scraps may begin in it today."""
        return self.stage == "empty" and not self.dirty


@dataclass(frozen=True)
class Ended:
    """A filling that ended: the days on which it began, was full and was emptied; ``away`` where
    its contents left the place."""

    began: dt.date
    full: dt.date
    on: dt.date
    away: bool


@dataclass(frozen=True)
class LotFacts:
    """A lot of bran that may go on layers: what is left, and the last day on which a test of its
    living cells passed."""

    id: str
    kg: float
    passed: dt.date | None = None


@dataclass(frozen=True)
class LotWarning:
    """A lot that a place recalled, or found failed by its test, and on which day."""

    lot: str
    on: dt.date
    recalled: bool


@dataclass(frozen=True)
class BranFacts:
    """Bran at a place: what is left, ``lots`` of it, what a day takes; ``came`` the last day on
    which its own log says that bran came in, ``given_kg`` what the programme left there since,
    part of ``left_kg``.
    """

    left_kg: float
    daily_kg: Three
    keeps_stock: bool = True
    came: dt.date | None = None
    given_kg: float = 0.0
    lots: tuple[LotFacts, ...] = ()


@dataclass(frozen=True)
class GroundFacts:
    """Ground at a place: metres of trench still free this year, ferment per metre, kg; the first
    day on which the ground is open; ``own`` False where there is no bed at all."""

    free_m: float
    load_kg_m: Three
    spacing_m: float
    opens: dt.date | None
    own: bool = True


@dataclass(frozen=True)
class PlaceFacts:
    """A place on a day.

    ``entry_days`` are the last days with entries, the oldest first, ``closed`` days of rest among
    the last ones; ``kg_by_way`` all scraps logged so far by how they were measured, ``kg_by_month``
    by month (ISO, its first day); ``sound`` and ``failed`` count finished vessels, ``ended`` says
    when. ``joined`` is the day on which its programme took it in, ``spare`` the clean vessels that
    rounds left and its own log does not tell of. ``warns`` tells of which bran it warns others.
    """

    id: str
    name: str
    kind: str
    on: dt.date
    vessels: tuple[VesselFacts, ...] = ()
    entry_days: tuple[dt.date, ...] = ()
    closed: tuple[dt.date, ...] = ()
    bran: BranFacts | None = None
    ground: GroundFacts | None = None
    kg_by_way: dict[str, float] = field(default_factory=dict)
    kg_by_month: dict[str, float] = field(default_factory=dict)
    sound: int = 0
    failed: int = 0
    buried_kg: float = 0.0
    liquid_l: float = 0.0
    ended: tuple[Ended, ...] = ()
    joined: dt.date | None = None
    spare: int = 0
    warns: tuple[LotWarning, ...] = ()
    version: int = VERSION

    @property
    def filling(self) -> tuple[VesselFacts, ...]:
        """Vessels that scraps go into."""
        return tuple(v for v in self.vessels if v.stage == "filling")

    @property
    def standing_full(self) -> tuple[VesselFacts, ...]:
        """Vessels set aside with their contents."""
        return tuple(v for v in self.vessels if v.full)

    @property
    def fetched(self) -> tuple[VesselFacts, ...]:
        """Vessels that a round took, as the place's own log does not tell yet."""
        return tuple(v for v in self.vessels if v.stage == "fetched")

    @property
    def free(self) -> int:
        """Vessels in which scraps may begin today, those that rounds left among them."""
        return sum(v.free for v in self.vessels) + self.spare

    @property
    def kg(self) -> float:
        """All scraps logged so far."""
        return sum(self.kg_by_way.values())

    def as_json(self) -> dict[str, Any]:
        """Plain JSON."""
        dumped: dict[str, Any] = _READER.dump_python(self, mode="json")
        return dumped


_READER: TypeAdapter[PlaceFacts] = TypeAdapter(PlaceFacts)


def read_facts(raw: Any) -> PlaceFacts:
    """What ``as_json`` gave; ValueError for anything else."""
    return _READER.validate_python(raw)


_WARNINGS: TypeAdapter[tuple[LotWarning, ...]] = TypeAdapter(tuple[LotWarning, ...])


def read_warnings(raw: Any) -> tuple[LotWarning, ...]:
    """The ``warns`` of facts as they were kept; older ones have none."""
    return _WARNINGS.validate_python(raw or ())
