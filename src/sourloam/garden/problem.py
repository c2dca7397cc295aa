"""What there is to choose from when ferment goes into beds, and what a choice is.

The choice itself is made in ``choice``.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Family = Literal["nitrogen", "phosphorus", "room", "hours"]
FAMILIES: tuple[Family, ...] = ("nitrogen", "phosphorus", "room")  # limits of each bed
LIMITS: tuple[Family, ...] = (*FAMILIES, "hours")


class ChoiceError(RuntimeError):
    """The search ended before it had any answer."""


@dataclass(frozen=True)
class Option:
    """One part of a vessel into a bed in a week. Amounts are per part: m, kg; ``vessel`` is the
    place of its lot, ``gap`` the place in ``Problem.need_kg`` of the crop it will feed, -1 for
    none; ``cost`` in weeks; ``hours`` of work."""

    vessel: int
    bed: int
    week: int
    gap: int
    room_m: float
    nitrogen_kg: float
    phosphorus_kg: float
    available_kg: float
    cost: float
    hours: float = 0.0


@dataclass(frozen=True)
class Problem:
    """All there is to choose from. Limits per bed (beds,), inf for none; ``need_kg`` (gaps,) is the
    nitrogen that each gap's crop still wants. ``per_m2`` maps a family to its limit per added m²
    of bed. ``kg`` (lots,) is the ferment in each vessel of a lot, ``counts`` (lots,) how many
    vessels alike it holds; one each where left out. ``surplus_weight`` is the cost of a gram beyond
    need,
    ``reach_weight`` of a gram short of it, twice that below half the need, so that ferment is
    shared out by need; ``heavy_weight`` is the cost of a whole nitrogen limit beyond the share
    ``heavy_from`` of it in one bed, so that ferment is spread; ``hours_a_week`` of work may be
    done."""

    options: tuple[Option, ...]
    kg: Array
    parts: int
    limits: dict[Family, Array]
    per_m2: dict[Family, Array]
    need_kg: Array
    surplus_weight: float
    split_weight: float
    counts: NDArray[np.int64] | None = None
    reach_weight: float = 0.0
    hours_a_week: float = np.inf
    heavy_weight: float = 0.0
    heavy_from: float = 1.0

    @property
    def vessels(self) -> NDArray[np.int64]:
        """Vessels in each lot, ``(lots,)``."""
        return np.ones(len(self.kg), dtype=np.int64) if self.counts is None else self.counts


@dataclass(frozen=True)
class Choice:
    """Parts per option (options,), vessels stored (lots,), parts dropped (lots,), m² added
    (beds,), nitrogen beyond need and short of it (gaps,), value of the aim and the least that any
    choice could have (``bound``); ``proven`` False where that is not known to be the value."""

    parts: NDArray[np.int64]
    stored: NDArray[np.int64]
    dropped: NDArray[np.int64]
    added_m2: Array
    surplus_kg: Array
    short_kg: Array
    value: float
    bound: float
    proven: bool

    def plain_cost(self, problem: Problem) -> float:
        """Cost without that of sharing vessels over beds, in weeks."""
        held = sum(o.cost * int(n) for o, n in zip(problem.options, self.parts, strict=True))
        held += problem.surplus_weight * 1000 * float(self.surplus_kg.sum())
        starved = np.maximum(self.short_kg - problem.need_kg / 2, 0.0)
        held += problem.heavy_weight * float(self._heavy(problem).sum())
        return held + problem.reach_weight * 1000 * float(self.short_kg.sum() + starved.sum())

    def _heavy(self, problem: Problem) -> Array:
        """How far each bed is beyond the share of its limit that counts as heavy, (beds,)."""
        given = np.zeros(len(problem.limits["nitrogen"]))
        for option, count in zip(problem.options, self.parts, strict=True):
            given[option.bed] += option.nitrogen_kg * int(count)
        limit = problem.limits["nitrogen"]
        share = np.divide(given, limit, out=np.zeros_like(given), where=limit > 0)
        return np.asarray(np.maximum(share - problem.heavy_from, 0.0))


@dataclass(frozen=True)
class Rules:
    """What may give: vessels stored (at most so many), kg left out (at most so many), m² added;
    which family of limits is set aside; and what to make least. ``plain`` is the cost without
    that of sharing a vessel over beds, ``shared`` that alone with ``plain`` at most
    ``most_plain``."""

    most_stored: int = 0
    may_drop: bool = False
    most_dropped_kg: float = np.inf
    may_add: bool = False
    without: tuple[Family, ...] = ()
    most_plain: float = np.inf
    least: Literal["cost", "plain", "shared", "stored", "dropped", "added"] = "cost"
