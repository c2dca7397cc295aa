"""Mass balance of water in a carrier: wetting, drying, wet and dry basis.

Moistures are shares of the whole (wet basis) unless the name says dry basis. Dry mass is
conserved: ``dry = mass * (1 - moisture)``. All functions take numbers or arrays that broadcast.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


def dry_basis(moisture: ArrayLike) -> Floats:
    """Water to a unit of dry matter, from a moisture on wet basis; broadcasts."""
    wet = np.asarray(moisture, dtype=np.float64)
    return np.asarray(wet / (1 - wet))


def wet_basis(water_to_dry: ArrayLike) -> Floats:
    """Moisture on wet basis, from water to a unit of dry matter; broadcasts."""
    ratio = np.asarray(water_to_dry, dtype=np.float64)
    return np.asarray(ratio / (1 + ratio))


def water_to_reach_kg(target: ArrayLike, mass_kg: ArrayLike, water_kg: ArrayLike) -> Floats:
    """Water to add, kg, so that ``mass_kg``, of which ``water_kg`` is water, holds ``target``.

    Below 0 where what is there is wetter already. ``0.4`` with 1 kg of bran at 12 % asks for
    0.4667 kg. Broadcasts.
    """
    goal = np.asarray(target, dtype=np.float64)
    return np.asarray(
        (goal * np.asarray(mass_kg) - np.asarray(water_kg, dtype=np.float64)) / (1 - goal)
    )


def water_removed_kg(mass_kg: ArrayLike, before: ArrayLike, after: ArrayLike) -> Floats:
    """Water that leaves ``mass_kg`` in drying from one moisture to another, kg; broadcasts."""
    first, last = np.asarray(before, dtype=np.float64), np.asarray(after, dtype=np.float64)
    return np.asarray(np.asarray(mass_kg) * (first - last) / (1 - last))
