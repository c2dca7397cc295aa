"""Members that agree with a log: tempered in steps, each followed by moves that forget the copies.

The likelihood comes in by degrees, each so large that half of the members still count; after a
resampling every member moves by proposals that keep the members' own normal shape (for the
coordinates) or the prior (for the errors of single layers), accepted by Metropolis' rule.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq

from sourloam.forecast.belief import Belief
from sourloam.numerics.resampling import systematic

Floats = NDArray[np.float64]
Likelihood = Callable[[Floats, Floats], Floats]
_KEEP = 0.5  # method: share of the members that still count after a step
_MOVES = 2  # method: moves after each step
_LAST_MOVES = 3  # method: moves at the end
_STRIDE, _LAYER_STRIDE = 0.6, 0.25  # method: how far a proposal goes
_WIDER = 1.1  # method: proposals are wider than the members
_RIDGE = 1e-6  # method: keeps a covariance positive
_MOST_STEPS = 40  # method: never more steps than this


@dataclass(frozen=True)
class Sampled:
    """Coordinates (members, COUNT), errors of layers (members, layers), and the steps taken."""

    z: Floats
    layers: Floats
    steps: int
    accepted: float


def sample(
    likelihood: Likelihood, belief: Belief, layers: int, members: int, rng: np.random.Generator
) -> Sampled:
    """Members drawn from belief times likelihood (log likelihood of coordinates and errors)."""
    z, e = belief.draw(members, rng), rng.standard_normal((members, layers))
    found = likelihood(z, e)
    prior = _Normal.of(belief.mean, belief.covariance)
    power, steps, accepted = 0.0, 0, [1.0]
    while power < 1 and steps < _MOST_STEPS:
        power, weights = _further(found, power)
        chosen = systematic(weights, members, rng)
        z, e, found = z[chosen], e[chosen], found[chosen]
        steps += 1
        for _ in range(_MOVES if power < 1 else _LAST_MOVES):
            z, e, found, share = _moved(z, e, found, likelihood, prior, power, rng)
            accepted.append(share)
    return Sampled(z, e, steps, float(np.mean(accepted)))


def _further(found: Floats, power: float) -> tuple[float, Floats]:
    """The next power, at which half of the members count, and their weights."""

    def left(step: float) -> float:
        return _counting(_weights(step * found)) - _KEEP * len(found)

    step = 1 - power
    if left(step) < 0:
        step = float(brentq(left, 0.0, step, xtol=_RIDGE))
    return power + step, _weights(step * found)


def _weights(log: Floats) -> Floats:
    weights = np.exp(log - log.max())
    return np.asarray(weights / weights.sum())


def _counting(weights: Floats) -> float:
    """Number of members that weights amount to."""
    return float(1 / (weights**2).sum())


@dataclass(frozen=True)
class _Normal:
    mean: Floats
    root: Floats
    precision: Floats

    @classmethod
    def of(cls, mean: Floats, covariance: Floats) -> _Normal:
        size = len(mean)
        root = np.asarray(np.linalg.cholesky(covariance + _RIDGE * np.eye(size)), dtype=np.float64)
        return cls(mean, root, np.asarray(np.linalg.inv(root @ root.T), dtype=np.float64))

    def log(self, z: Floats) -> Floats:
        """Log density but for a constant."""
        away = z - self.mean
        return np.asarray(-0.5 * ((away @ self.precision) * away).sum(axis=1))


def _moved(
    z: Floats,
    e: Floats,
    found: Floats,
    likelihood: Likelihood,
    prior: _Normal,
    power: float,
    rng: np.random.Generator,
) -> tuple[Floats, Floats, Floats, float]:
    """Every member moves once, or stays."""
    shape = _Normal.of(z.mean(axis=0), _WIDER * np.cov(z.T))
    keep, keep_layer = np.sqrt(1 - _STRIDE**2), np.sqrt(1 - _LAYER_STRIDE**2)
    there = shape.mean + keep * (z - shape.mean)
    there = there + _STRIDE * rng.standard_normal(z.shape) @ shape.root.T
    errors = keep_layer * e + _LAYER_STRIDE * rng.standard_normal(e.shape)
    new = likelihood(there, errors)
    ratio = power * (new - found) + prior.log(there) - prior.log(z)
    ratio = ratio - shape.log(there) + shape.log(z)
    yes = np.log(rng.random(len(z))) < ratio
    return (
        np.where(yes[:, None], there, z),
        np.where(yes[:, None], errors, e),
        np.where(yes, new, found),
        float(yes.mean()),
    )
