"""The one question that tells most for the trouble it takes."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import book
from sourloam.ledger.sentences import gettext_noop as _
from sourloam.triage.beliefs import Beliefs, judged
from sourloam.triage.context import answered
from sourloam.triage.diagnosis import Verdict
from sourloam.triage.signs import CLASHES, SIGNS
from sourloam.triage.weighing import rule

Floats = NDArray[np.float64]
_CHOICES = {"strip": _("What does a pH strip say?")}
_TINY = 1e-12  # method: keeps the logarithm of nothing finite


@dataclass(frozen=True)
class Question:
    """One question. ``options`` are the signs to choose from: one for a plain yes or no.

    ``gain`` is the information it should bring, in bits, ``minutes`` the trouble it takes.
    ``text`` and ``how`` are English message ids.
    """

    id: str
    text: str
    how: str
    options: tuple[str, ...]
    gain: float
    minutes: float

    @property
    def is_choice(self) -> bool:
        """One of several, or none of them; not yes or no."""
        return len(self.options) > 1

    def answers(self, chosen: str | None) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """Signs seen and absent after the answer: an option, or None for "no" or "none"."""
        if chosen is None:
            return (), self.options
        if chosen not in self.options:
            raise KeyError(chosen)
        return (chosen,), ()


def next_question(
    verdict: Verdict, skip: Collection[str] = (), beliefs: Beliefs | None = None
) -> Question | None:
    """What to ask next; None where the verdict is sure or no question is worth its trouble.

    ``skip`` holds signs that people could not tell.
    """
    if verdict.sure or verdict.doubt == "contradiction":
        return None
    beliefs = beliefs or judged(verdict.stage)
    asked = list(_open(verdict, beliefs, skip))
    worth = [q.gain - rule("cost") * q.minutes for q in asked]
    if not worth or max(worth) < rule("least_gain"):
        return None
    return asked[int(np.argmax(worth))]


def _open(verdict: Verdict, beliefs: Beliefs, skip: Collection[str]) -> Iterator[Question]:
    """Questions that are still open, plain ones first, in the order of the register."""
    told = {*verdict.seen, *verdict.absent, *skip, *answered(verdict.context)}
    told |= {other for pair in CLASHES if pair & set(verdict.seen) for other in pair}
    now = np.array(verdict.shares)
    for group, text in _CHOICES.items():
        options = tuple(s for s in beliefs.signs if SIGNS[s].choice == group)
        if options and not told & set(options):
            yield _question(group, text, options, beliefs, now)
    for sign in beliefs.signs:
        if sign not in told and not SIGNS[sign].choice:
            yield _question(sign, SIGNS[sign].question, (sign,), beliefs, now)


def _question(
    name: str, text: str, options: tuple[str, ...], beliefs: Beliefs, now: Floats
) -> Question:
    first = SIGNS[options[0]]
    minutes = book()[f"triage.effort.{first.effort}"].value
    return Question(name, text, first.how, options, _gain(_chances(options, beliefs), now), minutes)


def _chances(options: tuple[str, ...], beliefs: Beliefs) -> Floats:
    """P(answer | cause), (answers, causes): each option, and none of them."""
    rows = [beliefs.signs.index(option) for option in options]
    each = beliefs.share[rows]
    total = each.sum(axis=0)
    each = each / np.maximum(total, 1.0)
    return np.vstack([each, np.maximum(1 - each.sum(axis=0), _TINY)])


def _gain(chances: Floats, now: Floats) -> float:
    """Entropy now less the entropy to expect after the answer, bits; signs damped as in the
    verdict."""
    likely = chances @ now
    after = now * chances ** rule("damp")
    after = after / after.sum(axis=1, keepdims=True)
    return float(_entropy(now) - likely @ _entropy(after) / likely.sum())


def _entropy(shares: Floats) -> Floats:
    return np.asarray(-(shares * np.log2(np.maximum(shares, _TINY))).sum(axis=-1))
