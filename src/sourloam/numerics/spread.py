"""Median and 10-90 % range of an ensemble."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

_POINTS = (0.1, 0.5, 0.9)


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
    """Median and 10-90 % range over the members on ``axis``, which falls away; the unit is that of
    ``values``. NaN members are left out.

    Infinity counts as "beyond the horizon" and may come back as a bound. ValueError without
    members.
    """
    data = np.asarray(values, dtype=np.float64)
    if data.shape[axis] == 0:
        raise ValueError("no members to sum up")
    ranked = np.sort(np.moveaxis(data, axis, 0), axis=0)  # NaN come last
    counted = np.maximum(len(ranked) - np.isnan(ranked).sum(axis=0), 1)
    # Neighbours in between would make NaN of inf - inf: take the nearest.
    places = [np.rint(share * (counted - 1)).astype(np.intp)[None] for share in _POINTS]
    low, median, high = (np.take_along_axis(ranked, place, axis=0)[0] for place in places)
    return Spread(np.asarray(median), np.asarray(low), np.asarray(high))


def middle(values: ArrayLike) -> float:
    """The median of ``values`` ``(members,)`` as ``spread`` has it, so that a sum and the range
    beside it tell one figure. ValueError without members."""
    return float(spread(values).median)
