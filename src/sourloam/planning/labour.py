"""The hours that a plan asks of people, and how much burying that leaves room for."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import book

Floats = NDArray[np.float64]
_MINUTES = 60
_WEEK = 7
_GRACE = 1.1  # method: what an estimate of hours can tell apart


@dataclass(frozen=True)
class Labour:
    """Hours: what people have in a week (``stated`` by the site or usual), what layers and
    drainings of an ordinary week take, for one vessel emptied, and for each metre of trench.
    """

    hours_a_week: float
    stated: bool
    routine_h: float
    empty_h: float
    pass_on_h: float
    per_metre_h: float

    def week_h(self, buried: float, trench_m: float, passed_on: float, feeding: float) -> float:
        """Hours of a week with so many vessels; ``feeding`` is the share of an ordinary week."""
        digging = buried * self.empty_h + trench_m * self.per_metre_h
        return self.routine_h * feeding + digging + passed_on * self.pass_on_h

    def too_much_h(self) -> float:
        """From how many hours a week asks for more than people have, with a little grace."""
        return _GRACE * self.hours_a_week

    def for_burying_h(self) -> float:
        """Hours left in an ordinary week beside layers and drainings."""
        return max(self.hours_a_week - self.routine_h, 0.0)


def labour(
    stated_h: float | None, kind: str, layers_a_week: float, trench_m2: float, tub: bool
) -> Labour:
    """For a kind of place; ``trench_m2`` is the cross-section of a trench, width by depth."""
    rows = book()
    usual = rows[f"planning.hours.{kind}"].value
    empty = rows["planning.labour.tip"].value + rows["planning.labour.wash"].value
    drainings = _WEEK / rows["planning.labour.drain_every"].value
    routine = layers_a_week * rows["planning.labour.layer"].value
    routine += drainings * rows["planning.labour.drain"].value
    mixing = rows["planning.labour.mix"].value if tub else 0.0
    return Labour(
        hours_a_week=usual if stated_h is None else stated_h,
        stated=stated_h is not None,
        routine_h=routine / _MINUTES,
        empty_h=(empty + mixing) / _MINUTES,
        pass_on_h=(empty + rows["planning.labour.pass_on"].value) / _MINUTES,
        per_metre_h=0.0 if tub else trench_m2 * rows["planning.labour.dig"].value,
    )
