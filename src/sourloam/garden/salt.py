"""Salt and yield: a plateau, then a straight line down (Maas and Hoffman 1977)."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def yield_share(ece_ds_m: ArrayLike, threshold_ds_m: ArrayLike, slope_per_ds_m: ArrayLike) -> Array:
    """Share of the full yield, 0 to 1, at a salt level of the root zone.

    ``ece_ds_m`` is the EC of the saturated paste, dS/m; the slope is a share of the yield per
    dS/m. Valid for established plants; seedlings are often weaker. Broadcasts.
    """
    salt, threshold = np.asarray(ece_ds_m, np.float64), np.asarray(threshold_ds_m, np.float64)
    over = np.maximum(salt - threshold, 0.0)
    return np.asarray(np.clip(1.0 - np.asarray(slope_per_ds_m, np.float64) * over, 0.0, 1.0))


def salt_at_yield(share: ArrayLike, threshold_ds_m: ArrayLike, slope_per_ds_m: ArrayLike) -> Array:
    """Salt level, dS/m ECe, at which ``share`` (above 0, at most 1) of the yield is left.
    Broadcasts."""
    lost = 1.0 - np.asarray(share, dtype=np.float64)
    return np.asarray(threshold_ds_m, np.float64) + lost / np.asarray(slope_per_ds_m, np.float64)
