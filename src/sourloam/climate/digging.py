"""When the ground can take a burial: not frozen under the spade, and warm enough to finish."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sourloam.evidence import Parameters

EVIDENCE = (
    "climate.digging.spade_depth",
    "climate.digging.frozen_below",
    "climate.digging.too_cold_below",
)


def ground_frozen(spade_c: ArrayLike, parameters: Parameters) -> NDArray[np.bool_]:
    """Whether the ground is too hard to open, ``(members, days)``.

    ``spade_c`` is the daily mean soil temperature, ``(days,)`` or ``(members, days)``, at the
    depth ``climate.digging.spade_depth``.
    """
    limit = parameters["climate.digging.frozen_below"][:, None]
    return np.asarray(np.asarray(spade_c, dtype=np.float64) < limit)


def ground_workable(
    spade_c: ArrayLike, trench_c: ArrayLike, parameters: Parameters
) -> NDArray[np.bool_]:
    """Whether a burial makes sense that day, ``(members, days)``.

    The ground can be opened, and at the trench's depth (``trench_c``) it is warm enough for
    soil life to go on with what is buried. Below that limit burying only stores the ferment.
    """
    limit = parameters["climate.digging.too_cold_below"][:, None]
    warm = np.asarray(trench_c, dtype=np.float64) >= limit
    return np.asarray(~ground_frozen(spade_c, parameters) & warm)
