"""Members drawn anew by their weights."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray


def systematic(
    weights: NDArray[np.float64], count: int, rng: np.random.Generator
) -> NDArray[np.int64]:
    """``count`` indices drawn with one random offset, each about as often as its weight says.

    ``weights`` (members,) add up to 1. Kitagawa (1996), J. Comput. Graph. Stat. 5, 1-25.
    """
    ladder = (rng.random() + np.arange(count)) / count
    return np.minimum(np.searchsorted(np.cumsum(weights), ladder), len(weights) - 1)
