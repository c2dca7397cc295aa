"""Which of the unknown inputs moves an answer most, over the members that agree with the log."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import scipy  # its rooms load when first used
from numpy.typing import NDArray

from sourloam.forecast.coordinates import NAMES

Floats = NDArray[np.float64]
_TOLD = 3  # method: so many are told
_LEAST = 0.03  # method: a smaller share of the ranks' variance is chance
_RATE, _SOURING = "rate", "souring"
#: What each input is called, by its id; several inputs of one meaning share a name.
LABELS = {
    _RATE: "how much comes a day",
    "amount": "how big the measure really is",
    "dry": "how wet the scraps are",
    "packing": "how densely layers lie",
    "liquid": "how much liquid is let go",
    "warmth": "how warm it really stands",
    _SOURING: "how readily the mix sours",
}
_MEANING = {
    "amount": "amount",
    "dry": "dry",
    "loose": "packing",
    "vessel.packing": "packing",
    "vessel.press": "packing",
    "vessel.creep": "packing",
    "vessel.creep_days": "packing",
    "vessel.density_most": "packing",
    "liquid.yield_factor": "liquid",
    "liquid.day_spread": "liquid",
    "liquid.seepage": "liquid",
    "climate.room.unsure": "warmth",
}


@dataclass(frozen=True)
class Mover:
    """An input and the share of the answer's spread that goes with it, by ranks."""

    what: str
    share: float


def movers(answer: Floats, z: Floats, rate: Floats, souring: Floats) -> tuple[Mover, ...]:
    """The inputs that move ``answer`` (members,) most, the first one most.

    ``z`` (members, COUNT) hidden coordinates, ``rate`` log level of scraps, ``souring`` days in
    which the member's mix sours.
    """
    inputs: list[tuple[str, Floats]] = [(_MEANING[n], z[:, i]) for i, n in enumerate(NAMES)]
    inputs += [(_RATE, rate), (_SOURING, souring)]
    found: dict[str, float] = {}
    ranks = _ranks(np.stack([answer, *(values for _what, values in inputs)]))
    for (what, _values), mine in zip(inputs, ranks[1:], strict=True):
        found[what] = max(found.get(what, 0.0), _together(ranks[0], mine))
    return _greatest(found)


def _greatest(shares: Mapping[str, float]) -> tuple[Mover, ...]:
    order = sorted(shares, key=lambda what: -shares[what])[:_TOLD]
    return tuple(Mover(what, shares[what]) for what in order if shares[what] >= _LEAST)


def _ranks(values: Floats) -> Floats:
    """Ranks of each row, about their mean."""
    ranks = scipy.stats.rankdata(values, axis=1)
    return np.asarray(ranks - ranks.mean(axis=1, keepdims=True))


def _together(a: Floats, b: Floats) -> float:
    """Squared rank correlation; 0 where nothing varies."""
    both = float((a**2).sum() * (b**2).sum())
    return float((a * b).sum() ** 2 / both) if both > 0 else 0.0
