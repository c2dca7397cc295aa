"""One published reading beside the model, and an arm with all of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from sourloam.numerics.spread import Spread
from sourloam.validation.trial import Arm, Role, Trial

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Reading:
    """One published reading and what the model says of it; ``low`` and ``high`` hold eight
    readings in ten, the error of the reading itself included."""

    trial: str
    arm: str
    role: Role
    quantity: str
    unit: str
    relation: str
    day: float
    measured: float
    published_spread: float | None
    low: float
    median: float
    high: float
    void: bool = False

    @property
    def error(self) -> float:
        """Model median less the measured value."""
        return self.median - self.measured

    @property
    def agrees(self) -> bool:
        """Whether the reading lies in the 10-90 % band; a bound: whether the median keeps it."""
        if self.relation == "below":
            return self.median <= self.measured
        if self.relation == "above":
            return self.median >= self.measured
        return self.low <= self.measured <= self.high


@dataclass(frozen=True)
class ArmResult:
    """One arm: its readings, and bands through time for each quantity."""

    trial: Trial
    arm: Arm
    readings: tuple[Reading, ...]
    days: Array
    bands: Mapping[str, Spread] = field(repr=False)
