"""One buried batch through time: its inputs' shapes, its result.

SIGNATURE FIRST: the body follows.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sourloam.evidence import Parameters
from sourloam.soil.ground import Soil, Water
from sourloam.soil.trench import Burial, Tub

Array = NDArray[np.float64]

#: What can hold sowing or planting back, in the order of ``BuriedCourse.held_by``.
REASONS = ("acids", "oxygen", "ammonia", "salt")


@dataclass(frozen=True)
class BuriedCourse:
    """A buried batch, day by day; ``(members,)`` or ``(members, days)``.

    Day 0 is the day of burial; values by day are those at the end of that day. Waiting days
    are whole days after burial and ``inf`` when the horizon is too short. Amounts are those of
    the whole batch (all metres of the trench together).
    """

    sow_day: Array
    """(members,) first day fit for seed."""
    transplant_tender_day: Array
    """(members,) first day fit for a tender plant with its root ball above the zone."""
    transplant_tolerant_day: Array
    """(members,) the same for a tolerant plant."""
    sow_held_by: NDArray[np.int64]
    """(members,) index in REASONS of what was settled last before ``sow_day``; -1 if nothing."""
    acids_mmol_per_kg: Array
    """(members, days) acids in the mixing zone, butyric weighted, per kg dry soil."""
    ph: Array
    """(members, days) pH of the zone."""
    oxygen_share: Array
    """(members, days) oxygen in the zone's air as a share of that above ground, 0 to 1."""
    anaerobic_days: Array
    """(members,) days on which demand for oxygen passed the supply."""
    ammonia_mg_n_per_kg: Array
    """(members, days) free ammonia in the zone."""
    ece_zone_ds_m: Array
    """(members, days) salt in the mixing zone as EC of the saturated paste, dS/m."""
    ece_wetted_ds_m: Array
    """(members, days) the same over the soil that the salt spreads through."""
    ammonium_n_kg: Array
    """(members, days) ammonium nitrogen, soil's own in the zone included."""
    nitrate_n_kg: Array
    """(members, days)"""
    leached_n_kg: Array
    """(members, days) nitrate nitrogen washed out since burial."""
    available_n_kg: Array
    """(members, days) net nitrogen given since burial (below 0: locked up)."""
    available_p_kg: Array
    """(members, days)"""
    available_k_kg: Array
    """(members, days)"""
    respired_c_kg: Array
    """(members, days) carbon gone as CO2 since burial."""
    carbon_left_kg: Array
    """(members, days) carbon of the batch still in the soil, all pools."""
    warnings: tuple[tuple[str, float], ...]
    """(code, share of members) pairs; codes: acid_ph, airless, ammonia, salt, locked_up, beyond."""


def bury(
    burial: Burial | Tub,
    soil: Soil,
    temperature_c: ArrayLike,
    parameters: Parameters,
    water: Water | None = None,
) -> BuriedCourse:
    """Carry a buried batch through the days of ``temperature_c``, (days,) or (members, days).

    ``temperature_c`` is the soil's daily mean at the depth of the mixing zone; its length is the
    horizon. ``water`` None: soil at field capacity, nothing drains.
    """
    raise NotImplementedError
