"""The outline of a round, tapered vessel and where a volume of it reaches."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi


@dataclass(frozen=True)
class Outline:
    """A vessel's inside; lengths in m."""

    top_m: float
    base_m: float
    height_m: float

    def __post_init__(self) -> None:
        if min(self.top_m, self.base_m, self.height_m) <= 0:
            raise ValueError("a vessel's diameters and height must be above 0")

    def width_m(self, height_m: float) -> float:
        """Diameter at a height above the floor."""
        return self.base_m + (self.top_m - self.base_m) * height_m / self.height_m

    def below_m3(self, height_m: float) -> float:
        """Volume from the floor up to a height."""
        at = self.width_m(height_m)
        return pi * height_m / 12 * (self.base_m**2 + self.base_m * at + at**2)

    def reach_m(self, volume_m3: float) -> float:
        """Height to which a volume, poured from the floor, reaches: the inverse of below_m3."""
        growth = (self.top_m - self.base_m) / self.height_m
        if abs(growth) < 1e-9:
            return volume_m3 * 4 / (pi * self.base_m**2)
        cubed = self.base_m**3 + 12 * volume_m3 * growth / pi
        return float((max(cubed, 0.0) ** (1 / 3) - self.base_m) / growth)
