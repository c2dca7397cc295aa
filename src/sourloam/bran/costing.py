"""What a batch costs, by the person's own prices."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from sourloam.bran.contract import Cost, CostLine
from sourloam.bran.making import Batch
from sourloam.bran.ranges import range_of

Floats = NDArray[np.float64]
#: What can be priced: each by kg, the inoculum by kg or litre, energy by kWh.
PRICED: tuple[str, ...] = ("carrier", "sugar", "inoculum", "energy", "bag")


def costing(made: Batch, prices: Mapping[str, float]) -> Cost:
    """Cost by part and in all; parts without a price are named. ValueError for unknown parts.

    ``bag`` is a price for each kg of finished bran packed.
    """
    for name, price in prices.items():
        if name not in PRICED:
            raise ValueError(f"{name}: no price of this kind; choose from {', '.join(PRICED)}")
        if not 0 <= price < float("inf"):
            raise ValueError(f"price of {name} {price:g}: give 0 or more")
    amounts = _amounts(made)
    costs = {n: a * prices[n] for n, a in amounts.items() if n in prices}
    missing = tuple(n for n, a in amounts.items() if n not in prices and a.max() > 0 and n != "bag")
    if not costs:
        return Cost(lines=(), without_price=missing)
    total = np.asarray(sum(costs.values()))
    return Cost(
        lines=tuple(CostLine(name=n, cost=range_of(c, "money")) for n, c in costs.items()),
        total=range_of(total, "money"),
        per_kg=range_of(total / made.product_kg, "money/kg"),
        without_price=missing,
    )


def _amounts(made: Batch) -> dict[str, Floats]:
    weighed, dry = made.recipe, made.dried
    return {
        "carrier": weighed.carrier_kg,
        "sugar": weighed.sweet_kg,
        "inoculum": weighed.inoculum_kg,
        "energy": 0 * weighed.wet_kg if dry is None else dry.energy_kwh * weighed.wet_kg,
        "bag": made.product_kg,
    }
