"""What speaks for the first cause and against it: the signs that moved its share most."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sourloam.triage.beliefs import Beliefs
from sourloam.triage.context import odds_of
from sourloam.triage.diagnosis import Verdict, looked_for


@dataclass(frozen=True)
class Spoken:
    """A sign, ``there`` or looked for and not there; shares, 0 to 1, of vessels or beds in which
    it is found like that: with the first cause, and with all others by their shares."""

    sign: str
    there: bool
    with_first: float
    with_others: float


def speaking(verdict: Verdict, beliefs: Beliefs, most: int = 3) -> tuple[Spoken, ...]:
    """The signs that moved the first cause's odds most, the strongest first."""
    observed = looked_for(beliefs, verdict.seen, verdict.absent, verdict.context)
    first = beliefs.causes.index(verdict.first.cause)
    others = np.delete(np.array(verdict.shares), first)
    chances = observed.chances(beliefs.share)
    elsewhere = np.delete(chances, first, axis=1) @ (others / others.sum())
    moved = np.abs(np.log(chances[:, first] / elsewhere))
    return tuple(
        Spoken(
            beliefs.signs[observed.rows[i]],
            bool(observed.there[i]),
            float(chances[i, first]),
            float(elsewhere[i]),
        )
        for i in np.argsort(-moved, kind="stable")[:most]
    )


def raised(verdict: Verdict, most: int = 2) -> tuple[tuple[str, float], ...]:
    """Causes that log and setting make likelier than usual, by how many times, most first."""
    times = sorted(odds_of(verdict.context).items(), key=lambda one: (-one[1], one[0]))
    return tuple((cause, by) for cause, by in times if by > 1)[:most]
