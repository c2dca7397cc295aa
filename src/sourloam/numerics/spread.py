"""Median and 10-90 % range of an ensemble."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray


@dataclass(frozen=True)
class Spread:
    """Median with the 10 and 90 % points; floats, or arrays of one shape."""

    median: NDArray[np.float64]
    low: NDArray[np.float64]
    high: NDArray[np.float64]

    def as_dict(self) -> dict[str, object]:
        """Plain numbers or lists, for JSON."""
        return {name: getattr(self, name).tolist() for name in ("median", "low", "high")}


def spread(values: ArrayLike, axis: int = 0) -> Spread:
    """Median and 10-90 % range over the members on ``axis``; NaN members are left out.

    Infinity counts as "beyond the horizon" and may come back as a bound.
    """
    data = np.asarray(values, dtype=np.float64)
    if data.shape[axis] == 0:
        raise ValueError("no members to sum up")
    # 'lower/higher' neighbours would make NaN of inf - inf: take order statistics.
    low, median, high = np.nanquantile(data, [0.1, 0.5, 0.9], axis=axis, method="nearest")
    return Spread(np.asarray(median), np.asarray(low), np.asarray(high))


def middle(values: ArrayLike) -> float:
    """The median as ``spread`` has it, so that a sum and the range beside it tell one figure."""
    return float(spread(values).median)
