"""What moves the days that a batch stays strong enough most."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sourloam.bran import carriers, keeping
from sourloam.bran.contract import Mover
from sourloam.bran.making import Batch
from sourloam.units import show

Floats = NDArray[np.float64]
_WARMER_K = 10.0
_WETTER = 0.02  # method: two points of moisture more
_YEAR = 365


def movers(made: Batch, system: str) -> tuple[Mover, ...]:
    """Each input with the days at its better and at its worse, the widest first; by the middle of
    the members."""
    low, high = np.quantile(made.strength[:, 0], [1 / 3, 1 - 1 / 3])
    strong = made.good_days[made.strength[:, 0] >= high]
    weak = made.good_days[made.strength[:, 0] <= low]
    warmer = show(_WARMER_K, "temperature_difference", system)
    store = made.case.store_c
    found = [
        _mover("start", "How strong it is when packed: the stronger third of such batches keeps "
               "{better}, the weaker third {worse}.", strong, weak),
        _mover("store", "How warm it is kept: in a refrigerator {better}, " + warmer + " warmer "
               "than foreseen {worse}.", made.good_days_cool, _kept(made, store + _WARMER_K, 0.0)),
    ]  # fmt: skip
    if made.dried is not None:
        said = "How dry it is: as foreseen {better}, with two points more moisture {worse}."
        found.append(_mover("moisture", said, made.good_days, _kept(made, store, _WETTER)))
    return tuple(sorted(found, key=lambda one: one.worse_days - one.better_days))


def _mover(name: str, said: str, better: Floats, worse: Floats) -> Mover:
    days = [float(np.median(one)) for one in (better, worse)]
    text = said.format(better=_days(days[0]), worse=_days(days[1]))
    return Mover(name=name, better_days=days[0], worse_days=days[1], text=text)


def _days(days: float) -> str:
    return show(days, "duration") if days >= 1 else "not a day"


def _kept(made: Batch, store_c: float, wetter: float) -> Floats:
    """Days that the same members stay strong enough in another store, or damper."""
    parameters = made.parameters
    taken_up = carriers.sorption(made.case.wish.mixture, parameters)
    moisture = np.minimum(made.end_moisture + wetter, made.recipe.moisture)
    warmth = np.full(_YEAR, store_c)
    moist = made.dried is None
    strength = keeping.strength_after(
        made.strength[:, 0], moisture, taken_up, warmth, parameters, moist
    )
    return np.minimum(keeping.good_days(strength, parameters), made.longest_days)
