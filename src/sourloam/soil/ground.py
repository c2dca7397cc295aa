"""The ground that takes the ferment: texture, pH, salt; and the water in it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]
TEXTURES = ("sand", "sandy_loam", "loam", "clay")


@dataclass(frozen=True)
class Soil:
    """Soil of one bed. ``ece_ds_m`` is its salt before burial (saturated paste), None: usual."""

    texture: str
    ph: float
    ece_ds_m: float | None = None
    calcareous: bool = False

    def __post_init__(self) -> None:
        if self.texture not in TEXTURES:
            raise ValueError(f"texture: {self.texture!r} is not one of {', '.join(TEXTURES)}")


@dataclass(frozen=True)
class Water:
    """Water by day, ``(days,)`` or ``(members, days)``.

    ``drainage_m``: depth of water that leaves the zone downwards on the day.
    ``above_capacity``: water held above field capacity, volume share (0 in drained soil).
    """

    drainage_m: ArrayLike
    above_capacity: ArrayLike
