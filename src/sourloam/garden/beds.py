"""Beds, what grows in them and when, and the free times between."""

from __future__ import annotations

from collections.abc import Container
from dataclasses import dataclass
from itertools import pairwise

from sourloam.soil import TEXTURES

_YEAR_DAYS = 365


@dataclass(frozen=True)
class Planting:
    """A crop in a bed from a day to a day (last day included), days since the plan's start.

    ``sown`` True for seed, False for plants set out. ``harvest_day`` is the first harvest; None
    lets the crop's own days to harvest decide.
    """

    crop: str
    start_day: int
    end_day: int
    sown: bool = True
    harvest_day: int | None = None

    def __post_init__(self) -> None:
        if self.end_day < self.start_day:
            raise ValueError(f"{self.crop}: leaves the bed before it goes in")


def _repeats(one: Planting, other: Planting) -> bool:
    """Whether a planting is the other a year later."""
    apart = abs(one.start_day - other.start_day)
    return one.crop == other.crop and abs(apart - _YEAR_DAYS) <= 1


@dataclass(frozen=True)
class Bed:
    """A rectangle of ground. Trenches run across it, over ``width_m``.

    ``depth_m`` is the depth of loose soil. ``nitrogen_limit_kg_m2`` and its neighbour are the
    most a year by the gardener's own rule; None takes the usual ceiling. ``given_kg_m2`` is
    nitrogen already given within the year. ``ece_ds_m`` (saturated paste) and ``ph`` are None if
    unmeasured.
    """

    name: str
    length_m: float
    width_m: float
    texture: str
    depth_m: float
    plantings: tuple[Planting, ...] = ()
    nitrogen_limit_kg_m2: float | None = None
    phosphorus_limit_kg_m2: float | None = None
    given_kg_m2: float = 0.0
    ece_ds_m: float | None = None
    ph: float | None = None

    def __post_init__(self) -> None:
        if min(self.length_m, self.width_m, self.depth_m) <= 0:
            raise ValueError(f"{self.name}: length, width and depth must be above 0")
        if self.texture not in TEXTURES:
            raise ValueError(f"{self.name}: texture {self.texture!r}, not {', '.join(TEXTURES)}")
        in_order = sorted(self.plantings, key=lambda p: p.start_day)
        for before, after in pairwise(in_order):
            if after.start_day <= before.end_day:
                raise ValueError(f"{self.name}: {after.crop} goes in before {before.crop} is out")
        object.__setattr__(self, "plantings", tuple(in_order))

    @property
    def area_m2(self) -> float:
        """Ground of the bed, m²."""
        return self.length_m * self.width_m

    def of_a_year(self, also: Container[int] = ()) -> tuple[int, ...]:
        """Places in ``plantings`` of those that stand in the first year, and of later ones in
        ``also``; one that comes back every year counted once: what a limit or a demand by the
        year rests on."""
        found: list[int] = []
        for i, planting in enumerate(self.plantings):
            beyond = planting.end_day < 0 or planting.start_day >= _YEAR_DAYS
            if beyond and i not in also:
                continue
            if not any(_repeats(planting, self.plantings[k]) for k in found):
                found.append(i)
        return tuple(found)

    def growing(self, day: int) -> Planting | None:
        """What stands in the bed on a day."""
        return next((p for p in self.plantings if p.start_day <= day <= p.end_day), None)

    def stands_until(self, planting: Planting) -> int:
        """The last day of a planting; of a perennial written year by year, that of the last."""
        last = planting.end_day
        for after in self.plantings:
            if after.crop == planting.crop and after.start_day == last + 1:
                last = after.end_day
        return last

    def next_after(self, day: int) -> int | None:
        """Place in ``plantings`` of the first that goes in after a day."""
        return next((i for i, p in enumerate(self.plantings) if p.start_day > day), None)
