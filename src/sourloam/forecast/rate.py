"""How much more or less than expected a place throws away: one level, learned from its layers."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sourloam.forecast.belief import Belief
from sourloam.forecast.logged import Logged

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Level:
    """Log of the level over what is expected: mean of each member and their common s.d."""

    mean: Floats
    sd: float

    def draw(self, rng: np.random.Generator) -> Floats:
        """One level a member, ``(members,)``: the natural logarithm of its factor on the usual
        scraps."""
        return np.asarray(self.mean + self.sd * rng.standard_normal(len(self.mean)))


def level_of(
    log: Logged, laid_kg: Floats, expected: Floats, now: int, belief: Belief, day_to_day: float
) -> Level:
    """Normal-normal on the log scale: the belief, and what was laid over what was expected.

    ``laid_kg`` (members,) is all that the log laid in, ``expected`` (days,) what usually comes, kg
    a day; ``day_to_day`` is the relative spread of single days. The error of the log's
    sum is that of independent days. A layer holds the scraps gathered since the one before; so
    does the first.
    """
    gap = _gap(log)
    end = log.last_layer if log.set_aside is not None else max(log.last_layer, now - gap + 1)
    usual = expected[expected > 0]
    before = (gap - 1) * float(usual.mean()) if usual.size else 0.0
    due = float(expected[: end + 1].sum()) + before
    if due <= 0 or not log.layers:
        return Level(np.full(len(laid_kg), belief.rate_mean), belief.rate_sd)
    days = int((expected[: end + 1] > 0).sum()) + gap - 1
    error = np.log1p(day_to_day**2 / max(days, 1))
    reading = np.log(laid_kg / due) + error / 2
    held, seen = 1 / belief.rate_sd**2, 1 / error
    mean = (held * belief.rate_mean + seen * reading) / (held + seen)
    return Level(np.asarray(mean), float(1 / np.sqrt(held + seen)))


def _gap(log: Logged) -> int:
    """Usual days from one layer to the next."""
    days = sorted({layer.day for layer in log.layers})
    return max(1, round(float(np.median(np.diff(days))))) if len(days) > 1 else 1


def future_kg(
    expected: Floats, rate: Floats, day_to_day: float, rng: np.random.Generator
) -> Floats:
    """Scraps of the coming days, (members, days): level, calendar, and a lognormal factor with
    mean 1 for each day."""
    variance = np.log1p(day_to_day**2)
    noise = rng.standard_normal((len(rate), len(expected))) * np.sqrt(variance) - variance / 2
    return np.asarray(expected * np.exp(rate[:, None] + noise))
