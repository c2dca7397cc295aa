"""How many vessels: the chance of having nowhere to put scraps, number by number."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import special

from sourloam.evidence import book
from sourloam.numerics.abreast import abreast
from sourloam.planning.case import YEAR_DAYS, Case
from sourloam.planning.filling import Filled
from sourloam.planning.outlets import Outlets
from sourloam.planning.rotation import Rhythm, Turned, Turns, rotate

Floats = NDArray[np.float64]
_BEYOND = 2  # method: numbers shown past the smallest one that will do
_LEAST_SHOWN = 4  # method: last number shown at the least
_SHOWN = 12  # method: about so many points of a curve


@dataclass(frozen=True)
class Odds:
    """Chance a year of having nowhere, with its 10-90 % bounds, and what finds no room, kg/yr."""

    number: int
    chance: float
    low: float
    high: float
    refused_kg: Floats


def habits() -> Rhythm:
    """The usual rhythm of burying, washing and giving up."""
    evidence = book()
    return Rhythm(
        burial_interval_days=int(evidence["planning.burial_interval"].value),
        burial_phase_days=0,
        wash_days=int(evidence["planning.wash"].value),
        longest_rest_days=int(evidence["planning.longest_rest"].value),
    )


def capacity_by_day(case: Case, filled: tuple[Filled, ...]) -> Floats:
    """Scraps that a vessel begun on each day takes, (members, days), by its season."""
    by_season = {one.season: one.scraps_kg for one in filled}
    month = case.dates.astype("datetime64[M]").astype(int) % 12
    names = [case.months[m] for m in month]
    return np.stack([by_season[name] for name in names], axis=1)


def turns_of(
    case: Case, capacities: Floats, rest_days: Floats, outlets: Outlets | None = None
) -> Turns:
    """What ``rotate`` takes, cut to the days of warm-up and plan: ``capacities``, kg ``(kinds,
    members, days)``; ``rest_days`` ``(..., days)``; ``outlets`` None for beds that take all."""
    window = slice(0, case.planned.stop)
    return Turns(
        scraps_kg=case.scraps_kg[:, window],
        capacity_kg=capacities[:, :, window],
        rest_days=rest_days[..., window],
        open_ground=case.open_ground[:, window],
        outlets=outlets,
    )


def odds(turns: Turns, kinds: tuple[int, ...], case: Case) -> Odds:
    """Run the vessels and count the years in which scraps found no room."""
    return count(rotate(turns, kinds, habits(), keep_states=False), len(kinds), case)


def count(turned: Turned, number: int, case: Case) -> Odds:
    """Odds from one rotation: a year counts if any scraps were refused in it."""
    yearly = turned.refused_kg[:, case.planned].reshape(case.members, case.years, YEAR_DAYS)
    refused = yearly.sum(axis=2)
    chance, low, high = wilson(int((refused > 0).sum()), refused.size)
    return Odds(number, chance, low, high, refused.mean(axis=1))


def wilson(hits: int, tries: int) -> tuple[float, float, float]:
    """Share of hits with its 10 and 90 % bounds by Wilson's score."""
    z = float(special.ndtri(0.9))
    share = hits / tries
    middle = share + z**2 / (2 * tries)
    half = z * np.sqrt(share * (1 - share) / tries + z**2 / (4 * tries**2))
    scale = 1 + z**2 / tries
    low, high = (middle - half) / scale, (middle + half) / scale
    return share, max(0.0, float(low)), min(1.0, float(high))


def curve(turns: Turns, case: Case, risk: float, most: int) -> tuple[list[Odds], int | None]:
    """Odds against the number of vessels of one kind, and the smallest number within the risk.

    Every number where few are enough, else about ``_SHOWN`` of them; up to a little past the
    smallest, or up to ``most`` where none is enough.
    """
    needed = smallest(turns, case, risk, most)
    last = most if needed is None else min(most, max(needed + _BEYOND, _LEAST_SHOWN))
    stride = max(1, round(last / _SHOWN))
    numbers = set(range(1, last + 1, stride)) | {last}
    if needed is not None:
        numbers |= {max(1, needed - 1), needed}
    return abreast(lambda number: odds(turns, (0,) * number, case), sorted(numbers)), needed


def smallest(turns: Turns, case: Case, risk: float, most: int, near: int = 1) -> int | None:
    """The smallest number within the risk, sought from ``near``; None if ``most`` is not enough."""
    low, high = 0, min(near, most)
    while odds(turns, (0,) * high, case).chance > risk:
        if high == most:
            return None
        low, high = high, min(most, 2 * high)
    while high - low > 1:
        number = (low + high) // 2
        if odds(turns, (0,) * number, case).chance <= risk:
            high = number
        else:
            low = number
    return high
