"""How often a sign goes with a cause: judged at first, taught by outcomes later."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache, cached_property
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import Parameters, Row, book
from sourloam.triage.causes import causes_of
from sourloam.triage.context import Setting
from sourloam.triage.sign import Stage
from sourloam.triage.signs import SIGNS

Floats = NDArray[np.float64]
_LEAST = 0.002  # method: no share is ever quite nothing or all
_SETTINGS: tuple[Setting, ...] = ("trained", "new", "programme")

#: Prefix of the evidence that this room reads.
EVIDENCE: tuple[str, ...] = ("triage",)


@dataclass(frozen=True)
class Beliefs:
    """Shares as counts of a Beta distribution, and how often each cause comes.

    ``judged`` and ``real``, shape (2, signs, causes): vessels with that main cause in which the
    sign was there (first), and was not (second); thought, and met. ``cases`` by setting, shape
    (causes,): vessels with that cause; the ground knows one table for all settings.
    """

    stage: Stage
    signs: tuple[str, ...]
    causes: tuple[str, ...]
    judged: Floats
    real: Floats
    cases: Mapping[Setting, Floats]

    @cached_property
    def counts(self) -> Floats:
        """Judged and real vessels together, (2, signs, causes).

        Once a real one speaks of a share, the judgement counts as at most
        ``triage.rule.most_worth`` vessels.
        """
        most = book()["triage.rule.most_worth"].value
        shrink = np.minimum(1.0, most / self.judged.sum(axis=0))
        spoken = self.real.sum(axis=0) > 0
        return np.asarray(self.judged * np.where(spoken, shrink, 1.0) + self.real)

    @cached_property
    def share(self) -> Floats:
        """Mean P(sign | cause), (signs, causes)."""
        yes, no = self.counts
        return _bounded(yes / (yes + no))

    def drawn(self, rows: NDArray[np.int64], members: int, rng: np.random.Generator) -> Floats:
        """P(sign | cause) of some signs as it may be, (members, rows, causes)."""
        yes, no = self.counts[:, rows]
        return _bounded(rng.beta(yes, no, size=(members, *yes.shape)))

    def usual(self, setting: Setting) -> Floats:
        """Share of each cause before any sign, (causes,), sum 1."""
        return _share_of(self.cases[setting])


@dataclass(frozen=True)
class Outcome:
    """A case whose cause came out: what was there, what was looked for and not there."""

    cause: str
    seen: tuple[str, ...] = ()
    absent: tuple[str, ...] = ()
    setting: Setting = "new"


def judged(stage: Stage, parameters: Parameters | None = None) -> Beliefs:
    """Beliefs from the evidence alone; ``parameters`` with other middles than the tables'."""
    return _of_tables(stage) if parameters is None else _beliefs(stage, parameters)


@cache
def _of_tables(stage: Stage) -> Beliefs:
    return _beliefs(stage, book().central(book().ids("triage")))


def _beliefs(stage: Stage, parameters: Parameters) -> Beliefs:
    signs = tuple(s.id for s in SIGNS.values() if s.stage == stage)
    causes = causes_of(stage)
    counts = np.array([[_counts(_row(s, c), parameters) for c in causes] for s in signs])
    worth = float(parameters["triage.rule.prior_worth"][0])
    cases = {
        setting: worth
        * _share_of(
            np.array([parameters[f"triage.prior.{_table(stage, setting)}.{c}"][0] for c in causes])
        )
        for setting in _SETTINGS
    }
    thought = np.moveaxis(counts, -1, 0)
    return Beliefs(stage, signs, causes, thought, np.zeros_like(thought), MappingProxyType(cases))


def learned(beliefs: Beliefs, outcomes: Sequence[Outcome]) -> Beliefs:
    """Beliefs after cases whose cause came out, in any order, all at once or one by one.

    KeyError for a cause or sign of another stage.
    """
    row = {sign: i for i, sign in enumerate(beliefs.signs)}
    column = {cause: i for i, cause in enumerate(beliefs.causes)}
    real = beliefs.real.copy()
    cases = {setting: counts.copy() for setting, counts in beliefs.cases.items()}
    for outcome in outcomes:
        cases[outcome.setting][column[outcome.cause]] += 1
        for there, signs in enumerate((outcome.seen, outcome.absent)):
            for sign in set(signs):
                real[there, row[sign], column[outcome.cause]] += 1
    return replace(beliefs, real=real, cases=MappingProxyType(cases))


def _row(sign: str, cause: str) -> Row:
    rows = book().rows
    return rows.get(f"triage.sign.{sign}.{cause}") or rows[f"triage.sign.{sign}.other"]


def _counts(row: Row, parameters: Parameters) -> tuple[float, float]:
    """Beta counts with the row's middle, and about its spread between 10 and 90 %."""
    middle = float(parameters[row.id][0])
    deviation = (row.high - row.low) / 2.563  # method: 10 to 90 % of a bell in deviations
    worth = middle * (1 - middle) / deviation**2 - 1
    return middle * worth, (1 - middle) * worth


def _table(stage: Stage, setting: Setting) -> str:
    return "ground" if stage == "ground" else setting


def _share_of(weights: Floats) -> Floats:
    return np.asarray(weights / weights.sum())


def _bounded(share: Floats) -> Floats:
    return np.asarray(np.clip(share, _LEAST, 1 - _LEAST))
