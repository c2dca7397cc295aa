"""The burial plan: the best choice of places, and what would help where there is none."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from sourloam.garden.choice import FAMILIES, Choice, ChoiceError, Family, Problem, Rules, choose
from sourloam.garden.options import Case, Offer, Refused, find_options, needs_kg
from sourloam.garden.trench import trench_room_m

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Buried:
    """So many parts of one vessel by one offer."""

    offer: Offer
    parts: int


@dataclass(frozen=True)
class WaysOut:
    """Each of the smallest changes that would let all be buried, alone: m² of bed by bed (None
    where no area helps), kg of ferment less, vessels stored beyond the plan."""

    added_m2: tuple[float, ...] | None
    fewer_kg: float
    store: int


@dataclass(frozen=True)
class BurialPlan:
    """The plan. ``stored`` are places in ``Case.vessels``; ``ways_out`` None if all is buried.

    ``left_kg`` (vessels,) is the ferment of each vessel that finds no place;
    ``binding``: the smallest set of limits that would have to be set aside to bury all;
    ``nowhere``: vessels that no bed takes in any week; ``open_beds``: beds that could take some;
    ``proven``: False where time ran out before the plan was known to be the best.
    """

    buried: tuple[Buried, ...]
    stored: tuple[int, ...]
    left_kg: Array
    ways_out: WaysOut | None
    binding: tuple[Family, ...]
    nowhere: tuple[int, ...]
    surplus_kg: Array
    limits: dict[Family, Array]
    refused: tuple[Refused, ...]
    open_beds: frozenset[int]
    proven: bool


def plan_burials(case: Case) -> BurialPlan:
    """Bury all if it can be done; else as much ferment as can be, and say what would help."""
    offers, refused = find_options(case)
    problem = pose(case, offers)
    served = {o.option.vessel for o in offers}
    nowhere = tuple(v for v in range(len(case.vessels)) if v not in served)
    choice = _in_time(problem, Rules())
    ways: WaysOut | None = None
    binding: tuple[Family, ...] = ()
    if choice is None:
        choice, ways, binding = _as_much_as_can(problem, len(nowhere))
    buried = [Buried(o, int(n)) for o, n in zip(offers, choice.parts, strict=True) if n]
    buried.sort(key=lambda b: (b.offer.day, b.offer.option.vessel, b.offer.option.bed))
    left = problem.kg * choice.dropped / case.parts
    stored = tuple(int(v) for v in np.flatnonzero(choice.dropped == case.parts))
    limits = {family: problem.limits[family] for family in FAMILIES}
    return BurialPlan(
        buried=tuple(buried),
        stored=stored,
        left_kg=left,
        ways_out=ways,
        binding=binding,
        nowhere=nowhere,
        surplus_kg=choice.surplus_kg,
        limits=limits,
        refused=tuple(refused),
        open_beds=frozenset(o.option.bed for o in offers),
        proven=choice.proven,
    )


def _as_much_as_can(problem: Problem, nowhere: int) -> tuple[Choice, WaysOut, tuple[Family, ...]]:
    # Storing or leaving out everything is always possible, so these two have an answer.
    fewest = choose(problem, Rules(least="stored"))
    less = choose(problem, Rules(may_drop=True, least="dropped"))
    assert fewest is not None
    assert less is not None
    best = _in_time(problem, Rules(may_drop=True, most_dropped_kg=less.value)) or less
    if not less.proven:
        best = replace(best, proven=False)
    wider = _in_time(problem, Rules(most_stored=nowhere, may_add=True, least="added"))
    added = tuple(float(x) for x in wider.added_m2) if wider is not None else None
    binding = next((fs for fs in _GROUPS if _frees(problem, nowhere, fs)), ())
    return best, WaysOut(added, less.value, int(fewest.stored.sum())), binding


#: Sets of limits to set aside in turn, the smallest first.
_GROUPS: tuple[tuple[Family, ...], ...] = tuple(
    group for size in (1, 2, 3) for group in combinations(FAMILIES, size)
)


def _in_time(problem: Problem, rules: Rules) -> Choice | None:
    """The choice, or None where there is none or none was found in time."""
    try:
        return choose(problem, rules)
    except ChoiceError:
        return None


def _frees(problem: Problem, nowhere: int, families: tuple[Family, ...]) -> bool:
    return _in_time(problem, Rules(most_stored=nowhere, without=families)) is not None


def pose(case: Case, offers: list[Offer]) -> Problem:
    """The choice as pure numbers."""
    most_n = case.middle("ground.nitrogen.usual") / 1000
    own = [
        b.nitrogen_limit_kg_m2 if b.nitrogen_limit_kg_m2 is not None else most_n for b in case.beds
    ]
    per_n = np.asarray(own, dtype=np.float64)
    per_p = np.asarray([_phosphorus_limit(case, b) for b in range(len(case.beds))])
    area = np.asarray([b.area_m2 for b in case.beds])
    given = np.asarray([b.given_kg_m2 for b in case.beds])
    trench = case.trenches[False]
    return Problem(
        options=tuple(o.option for o in offers),
        kg=np.asarray([v.fresh_kg for v in case.vessels]),
        parts=case.parts,
        limits={
            "nitrogen": np.maximum(per_n - given, 0) * area,
            "phosphorus": per_p * area,
            "room": np.asarray([_room(case, b) for b in range(len(case.beds))]),
        },
        per_m2={
            "nitrogen": per_n,
            "phosphorus": per_p,
            "room": np.full(len(case.beds), 1 / trench.spacing_m),
        },
        need_kg=needs_kg(case),
        surplus_weight=case.middle("beds.weight.surplus"),
        split_weight=case.middle("beds.weight.split"),
    )


def _room(case: Case, b: int) -> float:
    return trench_room_m(case.beds[b], case.trenches[False])


def _phosphorus_limit(case: Case, b: int) -> float:
    """kg per m² and year: the usual limit, or what the bed's crops carry away if that is more."""
    carried = sum(
        float(np.median(case.crops[p.crop].removal_kg_m2["phosphorus"]))
        for p in case.beds[b].plantings
    )
    own = case.beds[b].phosphorus_limit_kg_m2
    return max(case.middle("beds.phosphorus.limit") / 1000, carried) if own is None else own
