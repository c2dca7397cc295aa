"""The one question that tells most for the trouble it takes."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from itertools import product

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
#: One sniff, one look, one hand at the tap tells several signs: group and effort of them.
_TOGETHER = {
    ("smell", "smell"): _("Which of these do you smell?"),
    ("growth", "look"): _("Which of these do you see on top?"),
    ("liquid", "tap"): _("Which of these is true at the tap?"),
}
_FEWEST = 3  # method: signs that are worth a list
_TINY = 1e-12  # method: keeps the logarithm of nothing finite


@dataclass(frozen=True)
class Question:
    """One question. ``options`` are the signs to choose from: one for a plain yes or no.

    ``several``: any of them may be there, and those not named are not. ``gain`` is the
    information it should bring, in bits, ``minutes`` the trouble it takes.
    ``text`` and ``how`` are English message ids.
    """

    id: str
    text: str
    how: str
    options: tuple[str, ...]
    gain: float
    minutes: float
    several: bool = False

    @property
    def is_choice(self) -> bool:
        """A list to choose from; not yes or no."""
        return len(self.options) > 1

    def answers(self, chosen: Iterable[str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """Signs seen and absent after the answer: options chosen, none for "no" or "none".

        KeyError for what is no option, or for two where only one can be.
        """
        named = tuple(dict.fromkeys(chosen))
        wrong = [sign for sign in named if sign not in self.options]
        if wrong or (len(named) > 1 and not self.several):
            raise KeyError(*(wrong or named))
        left = tuple(sign for sign in self.options if sign not in named)
        return named, left if self.several or not named else ()


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
    """Questions that are still open; each sign is asked in one of them."""
    told = {*verdict.seen, *verdict.absent, *skip, *answered(verdict.context)}
    told |= {other for pair in CLASHES if pair & set(verdict.seen) for other in pair}
    now = np.array(verdict.shares)
    for group, text in _CHOICES.items():
        options = tuple(s for s in beliefs.signs if SIGNS[s].choice == group)
        if options and not told & set(options):
            yield _question(group, text, options, beliefs, now)
    left = [sign for sign in beliefs.signs if sign not in told and not SIGNS[sign].choice]
    for (group, effort), text in _TOGETHER.items() if beliefs.stage == "vessel" else ():
        found = (SIGNS[sign] for sign in left)
        options = tuple(s.id for s in found if (s.group, s.effort) == (group, effort))
        if len(options) >= _FEWEST:
            left = [sign for sign in left if sign not in options]
            yield _question(group, text, options, beliefs, now, several=True)
    for sign in left:
        yield _question(sign, SIGNS[sign].question, (sign,), beliefs, now)


def _question(
    name: str,
    text: str,
    options: tuple[str, ...],
    beliefs: Beliefs,
    now: Floats,
    several: bool = False,
) -> Question:
    first = SIGNS[options[0]]
    minutes = book()[f"triage.effort.{first.effort}"].value
    minutes += (len(options) - 1) * book()["triage.effort.option"].value
    chances = _joint(options, beliefs) if several else _one_of(options, beliefs)
    gain = _gain(chances, now)
    how = _shared(options) if several else first.how
    return Question(name, text, how, options, gain, minutes, several)


def _shared(options: tuple[str, ...]) -> str:
    """How to find out, where it is the same for all."""
    found = {SIGNS[option].how for option in options}
    return found.pop() if len(found) == 1 else ""


def _one_of(options: tuple[str, ...], beliefs: Beliefs) -> Floats:
    """P(answer | cause), (answers, causes): each option, and none of them."""
    each = beliefs.share[[beliefs.signs.index(option) for option in options]]
    each = each / np.maximum(each.sum(axis=0), 1.0)
    return np.vstack([each, np.maximum(1 - each.sum(axis=0), _TINY)])


def _joint(options: tuple[str, ...], beliefs: Beliefs) -> Floats:
    """P(answer | cause) where any of the options may be there, each by itself."""
    each = beliefs.share[[beliefs.signs.index(option) for option in options]]
    there = np.array(list(product((True, False), repeat=len(options))))
    return np.asarray(np.where(there[:, :, None], each, 1 - each).prod(axis=1))


def _gain(chances: Floats, now: Floats) -> float:
    """Entropy now less the entropy to expect after the answer, bits; signs damped as in the
    verdict."""
    likely = chances @ now
    after = now * chances ** rule("damp")
    after = after / after.sum(axis=1, keepdims=True)
    return float(_entropy(now) - likely @ _entropy(after) / likely.sum())


def _entropy(shares: Floats) -> Floats:
    return np.asarray(-(shares * np.log2(np.maximum(shares, _TINY))).sum(axis=-1))
