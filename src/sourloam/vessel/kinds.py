"""One kind of vessel: its shape, its plate, its lid."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi


@dataclass(frozen=True)
class Vessel:
    """A round, possibly tapered vessel; a rectangular one is given by its equal-area diameters.

    ``sump_height_m`` is the space under the drain grid, ``headroom_m`` the space at the top
    that stays free for plate and gas. ``lid_leak_m3_per_day`` is fresh air that a closed lid
    lets in; None means the evidence's usual lid.
    """

    name: str
    top_diameter_m: float
    base_diameter_m: float
    height_m: float
    sump_height_m: float
    headroom_m: float
    plate_mass_kg: float
    lid_leak_m3_per_day: float | None = None

    def __post_init__(self) -> None:
        if min(self.top_diameter_m, self.base_diameter_m, self.height_m) <= 0:
            raise ValueError(f"{self.name}: diameters and height must be above 0")
        if min(self.sump_height_m, self.headroom_m, self.plate_mass_kg) < 0:
            raise ValueError(f"{self.name}: sump, headroom and plate must not be below 0")
        if self.sump_height_m + self.headroom_m >= self.height_m:
            raise ValueError(f"{self.name}: sump and headroom leave no room for scraps")

    @classmethod
    def of_volume(
        cls,
        name: str,
        volume_m3: float,
        height_to_diameter: float,
        taper: float,
        sump_height_m: float,
        headroom_m: float,
        plate_mass_kg: float,
    ) -> Vessel:
        """A vessel known by its brim volume; ``taper`` is base over top diameter."""
        shape = pi * height_to_diameter * (1 + taper + taper**2) / 12
        top = (volume_m3 / shape) ** (1 / 3)
        return cls(
            name,
            top,
            top * taper,
            top * height_to_diameter,
            sump_height_m,
            headroom_m,
            plate_mass_kg,
        )

    def volume_below_m3(self, height_m: float) -> float:
        """Volume from the floor up to a height, m3."""
        at = self.base_diameter_m + (self.top_diameter_m - self.base_diameter_m) * (
            height_m / self.height_m
        )
        return pi * height_m / 12 * (self.base_diameter_m**2 + self.base_diameter_m * at + at**2)

    @property
    def brim_m3(self) -> float:
        """Volume to the brim, m3."""
        return self.volume_below_m3(self.height_m)

    @property
    def usable_m3(self) -> float:
        """Volume for scraps: between drain grid and headroom, m3."""
        return self.volume_below_m3(self.height_m - self.headroom_m) - self.sump_m3

    @property
    def sump_m3(self) -> float:
        """Volume under the drain grid, m3."""
        return self.volume_below_m3(self.sump_height_m)

    @property
    def section_m2(self) -> float:
        """Mean cross-section of the usable part, m2."""
        return self.usable_m3 / (self.height_m - self.sump_height_m - self.headroom_m)
