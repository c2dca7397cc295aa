"""Salt and yield: a plateau, then a straight line down (Maas and Hoffman 1977)."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def salt_at_yield(share: ArrayLike, threshold_ds_m: ArrayLike, slope_per_ds_m: ArrayLike) -> Array:
    """Salt level, dS/m ECe (EC of the saturated paste), at which ``share`` (above 0, at most 1) of
    the yield is left. The slope is a share of the yield per dS/m. Valid for established plants;
    seedlings are often weaker. Broadcasts."""
    lost = 1.0 - np.asarray(share, dtype=np.float64)
    return np.asarray(threshold_ds_m, np.float64) + lost / np.asarray(slope_per_ds_m, np.float64)
