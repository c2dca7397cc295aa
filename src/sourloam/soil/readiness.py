"""When the ground is fit for plants: limits with their safety, and the first day within them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import Parameters

Array = NDArray[np.float64]
#: What can hold sowing or planting back, in the order of ``held_by``.
REASONS = ("acids", "oxygen", "ammonia", "salt")
Plants = Literal["seed", "tender", "tolerant"]


@dataclass(frozen=True)
class Tolerance:
    """What plants bear, each ``(members,)``.

    Acids mmol/kg dry soil (butyric weighted) at most, oxygen as a share of that above ground at
    least, free ammonia mg N/kg at most, salt as ECe dS/m of the wetted soil at most.
    """

    acids_mmol_per_kg: Array
    oxygen_share: Array
    ammonia_mg_n_per_kg: Array
    ece_ds_m: Array


@dataclass(frozen=True)
class Conditions:
    """The ground day by day, each ``(members, days)``, in the units of ``Tolerance``."""

    acids_mmol_per_kg: Array
    oxygen_share: Array
    ammonia_mg_n_per_kg: Array
    ece_ds_m: Array


def tolerance(plants: Plants, p: Parameters) -> Tolerance:
    """Limits for seed, a tender or a tolerant plant: harmful concentration over safety factor."""
    safety = p["soil.limit.safety." + plants]
    return Tolerance(
        p["soil.limit.acids"] / safety,
        p["soil.limit.oxygen." + plants] / p["soil.air.oxygen"],
        p["soil.limit.ammonia"] / p["soil.limit.ammonia_safety." + plants],
        p["soil.limit.salt." + plants],
    )


def tolerance_once_spread(p: Parameters) -> Tolerance:
    """Limits for soil that will be spread thin: those for seed, without the one for salt."""
    return replace(tolerance("seed", p), ece_ds_m=np.full(p.members, np.inf))


def first_fit_day(fits: NDArray[np.bool_], keeps_days: int) -> Array:
    """First day that fits together with the days after it; inf if none, ``(members,)``.

    ``fits`` (members, days); near the end of the horizon the days left suffice.
    """
    days = fits.shape[1]
    lasting = fits.copy()
    for ahead in range(1, min(keeps_days, days)):
        lasting[:, : days - ahead] &= fits[:, ahead:]
    return np.where(lasting.any(axis=1), lasting.argmax(axis=1) + 1.0, np.inf)


def _within(ground: Conditions, limits: Tolerance) -> tuple[NDArray[np.bool_], ...]:
    """Days within each limit, in the order of ``REASONS``."""
    return (
        ground.acids_mmol_per_kg <= limits.acids_mmol_per_kg[:, None],
        ground.oxygen_share >= limits.oxygen_share[:, None],
        ground.ammonia_mg_n_per_kg <= limits.ammonia_mg_n_per_kg[:, None],
        ground.ece_ds_m <= limits.ece_ds_m[:, None],
    )


def fit_day(ground: Conditions, limits: Tolerance, keeps_days: int) -> Array:
    """First whole day after burial within all limits, ``(members,)``."""
    return first_fit_day(np.logical_and.reduce(_within(ground, limits)), keeps_days)


def fit_days(
    ground: Conditions, limits: Tolerance, keeps_days: int
) -> tuple[Array, NDArray[np.int64]]:
    """First whole day after burial within all limits, and what held it back, ``(members,)``.

    The second array holds an index in ``REASONS``: that of the limit without which the day
    would come first.
    """
    each = _within(ground, limits)
    together = first_fit_day(np.logical_and.reduce(each), keeps_days)
    lifted = [
        first_fit_day(np.logical_and.reduce(each[:i] + each[i + 1 :]), keeps_days)
        for i in range(len(REASONS))
    ]
    return together, np.argmin(lifted, axis=0)
