"""The burial plan: the best choice of places, and what would help where there is none."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from sourloam.garden.case import Case, needs_kg
from sourloam.garden.ceilings import nitrogen_ceiling_kg_m2, phosphorus_ceiling_kg_m2
from sourloam.garden.choice import choose
from sourloam.garden.hurdles import Refused
from sourloam.garden.lighter import laid_lighter
from sourloam.garden.lots import Lot, lots_of, oldest_first, take_apart
from sourloam.garden.options import Buried, Offer, find_options
from sourloam.garden.problem import FAMILIES, LIMITS, Choice, ChoiceError, Family, Problem, Rules
from sourloam.garden.trench import trench_room_m

Array = NDArray[np.float64]
# Branches that the search may open for each question, so that the answer rests on no clock; a
# home garden needs a few.
_LEAST_LEFT = 40  # method: how little can be left over
_CHEAPEST = 40  # method: the cheapest way to bury that much
_PLAIN = 40  # method: the same, sharing over beds not counted
_SHARED = 40  # method: then the least sharing
_SIDE = 20  # method: each way out
_TRY = 5  # method: each limit set aside
_TINY_KG = 1e-6  # method: rounding
_CLOSE = 0.03  # method: so near to the best nobody sees a difference, and the search ends
_GIVE = 0.01  # method: share of the ferment that a large question may leave out to be solved


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
    ``proven``: False where the search ended before the plan was known to be the best; then at most
    ``more_kg`` more could be buried, and holding, spare nitrogen and sharing could cost less by at
    most ``dearer`` weeks of one vessel held (inf where nothing is known).
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
    more_kg: float = 0.0
    dearer: float = 0.0


@dataclass(frozen=True)
class _Found:
    """A choice with what is known of the best there can be."""

    choice: Choice
    left_kg: float
    more_kg: float
    dearer: float
    proven: bool


def plan_burials(case: Case) -> BurialPlan:
    """Bury as much as can be at the least cost, and say what would help where not all fits."""
    lots = lots_of(case.vessels)
    offers, refused = find_options(case, tuple(lot.first for lot in lots))
    problem = pose(case, [_of_lot(o, lots) for o in offers], lots)
    found = _best(problem)
    shares, left = take_apart(lots, [_of_lot(o, lots) for o in offers], found.choice, case.parts)
    shares, left = oldest_first(case.vessels, shares, left)
    served = {o.option.vessel for o in offers}
    nowhere = tuple(v for lot in lots if lot.first not in served for v in lot.vessels)
    ways: WaysOut | None = None
    binding: tuple[Family, ...] = ()
    if left.any():
        ways, binding = _ways_out(problem, found, len(nowhere))
    buried = [Buried(_of_vessel(offers[s.offer], s.vessel), s.parts) for s in shares]
    buried = laid_lighter(case, buried, problem.limits["room"])
    buried.sort(key=lambda b: (b.offer.day, b.offer.option.vessel, b.offer.option.bed))
    return BurialPlan(
        buried=tuple(buried),
        stored=tuple(int(v) for v in np.flatnonzero(left == case.parts)),
        left_kg=np.asarray([v.fresh_kg for v in case.vessels]) * left / case.parts,
        ways_out=ways,
        binding=binding,
        nowhere=tuple(sorted(nowhere)),
        surplus_kg=found.choice.surplus_kg,
        limits={family: problem.limits[family] for family in FAMILIES},
        refused=tuple(_for_each(refused, lots)),
        open_beds=frozenset(o.option.bed for o in offers),
        proven=found.proven,
        more_kg=found.more_kg,
        dearer=found.dearer,
    )


def _of_lot(offer: Offer, lots: tuple[Lot, ...]) -> Offer:
    """An offer to a lot, found for the vessel that stands for it."""
    places = {lot.first: place for place, lot in enumerate(lots)}
    return _of_vessel(offer, places[offer.option.vessel])


def _of_vessel(offer: Offer, vessel: int) -> Offer:
    return replace(offer, option=replace(offer.option, vessel=vessel))


def _for_each(refused: list[Refused], lots: tuple[Lot, ...]) -> Iterator[Refused]:
    alike = {lot.first: lot.vessels for lot in lots}
    for r in refused:
        for vessel in alike[r.vessel]:
            yield replace(r, vessel=vessel)


def _best(problem: Problem) -> _Found:
    """First as little left over as can be, then the cheapest way to do that."""
    less = choose(problem, Rules(may_drop=True, least="dropped"), _LEAST_LEFT)
    assert less is not None  # leaving everything out is always possible
    more = 0.0 if less.proven else less.value - less.bound
    most = Rules(may_drop=less.value > _TINY_KG, most_dropped_kg=less.value)
    cheap = _sought(problem, most, _CHEAPEST)
    if cheap is not None and cheap.proven:
        return _Found(cheap, less.value, more, 0.0, less.proven)
    if cheap is not None and cheap.value - cheap.bound <= _CLOSE * cheap.value:
        return _Found(cheap, less.value, more, cheap.value - cheap.bound, False)
    plain = _sought(problem, replace(most, least="plain"), _PLAIN)
    if plain is None and cheap is None:
        slack = _GIVE * float((problem.kg * problem.vessels).sum())
        most = Rules(may_drop=True, most_dropped_kg=less.value + slack)
        plain = _sought(problem, replace(most, least="plain"), _PLAIN)
    if plain is None:
        return _Found(cheap or less, less.value, more, np.inf, False)
    least = replace(most, least="shared", most_plain=plain.value)
    shared = _sought(problem, least, _SHARED)
    choice = min((c for c in (cheap, shared, plain) if c), key=lambda c: _whole_cost(problem, c))
    dearer = max(choice.plain_cost(problem) - plain.bound, 0.0)
    left = float((choice.dropped * problem.kg).sum()) / problem.parts
    return _Found(choice, left, max(left - less.bound, 0.0), dearer, False)


def _whole_cost(problem: Problem, choice: Choice) -> float:
    """Cost with that of sharing, in weeks."""
    shared = sum(-(-int(n) // problem.parts) for n in choice.parts)
    return choice.plain_cost(problem) + problem.split_weight * shared


def _ways_out(problem: Problem, found: _Found, nowhere: int) -> tuple[WaysOut, tuple[Family, ...]]:
    fewest = _sought(problem, Rules(least="stored"), _SIDE)
    store = int(problem.vessels.sum() if fewest is None else fewest.stored.sum())
    wider = _sought(problem, Rules(most_stored=nowhere, may_add=True, least="added"), _SIDE)
    added = tuple(float(x) for x in wider.added_m2) if wider is not None else None
    binding = next((fs for fs in _GROUPS if _frees(problem, nowhere, fs)), ())
    return WaysOut(added, found.left_kg, store), binding


#: Sets of limits to set aside in turn, the smallest first; none where no limit is in the way.
_GROUPS: tuple[tuple[Family, ...], ...] = tuple(
    group for size in range(len(LIMITS) + 1) for group in combinations(LIMITS, size)
)


def _sought(problem: Problem, rules: Rules, nodes: int) -> Choice | None:
    """The choice, or None where there is none or none was found so soon."""
    try:
        return choose(problem, rules, nodes)
    except ChoiceError:
        return None


def _frees(problem: Problem, nowhere: int, families: tuple[Family, ...]) -> bool:
    return _sought(problem, Rules(most_stored=nowhere, without=families), _TRY) is not None


def pose(case: Case, offers: list[Offer], lots: tuple[Lot, ...] | None = None) -> Problem:
    """The choice as pure numbers; the offers are to lots (each vessel by itself if left out)."""
    lots = lots or tuple(Lot((v,)) for v in range(len(case.vessels)))
    left_n = np.asarray([nitrogen_ceiling_kg_m2(b, case.parameters) for b in case.beds])
    bare = (replace(b, given_kg_m2=0.0) for b in case.beds)
    per_n = np.asarray([nitrogen_ceiling_kg_m2(b, case.parameters) for b in bare])
    per_p = np.asarray([phosphorus_ceiling_kg_m2(b) for b in case.beds])
    area = np.asarray([b.area_m2 for b in case.beds])
    return Problem(
        options=tuple(o.option for o in offers),
        kg=np.asarray([case.vessels[lot.first].fresh_kg for lot in lots]),
        parts=case.parts,
        limits={
            "nitrogen": left_n * area,
            "phosphorus": per_p * area,
            "room": np.asarray([_room(case, b) for b in range(len(case.beds))]),
        },
        per_m2={
            "nitrogen": per_n,
            "phosphorus": per_p,
            "room": np.asarray([1 / case.trench_in(b).spacing_m for b in range(len(case.beds))]),
        },
        need_kg=needs_kg(case),
        surplus_weight=case.middle("beds.weight.surplus"),
        reach_weight=case.middle("beds.weight.reach"),
        hours_a_week=case.hands.week_h,
        heavy_weight=case.middle("beds.weight.heavy"),
        heavy_from=case.middle("beds.heavy_from"),
        split_weight=case.middle("beds.weight.split"),
        counts=np.asarray([len(lot.vessels) for lot in lots], dtype=np.int64),
    )


def _room(case: Case, b: int) -> float:
    return trench_room_m(case.beds[b], case.trench_in(b))


def freed_kg(case: Case, plan: BurialPlan) -> Array:
    """Nitrogen that comes free from ferment for each planting, kg, ``(plantings,)`` in gap order,
    median."""
    freed = np.zeros(len(needs_kg(case)))
    for x in plan.buried:
        if x.offer.option.gap >= 0:
            freed[x.offer.option.gap] += x.offer.option.available_kg * x.parts
    return freed
