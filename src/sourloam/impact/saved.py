"""What fermenting saves at one place, world by world, so that many places can be added up.

What is not known of a gas, a landfill or a soil errs the same way at every place and does not even
out over them: member n of one place is the same possible world as member n of another, so that
sums are made member by member. What belongs to a place alone, such as its scale, is its own.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy import stats

from sourloam.evidence import Parameters, book
from sourloam.impact import from_site
from sourloam.impact.asked import Asked
from sourloam.impact.parties import party_of_log
from sourloam.impact.reckoning import reckon
from sourloam.impact.route import Weights
from sourloam.impact.summing import range_of
from sourloam.ledger import PlaceState
from sourloam.numerics.range import Range

Array = NDArray[np.float64]
MEMBERS = 200  # method: possible worlds kept of each place
HOW = Asked(MEMBERS)  # method: all places by one seed, weights and horizon
_DIGITS = 5  # method: significant digits kept of each
_LEAST_MOVING = 0.25  # method: a weaker rank correlation over 200 worlds may be chance
_MOST_MOVERS = 3
_TONNE, _DRIVE = 1000.0, "impact.drive"
_SCRAPS, _OWN, _BURNT = "scraps_kg", "ferment", "ferment_if_burnt"


@dataclass(frozen=True)
class Saved:
    """Scraps, kg, and what each way of dealing with them gives off, kg CO2e over the horizon, by
    the way's id (``Reckoned.ferment_if_burnt`` among them); arrays (members,)."""

    scraps_kg: Array
    ways_kg: Mapping[str, Array]

    def as_json(self) -> dict[str, Any]:
        """Plain JSON, rounded."""
        rows = {_SCRAPS: self.scraps_kg, **self.ways_kg}
        return {key: [float(f"{x:.{_DIGITS}g}") for x in row] for key, row in rows.items()}

    @classmethod
    def from_json(cls, kept: Mapping[str, Sequence[float]]) -> Saved:
        """What ``as_json`` gave; ValueError for anything else."""
        rows = {key: np.asarray(row, dtype=np.float64) for key, row in kept.items()}
        known = {_SCRAPS, _OWN, _BURNT} < set(rows)
        if not known or any(x.shape != (MEMBERS,) for x in rows.values()):
            raise ValueError(f"not {MEMBERS} possible worlds of a place")
        return cls(rows.pop(_SCRAPS), rows)


@dataclass(frozen=True)
class WayTotal:
    """What one way gives off for all scraps together."""

    id: str
    total: Range


@dataclass(frozen=True)
class SavedAgainst:
    """What all places save against one other way; ``chance`` that it is more than nothing."""

    id: str
    saved: Range
    saved_per_tonne: Range
    chance: float


@dataclass(frozen=True)
class SavedTogether:
    """Several places added up. ``movers``: evidence with which the saving against a landfill goes
    most over the possible worlds, with its rank correlation."""

    places: int
    scraps: Range
    routes: tuple[WayTotal, ...]
    comparisons: tuple[SavedAgainst, ...]
    movers: tuple[tuple[str, float], ...]


def saved_of_log(state: PlaceState, number: int) -> Saved:
    """What a log says was saved. ``number`` tells places apart: what is a place's own is drawn by
    it. ``LogError`` as with ``impact_of_log``."""
    party = party_of_log(state, HOW, number)
    weights = Weights.of(HOW.report, HOW.years, party.parameters)
    found = reckon((party,), HOW.local.to_bin(), weights)
    ways = {route.id: route.total(weights) for route in (found.ferment, *found.others)}
    return Saved(found.scraps_kg, {**ways, _BURNT: found.ferment_if_burnt.total(weights)})


def saved_together(each: Iterable[Saved], driven_km: float = 0.0) -> SavedTogether | None:
    """All places added up, world by world, less what driving to them gave off; None for no
    place."""
    number, scraps, ways = 0, np.zeros(MEMBERS), dict[str, Array]()
    for one in each:
        number, scraps = number + 1, scraps + one.scraps_kg
        for way, kg in one.ways_kg.items():
            ways[way] = ways[way] + kg if way in ways else kg
    if not number:
        return None
    driving = driven_km * _shared()[_DRIVE]
    ways[_OWN] = ways[_OWN] + driving
    burnt = ways.pop(_BURNT) + driving
    saved = {
        way: kg - (burnt if way == "incinerator" else ways[_OWN])
        for way, kg in ways.items()
        if way != _OWN
    }
    return SavedTogether(
        number,
        range_of(scraps, "kg"),
        tuple(WayTotal(way, range_of(kg, "kg CO2e")) for way, kg in ways.items()),
        tuple(_against(way, kg, scraps) for way, kg in saved.items()),
        _movers(saved["landfill"]),
    )


def _against(way: str, saved_kg: Array, scraps_kg: Array) -> SavedAgainst:
    return SavedAgainst(
        way,
        range_of(saved_kg, "kg CO2e"),
        range_of(_TONNE * saved_kg / scraps_kg, "kg CO2e/t"),
        float(np.mean(saved_kg > 0)),
    )


def _movers(saved_kg: Array) -> tuple[tuple[str, float], ...]:
    """Of what all places share, that with which a saving goes most."""
    shared = _shared()
    own = set(book().ids(*from_site.OWN))
    found = {
        key: float(stats.spearmanr(shared[key], saved_kg).statistic)
        for key in shared
        if key not in own and np.ptp(shared[key]) > 0
    }
    strong = [(key, r) for key, r in found.items() if abs(r) >= _LEAST_MOVING]
    return tuple(sorted(strong, key=lambda pair: -abs(pair[1]))[:_MOST_MOVERS])


def _shared() -> Parameters:
    """What is the same in a possible world at every place."""
    return from_site.draw(from_site.TEXTURE_IF_NONE, MEMBERS, HOW.seed)
