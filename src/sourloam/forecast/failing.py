"""How sure the chance of failing is: a judged chance stands behind it, and so many members."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import book

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
_DRAWS = 400  # method: chances drawn
_RANGE = (0.1, 0.9)  # method: the ends that are told
_BELIEVED = "forecast.trouble"


def chance_between(fails: Bools, troubled: Bools, rng: np.random.Generator) -> tuple[float, float]:
    """10 and 90 % points of the chance of failing.

    How often a vessel starts in trouble is judged, between its row's ends: members in trouble
    weigh more or less by that. And so many members tell a share no better than so many cases
    would (the Bayesian bootstrap, with half a case each way so that none is ever impossible).
    """
    usual = book()[_BELIEVED].value
    believed = book().sample((_BELIEVED,), _DRAWS, rng)[_BELIEVED]
    times = (believed / (1 - believed)) / (usual / (1 - usual))
    counts = np.array([(fails & troubled).sum(), (~fails & troubled).sum(),
                       (fails & ~troubled).sum(), (~fails & ~troubled).sum()])  # fmt: skip
    weight = rng.gamma(counts + 0.25, size=(_DRAWS, 4))  # method: half a case each way, in quarters
    weight[:, :2] *= times[:, None]
    low, high = np.quantile(weight[:, [0, 2]].sum(axis=1) / weight.sum(axis=1), _RANGE)
    return float(low), float(high)
