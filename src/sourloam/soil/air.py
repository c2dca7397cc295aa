"""How much oxygen can reach the mixing zone.

Steady flow by diffusion: ``supply = D C L`` with D the diffusivity of oxygen in the soil, C its
concentration above ground and L the shape of the way in, in m per m of trench (or in m for a
tub). D over its value in free air is the square of the air-filled porosity (Buckingham), or
its 10/3 power over porosity squared (Millington and Quirk), or between.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sourloam.evidence import Parameters

Array = NDArray[np.float64]
SECONDS_PER_DAY = 86400


def relative_diffusivity(air_filled: Array, porosity: Array, p: Parameters) -> Array:
    """Diffusivity in soil over that in free air, 0 to 1, of the shape of ``air_filled`` ``(members,
    ...)``; that and ``porosity`` are shares of the soil's volume."""
    shape = (-1, *(1,) * (air_filled.ndim - 1))

    def row(name: str) -> Array:
        return p["soil.air." + name].reshape(shape)

    air = np.maximum(air_filled, row("least"))
    pores = porosity.reshape(shape)
    open_way = row("open_power") * np.log(air)
    strict = row("strict_power") * np.log(air) - row("strict_porosity_power") * np.log(pores)
    weight = row("strict_share")
    return np.exp((1 - weight) * open_way + weight * strict)


def oxygen_way(temperature_c: Array, p: Parameters) -> Array:
    """Diffusivity in free air times concentration, mol/(m d), ``(members, days)``."""
    kelvin = temperature_c + p["soil.air.zero_celsius"][:, None]
    power = p["soil.air.diffusivity_power"][:, None]
    diffusivity = (
        p["soil.air.diffusivity"][:, None] * (kelvin / p["soil.air.base"][:, None]) ** power
    )
    pressure = (p["soil.air.pressure"] * p["soil.air.oxygen"] / p["soil.air.gas_constant"])[:, None]
    return np.asarray(diffusivity * pressure / kelvin * SECONDS_PER_DAY)


def strip_shape(width_m: ArrayLike, depth_m: ArrayLike, p: Parameters) -> Array:
    """Shape of the way to a flat strip lying at a depth in wide soil, m per m length.

    ``w/h + base + slope ln(w/h + shift)`` where the strip is wider than deep, and
    ``2 pi / ln(8 h/w + w/4h)`` where it is narrower.
    """
    ratio = np.asarray(width_m, dtype=np.float64) / np.asarray(depth_m, dtype=np.float64)
    edge = p["soil.air.edge_base"] + p["soil.air.edge_slope"] * np.log(
        ratio + p["soil.air.edge_shift"]
    )
    narrow = (
        2 * np.pi / np.log(p["soil.air.narrow_near"] / ratio + p["soil.air.narrow_far"] * ratio)
    )
    return np.where(ratio >= 1, ratio + edge, narrow)
