"""All that is computed for one case, before it is put into words."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import book
from sourloam.planning import counting
from sourloam.planning.burying import Burying, bury, labour_of, outlets_of
from sourloam.planning.case import Case, Kind
from sourloam.planning.counting import Odds
from sourloam.planning.draining import Draining, drain
from sourloam.planning.filling import Filled, fill
from sourloam.planning.fitting import without_small
from sourloam.planning.labour import Labour
from sourloam.planning.resting import Resting, rest
from sourloam.planning.rotation import Turns

Floats = NDArray[np.float64]
Progress = Callable[[str, float], None]
_BEGUN, _FILLING, _RESTED, _COUNTED = 0.1, 0.4, 0.6, 0.8  # method: shares of the time


@dataclass(frozen=True)
class Counted:
    """One kind alone: its odds by number, and the smallest number within the risk."""

    curve: tuple[Odds, ...]
    needed: int | None
    most: int
    needed_open_ground: int | None
    needed_if_weighed: int | None


@dataclass(frozen=True)
class Work:
    """Results for one case; ``filled`` and ``counted`` by name of kind.

    ``small``: kinds that are full too soon, with one filling of each; ``case`` has the others.
    """

    case: Case
    small: tuple[tuple[Kind, Filled], ...]
    filled: Mapping[str, tuple[Filled, ...]]
    resting: Resting
    turns: Turns
    counted: Mapping[str, Counted]
    together: Odds | None
    chosen: Kind
    number: int
    draining: Draining
    burying: Burying
    labour: Labour

    @property
    def all_kinds(self) -> tuple[Kind, ...]:
        """The kinds of vessel in the site's order, the small ones too."""
        by_name = {k.vessel.name: k for k in (*self.case.kinds, *(kind for kind, _ in self.small))}
        return tuple(by_name[entry.name] for entry in self.case.site.vessels)

    @property
    def system(self) -> str:
        """Units in which words are written: metric or us."""
        return self.case.site.place.units

    def alone(self, kind: Kind) -> Turns:
        """The turns of one kind alone."""
        return only(self.turns, self.case.kinds.index(kind))


def only(turns: Turns, index: int) -> Turns:
    """Turns with one kind of vessel of several."""
    return replace(turns, capacity_kg=turns.capacity_kg[index : index + 1])


def carry_out(case: Case, progress: Progress) -> Work:
    """Fill, rest, count, drain, bury: everything that words are made of."""
    first = {kind.vessel.name: fill(case, kind, case.seasons[0]) for kind in case.kinds}
    case, small = without_small(case, first)
    filled = {}
    for place, kind in enumerate(case.kinds):
        progress(f"filling {kind.vessel.name}", _BEGUN + _FILLING * place / len(case.kinds))
        others = (fill(case, kind, season) for season in case.seasons[1:])
        filled[kind.vessel.name] = (first[kind.vessel.name], *others)
    progress("resting", _BEGUN + _FILLING)
    resting = rest(case, case.kinds[0])
    progress("taking turns", _RESTED)
    turns = _turns(case, filled, resting)
    counted = {
        kind.vessel.name: _count(case, kind, only(turns, i)) for i, kind in enumerate(case.kinds)
    }
    chosen, number = _choose(case, counted)
    progress("draining and burying", _COUNTED)
    mine = filled[chosen.vessel.name]
    return Work(
        case=case,
        small=small,
        filled=filled,
        resting=resting,
        turns=turns,
        counted=counted,
        together=_together(case, turns),
        chosen=chosen,
        number=number,
        draining=drain(case, chosen, mine),
        burying=bury(case, mine, turns.outlets or outlets_of(case, mine)),
        labour=labour_of(case, case.kinds.index(chosen)),
    )


def _turns(case: Case, filled: Mapping[str, tuple[Filled, ...]], resting: Resting) -> Turns:
    capacities = np.stack(
        [counting.capacity_by_day(case, filled[kind.vessel.name]) for kind in case.kinds]
    )
    rests = resting.on_every_day(len(case.dates), case.first)
    every = tuple(one for fillings in filled.values() for one in fillings)
    return counting.turns_of(case, capacities, rests, outlets_of(case, every))


def _count(case: Case, kind: Kind, turns: Turns) -> Counted:
    risk, most = case.site.place.risk, most_of(kind)
    curve, needed = counting.curve(turns, case, risk, most)
    open_ground = replace(
        turns,
        open_ground=np.ones_like(turns.open_ground),
        outlets=turns.outlets and turns.outlets.without_limit(),
    )
    return Counted(
        curve=tuple(curve),
        needed=needed,
        most=most,
        needed_open_ground=counting.smallest(open_ground, case, risk, most),
        needed_if_weighed=counting.smallest(as_weighed(turns), case, risk, most),
    )


def as_weighed(turns: Turns) -> Turns:
    """The same turns if everybody's mean amount were the middle one."""
    mean = turns.scraps_kg.mean(axis=1, keepdims=True)
    scraps = turns.scraps_kg * np.divide(
        np.median(mean), mean, out=np.ones_like(mean), where=mean > 0
    )
    return replace(turns, scraps_kg=scraps)


def most_of(kind: Kind) -> int:
    """The most vessels of a kind that are tried."""
    return kind.most or int(book()["planning.most_vessels"].value)


def _together(case: Case, turns: Turns) -> Odds | None:
    owned = tuple(i for i, kind in enumerate(case.kinds) for _ in range(kind.owned))
    return counting.odds(turns, owned, case) if owned else None


def _choose(case: Case, counted: Mapping[str, Counted]) -> tuple[Kind, int]:
    """The kind of which fewest more must be bought; else the one that comes nearest."""

    def cost(kind: Kind) -> tuple[bool, float, int]:
        mine = counted[kind.vessel.name]
        if mine.needed is None:
            return True, mine.curve[-1].chance, mine.most
        return False, max(0, mine.needed - kind.owned), mine.needed

    best = min(case.kinds, key=cost)
    mine = counted[best.vessel.name]
    return best, mine.needed or mine.most
