"""What the log says of one filling of a vessel, as plain numbers; days count from its first."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Literal, TypeVar

Way = Literal["weighed", "counted", "by_eye"]


@dataclass(frozen=True)
class Layer:
    """Scraps laid on ``day``: kg as told, the relative error of this one reading, and how it was
    told. A volume by eye becomes mass through the density of the mix."""

    day: int
    kg: float
    error: float
    way: Way = "weighed"


@dataclass(frozen=True)
class Reading:
    """One number read on a day."""

    day: int
    value: float


@dataclass(frozen=True)
class Strip:
    """A pH read on a day, of the drained liquid or of the newest layer."""

    day: int
    ph: float
    solid: bool = False


@dataclass(frozen=True)
class Look:
    """Somebody looked on a day; ``rotten`` if a rotten smell was logged."""

    day: int
    rotten: bool = False


_R = TypeVar("_R", Layer, Reading, Strip, Look)


@dataclass(frozen=True)
class Logged:
    """The log of one filling from ``began`` (day 0).

    ``drains`` in mL, ``marks`` shares of the room for scraps, ``weighings`` kg of contents,
    ``warmths`` °C. ``set_aside`` is the day on which it was closed for its rest; ``verdict`` what
    somebody judged.
    """

    began: dt.date
    layers: tuple[Layer, ...] = ()
    drains: tuple[Reading, ...] = ()
    marks: tuple[Reading, ...] = ()
    weighings: tuple[Reading, ...] = ()
    strips: tuple[Strip, ...] = ()
    warmths: tuple[Reading, ...] = ()
    looks: tuple[Look, ...] = ()
    set_aside: int | None = None
    verdict: str | None = None

    def until(self, day: int) -> Logged:
        """The log as it stood at the end of a day."""

        def kept(records: tuple[_R, ...]) -> tuple[_R, ...]:
            return tuple(r for r in records if r.day <= day)

        aside = self.set_aside
        return Logged(
            self.began,
            kept(self.layers),
            kept(self.drains),
            kept(self.marks),
            kept(self.weighings),
            kept(self.strips),
            kept(self.warmths),
            kept(self.looks),
            aside if aside is not None and aside <= day else None,
            self.verdict if aside is not None and aside <= day else None,
        )

    @property
    def last_layer(self) -> int:
        """Day of the newest layer, 0 if none was logged."""
        return self.layers[-1].day if self.layers else 0
