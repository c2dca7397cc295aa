"""The ground that takes the ferment: texture, pH, salt; and the water in it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sourloam.evidence import Parameters
from sourloam.soil.turnover import bare_deficits_mm, largest_deficit_mm, moisture

Array = NDArray[np.float64]
TEXTURES = ("sand", "sandy_loam", "loam", "clay")
_MILLI, _CENTI = 1000, 100


@dataclass(frozen=True)
class Soil:
    """Soil of one bed. ``ece_ds_m`` is its salt before burial (saturated paste), None: usual.

    Raises ValueError for an unknown texture or a pH outside 3 to 10.
    """

    texture: str
    ph: float
    ece_ds_m: float | None = None
    calcareous: bool = False

    def __post_init__(self) -> None:
        if self.texture not in TEXTURES:
            raise ValueError(f"texture: {self.texture!r} is not one of {', '.join(TEXTURES)}")
        if not 3 <= self.ph <= 10:
            raise ValueError(f"soil pH: {self.ph:g} is not between 3 and 10")
        if self.ece_ds_m is not None and not self.ece_ds_m >= 0:
            raise ValueError(f"soil salt: {self.ece_ds_m:g} dS/m must not be below 0")


@dataclass(frozen=True)
class Water:
    """Water by day, ``(days,)`` or ``(members, days)``.

    ``drainage_m``: depth of water that leaves the zone downwards on the day.
    ``above_capacity``: water held above field capacity, volume share (0 in drained soil).
    ``moisture``: what dryness leaves of the turnover, 1 in moist soil; None: moist throughout.
    """

    drainage_m: ArrayLike
    above_capacity: ArrayLike
    moisture: ArrayLike | None = None

    def within(self, first: int, days: int) -> Water:
        """The days from ``first`` on."""
        window = slice(first, first + days)
        return Water(
            np.asarray(self.drainage_m)[..., window],
            np.asarray(self.above_capacity)[..., window],
            None if self.moisture is None else np.asarray(self.moisture)[..., window],
        )

    @classmethod
    def still(cls, days: int) -> Water:
        """Soil at field capacity, nothing drains."""
        return cls(np.zeros(days), np.zeros(days))


@dataclass(frozen=True)
class Make:
    """What a texture stands for, each ``(members,)``; densities kg/m3, the rest as named."""

    clay_percent: Array
    dug_density: Array
    settled_density: Array
    field_capacity: Array
    wilting_point: Array
    paste_water: Array
    buffer_mol_per_kg: Array
    biomass_share: Array
    ece: Array
    grain_density: Array

    @property
    def dug_porosity(self) -> Array:
        """Pore share of dug soil, ``(members,)``."""
        return 1 - self.dug_density / self.grain_density

    @property
    def settled_porosity(self) -> Array:
        """Pore share of settled soil, ``(members,)``."""
        return 1 - self.settled_density / self.grain_density


def make_of(soil: Soil, p: Parameters) -> Make:
    """The soil's make; ``biomass_share`` is microbial carbon per kg dry soil."""
    row = f"soil.{soil.texture}."
    buffer = p["soil.calcareous_buffer"] if soil.calcareous else p[row + "buffer"]
    known = soil.ece_ds_m
    return Make(
        clay_percent=p[row + "clay"],
        dug_density=p[row + "dug_density"],
        settled_density=p[row + "settled_density"],
        field_capacity=p[row + "field_capacity"],
        wilting_point=p[row + "wilting_point"],
        paste_water=p[row + "paste_water"],
        buffer_mol_per_kg=buffer / 1000,
        biomass_share=p[row + "organic_carbon"] * p["soil.biomass_share"],
        ece=p["soil.usual_salt"] if known is None else np.full(p.members, known),
        grain_density=p["soil.grain_density"],
    )


def water_balance(
    rain_m: ArrayLike, evapotranspiration_m: ArrayLike, soil: Soil, depth_m: float, p: Parameters
) -> Water:
    """Water of a profile of ``depth_m`` as one bucket that starts at field capacity.

    Rain and evapotranspiration in m a day, ``(days,)`` or ``(members, days)``. Water above field
    capacity drains by a share a day; what is above it at the end of the day is water in the
    pores. Nothing falls below the wilting point. How dryness slows turnover follows the
    published rule for bare soil. ValueError where rain and loss differ in shape.
    """
    rain, loss = (np.asarray(a, dtype=np.float64) for a in (rain_m, evapotranspiration_m))
    if rain.shape != loss.shape or rain.ndim not in (1, 2):
        raise ValueError("rain and evapotranspiration: give one value a day each, equally many")
    days = rain.shape[-1]
    rain, loss = (np.broadcast_to(a, (p.members, days)) for a in (rain, loss))
    make = make_of(soil, p)
    full, dry = make.field_capacity * depth_m, make.wilting_point * depth_m
    pores = make.dug_porosity * depth_m
    stored = full.copy()
    drained = np.empty((p.members, days))
    above = np.empty_like(drained)
    for day in range(days):
        stored = np.maximum(stored + rain[:, day] - loss[:, day], dry)
        spill = np.maximum(stored - pores, 0.0)
        out = spill + p["soil.drains_in_a_day"] * np.maximum(stored - spill - full, 0.0)
        stored = stored - out
        drained[:, day] = out
        above[:, day] = np.maximum(stored - full, 0.0) / depth_m
    largest = largest_deficit_mm(make.clay_percent, depth_m * _CENTI, p)
    deficits = bare_deficits_mm(rain * _MILLI, loss * _MILLI, largest, p)
    return Water(drained, above, moisture(deficits, largest[:, None], p))
