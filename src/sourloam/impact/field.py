"""What reaches garden soil there: nitrous oxide by the guidelines, carbon by turnover."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import Parameters
from sourloam.impact.place import Surroundings
from sourloam.impact.route import Emission, at_once
from sourloam.soil import turnover

Array = NDArray[np.float64]
EVIDENCE: tuple[str, ...] = ("impact.soil", "impact.mole", "turnover")
#: Years after which what is left of the carbon is told.
SPANS = (1, 5, 20)  # method: the years that are told
_STEPS = 12  # method: steps of turnover a year, as the model was built for


def nitrous_oxide(nitrogen_kg: Array, pit: Array, there: Surroundings, p: Parameters) -> Emission:
    """Direct and indirect nitrous oxide of nitrogen given to soil: IPCC 2019, volume 4, ch. 11.

    ``pit``: times the direct factor. Nothing leaches in a dry climate.
    """
    direct = np.where(there.wet, p["impact.soil.direct.wet"], p["impact.soil.direct.dry"])
    again = np.where(there.wet, p["impact.soil.redeposited.wet"], p["impact.soil.redeposited.dry"])
    leached = np.where(there.wet, p["impact.soil.leached"], 0.0) * p["impact.soil.leached_n2o"]
    share = direct * pit + p["impact.soil.volatile"] * again + leached
    return at_once(
        "nitrous oxide from the soil",
        "n2o",
        nitrogen_kg * share * nitrous_per_nitrogen(p),
        "impact.soil.direct.wet",
        "impact.soil.volatile",
        "impact.soil.redeposited.wet",
        "impact.soil.leached",
        "impact.soil.leached_n2o",
    )


def nitrous_per_nitrogen(p: Parameters) -> Array:
    """kg N2O to a kg of nitrogen in it, ``(members,)``: 44/28."""
    return np.asarray(p["impact.mole.n2o"] / p["impact.mole.nitrogen"])


def methane_per_carbon(p: Parameters) -> Array:
    """kg CH4 to a kg of carbon in it, ``(members,)``: 16/12."""
    return np.asarray(p["impact.mole.ch4"] / p["impact.mole.carbon"])


def carbon_left(
    carbon_kg: Array, decomposable: Array, humus: Array, there: Surroundings, p: Parameters
) -> Array:
    """Carbon still in the soil after the ``SPANS``, (members, spans), of ``carbon_kg`` put there.

    ``humus``: share of it that is humified already; ``decomposable``: share of the rest.
    """
    nothing = np.zeros(p.members)
    fresh = carbon_kg * (1 - humus)
    pools = turnover.Pools(
        fresh * decomposable, fresh * (1 - decomposable), nothing, carbon_kg * humus
    )
    left = []
    for year in range(1, max(SPANS) + 1):
        for _ in range(_STEPS):
            pools = turnover.break_down(pools, there.turnover, 1 / _STEPS, there.clay_percent, p)
        if year in SPANS:
            left.append(pools.total)
    return np.stack(left, axis=1)
