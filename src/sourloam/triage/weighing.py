"""Signs weighed against causes by Bayes' rule, damped because signs come together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import book
from sourloam.triage.beliefs import Beliefs
from sourloam.triage.causes import WELL
from sourloam.triage.context import FORESEEN, Context, odds_of

Floats = NDArray[np.float64]
_MOST_SURE = 1e-3  # method: a foreseen chance is never taken as 0 or 1


@dataclass(frozen=True)
class Observed:
    """What was looked for: row of each sign in the beliefs, and whether it was there."""

    rows: NDArray[np.int64]
    there: NDArray[np.bool_]

    @classmethod
    def of(cls, beliefs: Beliefs, seen: Sequence[str], absent: Sequence[str]) -> Observed:
        """Sorted by id, so that the order in which people name signs is nothing."""
        row = {sign: i for i, sign in enumerate(beliefs.signs)}
        both = sorted([(sign, True) for sign in seen] + [(sign, False) for sign in absent])
        return cls(
            np.array([row[sign] for sign, _ in both], dtype=np.int64),
            np.array([there for _, there in both], dtype=bool),
        )

    def chances(self, share: Floats) -> Floats:
        """P(what was found | cause) of each sign looked for; ``share`` (signs, causes)."""
        return self.found(share[self.rows])

    def found(self, share: Floats) -> Floats:
        """P(what was observed | cause): ``share`` (..., observations, causes) where a sign was
        there, one less it where it was not."""
        return np.where(self.there[:, None], share, 1 - share)


def prior(beliefs: Beliefs, context: Context) -> Floats:
    """Share of each cause by setting, log and model before any sign, (causes,), sum 1."""
    times = odds_of(context)
    usual = beliefs.usual(context.setting) * [times.get(cause, 1.0) for cause in beliefs.causes]
    usual = usual / usual.sum()
    if context.chance_of_failing is None or beliefs.stage == "ground":
        return np.asarray(usual)
    return _with_model(usual, beliefs.causes, context.chance_of_failing)


def _with_model(usual: Floats, causes: Sequence[str], failing: float) -> Floats:
    """The odds of nothing wrong against what the model can foresee lie between the usual ones and
    the foreseen; a tap, a fly or a leak is as likely as before."""
    well = causes.index(WELL["vessel"])
    known = np.array([cause in FORESEEN for cause in causes])
    group = float(usual[well] + usual[known].sum())
    sound = float(np.clip(1 - failing, _MOST_SURE, 1 - _MOST_SURE))
    weight = rule("model_weight", "context")
    log_odds = (1 - weight) * _logit(float(usual[well]) / group) + weight * _logit(sound)
    share = 1 / (1 + np.exp(-log_odds))
    shares = np.where(known, usual * group * (1 - share) / usual[known].sum(), usual)
    shares[well] = group * share
    return np.asarray(shares)


def weights_of(beliefs: Beliefs, observed: Observed, start: Floats) -> Floats:
    """Weight of each observation: 1 for the most telling one, less for the others.

    The most telling one is that whose log-likelihood differs most between causes, each counted
    by its share before any sign.
    """
    if not observed.rows.size:
        return np.zeros(0)
    logs = np.log(observed.chances(beliefs.share))
    spread = ((logs - logs @ start[:, None]) ** 2) @ start
    weights = np.full(observed.rows.size, rule("damp"))
    weights[int(np.argmax(spread))] = 1.0
    return weights


def posterior(start: Floats, chances: Floats, weights: Floats) -> Floats:
    """Shares of the causes, (..., causes), sum 1. ``start`` (..., causes) are the shares before,
    ``chances`` (..., observations, causes) P(observed | cause), ``weights`` (observations,) how far
    each observation counts."""
    logs = np.log(start) + np.einsum("o,...oc->...c", weights, np.log(chances))
    shares = np.exp(logs - logs.max(axis=-1, keepdims=True))
    return capped(shares / shares.sum(axis=-1, keepdims=True))


def capped(shares: Floats) -> Floats:
    """Shares, (..., causes), in which no cause has greater odds than signs of this kind can give;
    what is taken off the first goes to the others in their proportion."""
    most = rule("cap") / (1 + rule("cap"))
    top = shares.max(axis=-1, keepdims=True)
    room = (1 - most) / np.maximum(1 - top, np.finfo(float).tiny)
    return np.where(top > most, np.where(shares == top, most, shares * room), shares)


def rule(name: str, group: str = "rule") -> float:
    """A row of ``triage.rule``, or of another group of the table."""
    return book()[f"triage.{group}.{name}"].value


def _logit(share: float) -> float:
    return float(np.log(share / (1 - share)))
