"""What is believed of a place's hidden inputs: before any log, after some vessels, among places.

Beliefs are normal in the coordinates of ``coordinates`` and, for the amount of scraps, in the
logarithm of the level over what is expected of the place.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import book
from sourloam.forecast.coordinates import COUNT

Floats = NDArray[np.float64]
_ROUNDS = 30  # method: rounds in which places and their common mean are told apart
_LEAST = 1e-4  # method: a variance never falls to nought


@dataclass(frozen=True)
class Belief:
    """Mean (COUNT,) and covariance (COUNT, COUNT) of the hidden coordinates; mean and s.d. of the
    log level of scraps; ``turns`` finished vessels that taught it."""

    mean: Floats
    covariance: Floats
    rate_mean: float
    rate_sd: float
    turns: int = 0

    @classmethod
    def before_any_log(cls, rate: tuple[float, float]) -> Belief:
        """The evidence as it stands: independent standard normals."""
        return cls(np.zeros(COUNT), np.eye(COUNT), *rate)

    def draw(self, members: int, rng: np.random.Generator) -> Floats:
        """Coordinates (members, COUNT)."""
        root = np.linalg.cholesky(self.covariance)
        return np.asarray(self.mean + rng.standard_normal((members, COUNT)) @ root.T)

    def next_turn(self) -> Belief:
        """The same place's next vessel, which differs a little from the last."""
        share = book()["forecast.turn_change"].value
        drift = book()["forecast.rate_change"].value
        return replace(
            self,
            covariance=self.covariance + share * np.eye(COUNT),
            rate_sd=float(np.hypot(self.rate_sd, drift)),
        )

    def as_dict(self) -> dict[str, Any]:
        """Plain numbers, for keeping."""
        return {
            "mean": self.mean.tolist(),
            "covariance": self.covariance.tolist(),
            "rate_mean": self.rate_mean,
            "rate_sd": self.rate_sd,
            "turns": self.turns,
        }

    @classmethod
    def from_dict(cls, kept: dict[str, Any]) -> Belief:
        """What ``as_dict`` gave; KeyError or ValueError where it is something else."""
        mean, covariance = np.array(kept["mean"]), np.array(kept["covariance"])
        if mean.shape != (COUNT,) or covariance.shape != (COUNT, COUNT):
            raise ValueError("kept belief is of another version; learn it anew")
        return cls(mean, covariance, kept["rate_mean"], kept["rate_sd"], kept["turns"])


def share_strength(beliefs: Sequence[Belief], before: Belief) -> tuple[list[Belief], Belief]:
    """Places of one programme learn from each other: each shrunk towards what they have in
    common, and the belief with which a new place starts.

    Normal-normal in each coordinate: what a place learned apart from ``before`` counts as one
    noisy reading of the place; the variance between places is found with its own prior
    (``forecast.between_places`` of the variance before any log, worth one place).
    """
    if not beliefs:
        return [], before
    means = np.stack([np.append(b.mean, b.rate_mean) for b in beliefs])
    variances = np.stack([np.append(np.diag(b.covariance), b.rate_sd**2) for b in beliefs])
    first_mean = np.append(before.mean, before.rate_mean)
    first_variance = np.append(np.diag(before.covariance), before.rate_sd**2)
    reading, error = _without_prior(means, variances, first_mean, first_variance)
    common, common_variance, between = _common(reading, error, first_mean, first_variance)
    shared = [
        _shrunk(b, r, e, common, between) for b, r, e in zip(beliefs, reading, error, strict=True)
    ]
    spread = common_variance + between
    covariance = np.diag(np.maximum(spread[:-1], _LEAST))
    new = Belief(common[:-1], covariance, float(common[-1]), float(np.sqrt(spread[-1])))
    return shared, new


def _without_prior(
    means: Floats, variances: Floats, first_mean: Floats, first_variance: Floats
) -> tuple[Floats, Floats]:
    """What the logs alone say: posterior precision less prior precision."""
    precision = np.maximum(1 / variances - 1 / first_variance, _LEAST)
    reading = (means / variances - first_mean / first_variance) / precision
    vague = precision <= _LEAST
    return np.where(vague, first_mean, reading), 1 / precision


def _common(
    reading: Floats, error: Floats, first_mean: Floats, first_variance: Floats
) -> tuple[Floats, Floats, Floats]:
    """Mean over places with its variance, and the variance between places."""
    share = book()["forecast.between_places"].value
    between = share * first_variance
    for _ in range(_ROUNDS):
        weight = 1 / (error + between)
        precision = 1 / ((1 - share) * first_variance) + weight.sum(axis=0)
        common = first_mean / ((1 - share) * first_variance) + (weight * reading).sum(axis=0)
        common = common / precision
        own = (reading / error + common / between) / (1 / error + 1 / between)
        left = 1 / (1 / error + 1 / between)
        total = share * first_variance + ((own - common) ** 2 + left).sum(axis=0)
        between = np.maximum(total / (1 + len(reading)), _LEAST * first_variance)
    return common, 1 / precision, between


def _shrunk(
    belief: Belief, reading: Floats, error: Floats, common: Floats, between: Floats
) -> Belief:
    """A place with the others' mean as its prior; its own correlations are kept."""
    precision = 1 / error + 1 / between
    mean, variance = (reading / error + common / between) / precision, 1 / precision
    factor = np.sqrt(variance[:-1] / np.diag(belief.covariance))
    covariance = belief.covariance * factor[:, None] * factor[None, :]
    return replace(
        belief,
        mean=mean[:-1],
        covariance=covariance,
        rate_mean=float(mean[-1]),
        rate_sd=float(np.sqrt(variance[-1])),
    )
