"""Which single layer each member lays: by the dryness of its mix, by pH strips, looks, verdicts."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import special

from sourloam.evidence import book
from sourloam.forecast.agreement import heavy
from sourloam.forecast.logged import Logged
from sourloam.forecast.souring import Souring

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
_ALIKE = 0.4  # method: dry shares so many standard deviations apart count as alike
_FIRST_WEEK = 7
_LEAST = 1e-12  # method: keeps a logarithm finite


@dataclass(frozen=True)
class Match:
    """Log weight of each draw of a single layer for each member, (members, draws)."""

    log_weight: Floats

    @property
    def log_evidence(self) -> Floats:
        """How well each member agrees with what was read of its acids, (members,)."""
        return np.asarray(special.logsumexp(self.log_weight, axis=1))

    def draw(self, rng: np.random.Generator) -> Ints:
        """For each member, ``(members,)``, the number of one single layer, drawn by how well it
        agrees."""
        noise = rng.gumbel(size=self.log_weight.shape)
        return np.asarray((self.log_weight + noise).argmax(axis=1))


def match(souring: Souring, dry_share: Floats, warmth_c: Floats, logged: Logged) -> Match:
    """Weights of the draws; ``warmth_c`` (members,) mean where the vessel stood."""
    log = _alike(souring, dry_share)
    if logged.strips:
        log = log + _strips(souring, warmth_c, logged)
    failed = souring.fails_of_all(warmth_c)
    return Match(log + _looks(failed, logged) + _verdict(failed, logged))


def _alike(souring: Souring, dry_share: Floats) -> Floats:
    """Prior weights: sound draws by likeness in dry share; troubled ones, whose mix is another,
    all alike by their own chance."""
    troubled, share = souring.troubled, special.logit(souring.dry_share)
    width = _ALIKE * share[~troubled].std()
    away = (special.logit(dry_share)[:, None] - share[~troubled]) / width
    log = np.maximum(-0.5 * away**2, -50.0)  # method: never quite nought
    chance = book()["forecast.trouble"].value
    out = np.empty((len(dry_share), len(share)))
    out[:, ~troubled] = np.log(1 - chance) + log - special.logsumexp(log, axis=1)[:, None]
    out[:, troubled] = np.log(chance / troubled.sum())
    return out


def _strips(souring: Souring, warmth_c: Floats, logged: Logged) -> Floats:
    evidence = book()
    error, degrees = evidence["forecast.strip.error"].value, evidence["forecast.tails"].value
    low, up = souring.between(warmth_c)
    total = np.zeros((len(warmth_c), souring.ph.shape[1]))
    for strip in logged.strips:
        table = read_ph(souring, logged, strip.day, strip.solid)
        there = table[low] * (1 - up[:, None]) + table[low + 1] * up[:, None]
        total += heavy((strip.ph - there) / error, degrees)
    return total


def read_ph(souring: Souring, logged: Logged, day: int, solid: bool) -> Floats:
    """pH that a strip would show, (temperatures, draws): the newest layer's, or the mean of all
    layers by mass for the liquid."""
    there = [layer for layer in logged.layers if layer.day <= day] or list(logged.layers[:1])
    if not there:
        return souring.ph[:, :, 0]
    ages = np.array([min(max(day - layer.day, 0), souring.days - 1) for layer in there])
    if solid:
        return np.asarray(souring.ph[:, :, ages[-1]])
    weights = np.bincount(ages, [layer.kg for layer in there], souring.days)
    return np.asarray(souring.ph @ (weights / weights.sum()))


def _looks(failed: NDArray[np.bool_], logged: Logged) -> Floats:
    evidence = book()
    if_failed = evidence["forecast.smell.if_failed"].value
    if_sound = evidence["forecast.smell.if_sound"].value
    total = np.zeros(failed.shape)
    for look in logged.looks:
        if look.day < logged.last_layer + _FIRST_WEEK and not look.rotten:
            continue
        chance = np.where(failed, if_failed, if_sound)
        total += np.log(chance if look.rotten else 1 - chance)
    return total


def _verdict(failed: NDArray[np.bool_], logged: Logged) -> Floats:
    if logged.verdict is None:
        return np.zeros(failed.shape)
    wrong = book()["forecast.smell.if_sound"].value
    return np.asarray(np.log(np.where(failed == (logged.verdict == "failed"), 1 - wrong, wrong)))
