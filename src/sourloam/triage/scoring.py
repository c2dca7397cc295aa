"""How good verdicts are on invented cases, whose cause is known.

Invented from the same judged shares: this proves the reckoning and the doubt, not the shares.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from sourloam.triage.beliefs import Beliefs
from sourloam.triage.causes import WELL
from sourloam.triage.context import Context
from sourloam.triage.diagnosis import Verdict, diagnose
from sourloam.triage.questions import next_question
from sourloam.triage.signs import CLASHES

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Invented:
    """A vessel or bed whose main cause is known, with all signs that are there."""

    cause: str
    signs: frozenset[str]


@dataclass(frozen=True)
class Talked:
    """How a conversation about an invented case ended, after so many questions."""

    case: Invented
    verdict: Verdict
    questions: int


@dataclass(frozen=True)
class Score:
    """Over many cases: Brier score over all causes (0 best, 2 worst), and before any sign.

    ``sure`` is the share of cases with a named cause, ``right`` the share of those that were
    named rightly, ``stated`` the mean share that was stated for them. ``false_clear`` is the
    share of troubled cases that were called well.
    """

    cases: int
    brier: float
    brier_before: float
    sure: float
    right: float
    stated: float
    false_clear: float
    questions: float


def invented(
    beliefs: Beliefs,
    count: int,
    rng: np.random.Generator,
    unsure_shares: bool = False,
    together: float = 0.0,
) -> list[Invented]:
    """Cases as people new to the work meet them.

    With ``unsure_shares`` each case has shares of its own from their ranges; ``together``, 0 to
    1, makes signs of one case come together more than the reckoning takes them to.
    """
    causes = rng.choice(len(beliefs.causes), size=count, p=beliefs.usual("new"))
    return [_case(beliefs, int(cause), rng, unsure_shares, together) for cause in causes]


def _case(
    beliefs: Beliefs, cause: int, rng: np.random.Generator, unsure_shares: bool, together: float
) -> Invented:
    rows = np.arange(len(beliefs.signs))
    share = beliefs.drawn(rows, 1, rng)[0] if unsure_shares else beliefs.share
    own, shared = rng.standard_normal(rows.size), rng.standard_normal()
    level = ndtr(np.sqrt(1 - together) * own + np.sqrt(together) * shared)
    there = level < share[:, cause]
    likely = dict(zip(beliefs.signs, share[:, cause], strict=True))
    signs = {s for s, here in zip(beliefs.signs, there, strict=True) if here}
    for pair in CLASHES:
        if pair <= signs:  # what cannot be together is not: the rarer one gives way
            signs.remove(min(sorted(pair), key=lambda s: likely[s]))
    return Invented(beliefs.causes[cause], frozenset(signs))


def talk_about(case: Invented, beliefs: Beliefs, context: Context | None = None) -> Talked:
    """Answer questions truly until none is left."""
    seen: set[str] = set()
    absent: set[str] = set()
    verdict, asked = diagnose((), (), context, beliefs), 0
    while question := next_question(verdict, (), beliefs):
        there = [option for option in question.options if option in case.signs]
        more, less = question.answers(there if question.several else there[:1])
        seen |= set(more)
        absent |= set(less)
        verdict, asked = diagnose(seen, absent, context, beliefs), asked + 1
    return Talked(case, verdict, asked)


def score(talks: Sequence[Talked], beliefs: Beliefs) -> Score:
    """The score of conversations about cases as people new to the work meet them."""
    told = np.array([talk.verdict.shares for talk in talks])
    truth = np.array([beliefs.causes.index(talk.case.cause) for talk in talks])
    sure = np.array([talk.verdict.sure for talk in talks])
    right = np.array([talk.verdict.cause == talk.case.cause for talk in talks])
    stated = np.array([talk.verdict.first.share for talk in talks])
    troubled = truth != beliefs.causes.index(WELL[beliefs.stage])
    cleared = np.array([talk.verdict.well for talk in talks])
    before = np.tile(beliefs.usual("new"), (len(talks), 1))
    return Score(
        cases=len(talks),
        brier=_brier(told, truth),
        brier_before=_brier(before, truth),
        sure=float(sure.mean()),
        right=_share(right, sure),
        stated=float(stated[sure].mean()) if sure.any() else 0.0,
        false_clear=_share(cleared, troubled),
        questions=float(np.mean([talk.questions for talk in talks])),
    )


def _brier(told: Floats, truth: NDArray[np.int64]) -> float:
    came = np.zeros_like(told)
    came[np.arange(truth.size), truth] = 1.0
    return float(((told - came) ** 2).sum(axis=1).mean())


def _share(happened: NDArray[np.bool_], among: NDArray[np.bool_]) -> float:
    return float(happened[among].mean()) if among.any() else 0.0
