"""Which ferment goes where and when: an exact choice by mixed-integer linear programming.

Every vessel is cut into equal parts; a part goes to one option (a bed in a week), all parts of
a vessel in one week. Vessels that are alike in all that counts make one lot, so that the solver
(HiGHS) need not try every order of them. Small questions run to a zero gap: the choice is the
best one under the weights given, not a good guess. Large ones stop at a hundredth, or after so
many branches; the choice then says how far from the best it may be. No clock is asked: the same
question has the same answer on every machine.
"""

from __future__ import annotations

import numpy as np
import scipy  # its rooms load when first used
from numpy.typing import NDArray

from sourloam.garden.problem import (
    FAMILIES,
    Choice,
    ChoiceError,
    Family,
    Option,
    Problem,
    Rules,
)

Array = NDArray[np.float64]
MOST_NODES = 2000  # method: far beyond what a home garden needs
SMALL = 250  # method: so many options are solved to the end within seconds
_NEAR = 0.01  # method: gap at which the solver leaves a larger question
_ROUND = 1e-6  # method: how far a whole number may stray in the solver's answer


def choose(problem: Problem, rules: Rules, most_nodes: int = MOST_NODES) -> Choice | None:
    """The best choice under the rules, or None if there is none.

    Raises ChoiceError if the search ended, after ``most_nodes`` branches, with nothing in hand.
    """
    model = _Model(problem, rules)
    gap = 0.0 if len(problem.options) <= SMALL or rules.least == "dropped" else _NEAR
    answer = scipy.optimize.milp(
        model.aim,
        constraints=model.constraints(),
        integrality=model.whole,
        bounds=scipy.optimize.Bounds(model.low, model.high),
        options={"mip_rel_gap": gap, "node_limit": most_nodes, "presolve": True},
    )
    if answer.status == 2:
        return None
    if answer.x is None:
        raise ChoiceError(
            "this garden has too many beds and vessels to be planned at once; plan fewer weeks, or "
            "fewer beds at a time"
        )
    bound = getattr(answer, "mip_dual_bound", None)
    return model.read(answer.x, float(answer.fun), None if bound is None else float(bound))


class _Model:
    """The matrices, with variables in blocks."""

    def __init__(self, problem: Problem, rules: Rules) -> None:
        self.problem, self.rules = problem, rules
        options = problem.options
        self.weeks = sorted({(o.vessel, o.week) for o in options})
        beds = len(problem.limits["nitrogen"])
        sizes = {
            "parts": len(options),
            "used": len(options),
            "week": len(self.weeks),
            "stored": len(problem.kg),
            "dropped": len(problem.kg),
            "added": beds,
            "surplus": len(problem.need_kg),
            "short": len(problem.need_kg),
            "starved": len(problem.need_kg),
            "heavy": beds,
        }
        ends = np.cumsum(list(sizes.values()))
        self.at = {
            name: np.arange(end - size, end)
            for (name, size), end in zip(sizes.items(), ends, strict=True)
        }
        self.size = int(ends[-1])
        self._bounds()
        self._aim()

    def _bounds(self) -> None:
        parts, rules, vessels = self.problem.parts, self.rules, self.problem.vessels
        of_option = vessels[[o.vessel for o in self.problem.options]]
        of_week = vessels[[lot for lot, _ in self.weeks]]
        may_store = rules.most_stored or rules.least == "stored"
        self.low = np.zeros(self.size)
        self.high = np.full(self.size, np.inf)
        self.high[self.at["parts"]] = parts * of_option
        self.high[self.at["used"]] = of_option
        self.high[self.at["week"]] = of_week
        self.high[self.at["stored"]] = vessels if may_store else 0
        self.high[self.at["dropped"]] = parts * vessels if rules.may_drop else 0
        if not rules.may_add:
            self.high[self.at["added"]] = 0
        self.whole = np.ones(self.size)
        self.whole[self.at["added"]] = 0
        self.whole[self.at["surplus"]] = 0
        self.whole[self.at["short"]] = 0
        self.whole[self.at["starved"]] = 0
        self.whole[self.at["heavy"]] = 0
        # What nobody can feed is no shortfall of the plan.
        served = {o.gap for o in self.problem.options}
        unserved = [int(i) for g, i in enumerate(self.at["short"]) if g not in served]
        self.high[unserved] = 0

    def _aim(self) -> None:
        problem, least = self.problem, self.rules.least
        self.plain = np.zeros(self.size)
        self.plain[self.at["parts"]] = [o.cost for o in problem.options]
        self.plain[self.at["surplus"]] = problem.surplus_weight * 1000
        self.plain[self.at["short"]] = problem.reach_weight * 1000
        self.plain[self.at["starved"]] = problem.reach_weight * 1000
        self.plain[self.at["heavy"]] = problem.heavy_weight
        self.aim = self.plain.copy() if least in ("cost", "plain") else np.zeros(self.size)
        if least in ("cost", "shared"):
            self.aim[self.at["used"]] = problem.split_weight
        elif least == "dropped":
            self.aim[self.at["dropped"]] = problem.kg / problem.parts
        elif least != "plain":
            self.aim[self.at[least]] = 1

    def constraints(self) -> list[scipy.optimize.LinearConstraint]:
        """All rows, each with its lower and upper bound."""
        self.rows: list[tuple[dict[int, float], float, float]] = []
        self._each_vessel()
        self._each_opening()
        self._each_bed()
        self._each_week()
        self._each_gap()
        self._each_heap()
        if self.rules.least != "stored":
            stored = {int(i): 1.0 for i in self.at["stored"]}
            self.rows.append((stored, 0, self.rules.most_stored))
        if np.isfinite(self.rules.most_dropped_kg):
            each = self.problem.kg / self.problem.parts
            dropped = {int(i): float(kg) for i, kg in zip(self.at["dropped"], each, strict=True)}
            self.rows.append((dropped, 0, self.rules.most_dropped_kg + _ROUND))
        if np.isfinite(self.rules.most_plain):
            plain = {int(i): float(self.plain[i]) for i in np.flatnonzero(self.plain)}
            self.rows.append((plain, -np.inf, self.rules.most_plain + _ROUND))
        matrix = scipy.sparse.lil_matrix((len(self.rows), self.size))
        for i, (row, _, _) in enumerate(self.rows):
            for column, value in row.items():
                matrix[i, column] = value
        low, high = (np.array([r[k] for r in self.rows]) for k in (1, 2))
        return [scipy.optimize.LinearConstraint(matrix.tocsr(), low, high)]

    def _each_vessel(self) -> None:
        """Every part goes somewhere, is left out, or its vessel is stored; one week a vessel."""
        options, parts = self.problem.options, self.problem.parts
        for v, count in enumerate(self.problem.vessels):
            stored, dropped = int(self.at["stored"][v]), int(self.at["dropped"][v])
            row = {int(self.at["parts"][i]): 1.0 for i, o in enumerate(options) if o.vessel == v}
            self.rows.append((row | {stored: parts, dropped: 1.0}, parts * count, parts * count))
            week = {int(self.at["week"][k]): 1.0 for k, (u, _) in enumerate(self.weeks) if u == v}
            if week:
                self.rows.append((week | {stored: 1.0}, 0, count))

    def _each_opening(self) -> None:
        """Parts only where the bed is used, and of no more vessels than are opened that week."""
        opened: dict[tuple[int, int], dict[int, float]] = {
            pair: {int(self.at["week"][k]): -float(self.problem.parts)}
            for k, pair in enumerate(self.weeks)
        }
        for i, option in enumerate(self.problem.options):
            y, z = int(self.at["parts"][i]), int(self.at["used"][i])
            self.rows.append(({y: 1.0, z: -float(self.problem.parts)}, -np.inf, 0))
            opened[option.vessel, option.week][y] = 1.0
        self.rows.extend((row, -np.inf, 0) for row in opened.values())

    def _each_bed(self) -> None:
        """Nitrogen, phosphorus, metres of trench; scaled to each limit."""
        for family in FAMILIES:
            if family in self.rules.without:
                continue
            for b, limit in enumerate(self.problem.limits[family]):
                if not np.isfinite(limit):
                    continue
                row = {
                    int(self.at["parts"][i]): _amount(o, family)
                    for i, o in enumerate(self.problem.options)
                    if o.bed == b
                }
                if not row:
                    continue
                row[int(self.at["added"][b])] = -float(self.problem.per_m2[family][b])
                if not self.rules.may_add:
                    self._whole_parts(row, float(limit))
                scale = max(abs(float(limit)), *(abs(v) for v in row.values())) or 1.0
                self.rows.append(({k: v / scale for k, v in row.items()}, -np.inf, limit / scale))

    def _whole_parts(self, row: dict[int, float], limit: float) -> None:
        """Parts are whole: what a limit holds, counted in the smallest part (Chvatal, Gomory).

        Takes nothing from the choice; it only shows the solver sooner what can't be done.
        """
        parts = {k: v for k, v in row.items() if k < self.at["used"][0]}
        least = min(parts.values())
        if least <= 0:
            return
        counted = {k: float(np.floor(v / least + _ROUND)) for k, v in parts.items()}
        self.rows.append((counted, -np.inf, float(np.floor(limit / least + _ROUND))))

    def _each_week(self) -> None:
        """Hours of work."""
        most = self.problem.hours_a_week
        if not np.isfinite(most) or "hours" in self.rules.without:
            return
        for week in sorted({o.week for o in self.problem.options}):
            row = {
                int(self.at["parts"][i]): o.hours
                for i, o in enumerate(self.problem.options)
                if o.week == week
            }
            self.rows.append((row, -np.inf, most))

    def _each_gap(self) -> None:
        """What comes free, less what is beyond need, and with what is short, is the need."""
        for g, need in enumerate(self.problem.need_kg):
            row = {
                int(self.at["parts"][i]): o.available_kg
                for i, o in enumerate(self.problem.options)
                if o.gap == g
            }
            if not row:
                continue
            row |= {int(self.at["surplus"][g]): -1.0, int(self.at["short"][g]): 1.0}
            self.rows.append((row, need, need))
            starved = {int(self.at["short"][g]): 1.0, int(self.at["starved"][g]): -1.0}
            self.rows.append((starved, -np.inf, need / 2))

    def _each_heap(self) -> None:
        """What a bed gets beyond the share of its nitrogen limit that counts as heavy."""
        if not self.problem.heavy_weight:
            return
        for b, limit in enumerate(self.problem.limits["nitrogen"]):
            row = {
                int(self.at["parts"][i]): o.nitrogen_kg / limit
                for i, o in enumerate(self.problem.options)
                if o.bed == b and limit > 0
            }
            if row:
                row[int(self.at["heavy"][b])] = -1.0
                self.rows.append((row, -np.inf, self.problem.heavy_from))

    def read(self, x: Array, value: float, bound: float | None) -> Choice:
        """The solver's vector as a choice; ``bound`` None where the solver gave none."""
        least = 0.0 if bound is None or not np.isfinite(bound) else min(bound, value)
        whole = {
            name: np.rint(x[self.at[name]]).astype(np.int64)
            for name in ("parts", "stored", "dropped")
        }
        return Choice(
            whole["parts"],
            whole["stored"],
            whole["dropped"],
            np.where(x[self.at["added"]] > _ROUND, x[self.at["added"]], 0.0),
            np.maximum(x[self.at["surplus"]], 0.0),
            np.maximum(x[self.at["short"]], 0.0),
            value,
            least,
            value - least <= _ROUND * max(abs(value), 1.0),
        )


def _amount(option: Option, family: Family) -> float:
    if family == "nitrogen":
        return option.nitrogen_kg
    return option.phosphorus_kg if family == "phosphorus" else option.room_m
