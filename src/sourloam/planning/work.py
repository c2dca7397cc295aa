"""All that is computed for one case, before it is put into words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import book
from sourloam.numerics.progress import Progress
from sourloam.planning import counting
from sourloam.planning.burying import Burying, Used, bury, labour_of, outlets_of
from sourloam.planning.case import Case, Kind
from sourloam.planning.counting import Odds
from sourloam.planning.draining import Draining, drain
from sourloam.planning.filling import Filled, fill
from sourloam.planning.fitting import without_small
from sourloam.planning.labour import Labour
from sourloam.planning.resting import Resting, rest
from sourloam.planning.rotation import Turns

Floats = NDArray[np.float64]
_BEGUN, _FILLING, _RESTED, _COUNTED = 0.1, 0.4, 0.6, 0.8  # method: shares of the time


@dataclass(frozen=True)
class Counted:
    """One kind alone: its odds by number, and the smallest number within the risk."""

    curve: tuple[Odds, ...]
    needed: int | None
    most: int
    needed_if_weighed: int | None


@dataclass(frozen=True)
class Work:
    """Results for one case; ``filled``, ``rests``, ``turns`` and ``counted`` by name of kind.

    ``small``: kinds that are full too soon, with one filling of each; ``case`` has the others.
    """

    case: Case
    small: tuple[tuple[Kind, Filled], ...]
    filled: Mapping[str, tuple[Filled, ...]]
    rests: Mapping[str, Resting]
    turns: Mapping[str, Turns]
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
    def resting(self) -> Resting:
        """Rests of the chosen kind."""
        return self.rests[self.chosen.vessel.name]

    @property
    def system(self) -> str:
        """Units in which words are written: metric or us."""
        return self.case.site.place.units

    def alone(self, kind: Kind) -> Turns:
        """The turns of one kind alone."""
        return self.turns[kind.vessel.name]


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
    rests = {kind.vessel.name: rest(case, kind) for kind in case.kinds}
    progress("taking turns", _RESTED)
    used = tuple(Used(kind, filled[kind.vessel.name]) for kind in case.kinds)
    turns = {one.kind.vessel.name: _turns(case, (one,), rests) for one in used}
    counted = {kind.vessel.name: _count(case, kind, turns[kind.vessel.name]) for kind in case.kinds}
    chosen, number = _choose(case, counted)
    progress("draining and burying", _COUNTED)
    mine = Used(chosen, filled[chosen.vessel.name])
    outlets = turns[chosen.vessel.name].outlets or outlets_of(case, (mine,))
    return Work(
        case=case,
        small=small,
        filled=filled,
        rests=rests,
        turns=turns,
        counted=counted,
        together=_together(case, used, rests),
        chosen=chosen,
        number=number,
        draining=drain(case, chosen, mine.filled),
        burying=bury(case, mine, outlets),
        labour=labour_of(case, {chosen: 1.0}),
    )


def _turns(case: Case, used: tuple[Used, ...], rests: Mapping[str, Resting]) -> Turns:
    """Turns of the vessels in use; kinds in the order of ``used``."""
    capacities = np.stack([counting.capacity_by_day(case, one.filled) for one in used])
    days = [rests[one.kind.vessel.name].on_every_day(len(case.dates), case.first) for one in used]
    rest_days = days[0] if len(used) == 1 else np.stack(days)
    return counting.turns_of(case, capacities, rest_days, outlets_of(case, used))


def _count(case: Case, kind: Kind, turns: Turns) -> Counted:
    risk, most = case.site.place.risk, most_of(kind)
    curve, needed = counting.curve(turns, case, risk, most)
    return Counted(
        curve=tuple(curve),
        needed=needed,
        most=most,
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


def _together(case: Case, used: tuple[Used, ...], rests: Mapping[str, Resting]) -> Odds | None:
    """Odds of the vessels owned, all kinds together."""
    own = tuple(replace(one, number=one.kind.owned) for one in used if one.kind.owned)
    if not own:
        return None
    places = tuple(i for i, one in enumerate(own) for _ in range(one.number))
    return counting.odds(_turns(case, own, rests), places, case)


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
