"""From signs to a verdict: a cause, nothing wrong, or "not sure" with the reason."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from sourloam.numerics.spread import Spread, spread
from sourloam.triage.beliefs import Beliefs, judged
from sourloam.triage.causes import WELL
from sourloam.triage.context import Context, answered
from sourloam.triage.sign import Stage
from sourloam.triage.signs import SIGNS, SignError, clashing, stage_of
from sourloam.triage.weighing import Observed, posterior, prior, rule, weights_of

Floats = NDArray[np.float64]
Doubt = Literal["", "nothing_told", "contradiction", "unexplained", "rare", "open"]
_MEMBERS = 200  # method: draws of the shares, for the ranges


@dataclass(frozen=True)
class Likely:
    """A cause with its share, 0 to 1, and the 10-90 % range that the judged numbers leave."""

    cause: str
    share: float
    low: float
    high: float


@dataclass(frozen=True)
class Verdict:
    """All causes, the likeliest first. ``sure`` says whether the first may be named.

    ``doubt`` says why not: nothing was told yet; signs ``contradict`` each other; the first cause
    leaves signs ``unexplained`` ("nothing wrong" must explain them all); all signs together are
    too rare under every cause; or it is still open between causes. ``shares`` are the plain
    shares in the order of the beliefs.
    """

    stage: Stage
    likely: tuple[Likely, ...]
    sure: bool
    doubt: Doubt
    seen: tuple[str, ...]
    absent: tuple[str, ...]
    contradictory: tuple[tuple[str, str], ...]
    unexplained: tuple[str, ...]
    context: Context
    shares: tuple[float, ...]

    @property
    def first(self) -> Likely:
        """The likeliest cause, named or not."""
        return self.likely[0]

    @property
    def cause(self) -> str | None:
        """The cause, None where it is not sure."""
        return self.first.cause if self.sure else None

    @property
    def well(self) -> bool:
        """Surely nothing wrong."""
        return self.cause == WELL[self.stage]


def diagnose(
    seen: Collection[str],
    absent: Collection[str] = (),
    context: Context | None = None,
    beliefs: Beliefs | None = None,
    rng: np.random.Generator | None = None,
) -> Verdict:
    """What is behind the signs that were seen, and those that were looked for and not there.

    ``beliefs`` are those of the evidence if none are given, and say what stage is meant where no
    sign does. The order of signs is nothing. SignError where a sign is unknown, stands in both
    lists, or belongs to another stage.
    """
    context = context or Context()
    stage = stage_of({*seen, *absent}, beliefs.stage if beliefs else "vessel")
    beliefs = beliefs or judged(stage)
    _check(seen, absent, beliefs, stage)
    observed = looked_for(beliefs, seen, absent, context)
    start = prior(beliefs, context)
    weights = weights_of(beliefs, observed, start)
    chances = observed.chances(beliefs.share)
    shares = posterior(start, chances, weights)
    draws = beliefs.drawn(observed.rows, _MEMBERS, rng or np.random.default_rng(0))
    ranges = spread(posterior(start, observed.found(draws), weights))
    likely = _ordered(beliefs, shares, ranges)
    names = tuple(beliefs.signs[i] for i in observed.rows)
    by_first = chances[:, beliefs.causes.index(likely[0].cause)]
    strange = tuple(
        sign for sign, chance in zip(names, by_first, strict=True) if chance < rule("unlikely")
    )
    doubt = _doubt(likely, beliefs, observed, strange, clashing(seen))
    return Verdict(
        stage=stage,
        likely=likely,
        sure=not doubt,
        doubt=doubt,
        seen=tuple(sorted(set(seen))),
        absent=tuple(sorted(set(absent))),
        contradictory=clashing(seen),
        unexplained=strange,
        context=context,
        shares=tuple(float(s) for s in shares),
    )


def looked_for(
    beliefs: Beliefs, seen: Collection[str], absent: Collection[str], context: Context
) -> Observed:
    """Signs that count: those that the log answers, or another of the same choice, do not."""
    known = answered(context) | _told_by_choice(seen)
    return Observed.of(beliefs, sorted(set(seen) - known), sorted(set(absent) - known))


def _told_by_choice(seen: Collection[str]) -> set[str]:
    """Signs that cannot be there since another of the same choice is: they say nothing more."""
    chosen = {SIGNS[sign].choice for sign in seen} - {""}
    return {s.id for s in SIGNS.values() if s.choice in chosen} - set(seen)


def _check(seen: Collection[str], absent: Collection[str], beliefs: Beliefs, stage: Stage) -> None:
    both = sorted(set(seen) & set(absent))
    if both:
        raise SignError(f"{both[0]}: said to be there and not to be there; say one of the two")
    if beliefs.stage != stage:
        other = sorted({*seen, *absent})[0]
        raise SignError(f"{other}: a sign of the {stage}, asked about the {beliefs.stage}")


def _ordered(beliefs: Beliefs, shares: Floats, ranges: Spread) -> tuple[Likely, ...]:
    return tuple(
        Likely(
            beliefs.causes[i],
            float(shares[i]),
            float(min(ranges.low[i], shares[i])),
            float(max(ranges.high[i], shares[i])),
        )
        for i in np.argsort(-shares, kind="stable")
    )


def _doubt(
    likely: tuple[Likely, ...],
    beliefs: Beliefs,
    observed: Observed,
    strange: tuple[str, ...],
    clashes: tuple[tuple[str, str], ...],
) -> Doubt:
    first = likely[0]
    if clashes:
        return "contradiction"
    if not observed.there.any():
        return "nothing_told"
    well = first.cause == WELL[beliefs.stage]
    if len(strange) > 1 or (strange and (well or first.share < rule("unexplained"))):
        return "unexplained"
    if _surprise(beliefs, observed) > rule("surprise"):
        return "rare"
    limit = "well" if well else "name"
    if first.share < rule(limit) or first.low < rule(f"{limit}_low"):
        return "open"
    return ""


def _surprise(beliefs: Beliefs, observed: Observed) -> float:
    """How many deviations rarer the findings are than usual, under the cause that bears them
    best; signs are taken as independent."""
    share = beliefs.share[observed.rows]
    found = np.where(observed.there[:, None], share, 1 - share)
    if not found.size:
        return 0.0
    yes, no = np.log(share), np.log(1 - share)
    mean = share * yes + (1 - share) * no
    variance = share * (1 - share) * (yes - no) ** 2
    away = (mean - np.log(found)).sum(axis=0) / np.sqrt(variance.sum(axis=0))
    return float(away.min())
