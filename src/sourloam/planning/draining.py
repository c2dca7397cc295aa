"""Drained liquid: how much each week, how often to drain."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import book
from sourloam.planning.case import YEAR_DAYS, Case, Kind
from sourloam.planning.filling import Filled

Floats = NDArray[np.float64]
_ML = 1e6


@dataclass(frozen=True)
class Draining:
    """Liquid of all vessels together, (members, days) in mL, and the rhythm of draining.

    ``room_days``: how long the room under the grid would last; None if more than a year.
    """

    daily_ml: Floats
    per_kg_ml: Floats
    every_days: int
    room_days: int | None
    per_draining_ml: Floats
    sump_ml: float
    days_until_full: Floats


def drain(case: Case, kind: Kind, filled: tuple[Filled, ...]) -> Draining:
    """Liquid over the window, and a rhythm in which draining is worth it and the sump has room."""
    share_by_season = {one.season: one.liquid_share * _ML for one in filled}
    month = case.dates.astype("datetime64[M]").astype(int) % 12
    share = np.stack([share_by_season[case.months[m]] for m in month], axis=1)
    busiest = np.max([one.daily_liquid_m3 for one in filled], axis=0) * _ML
    sump = kind.vessel.sump_m3 * _ML
    every, room = rhythm(busiest, sump)
    with np.errstate(divide="ignore"):
        until = np.where(busiest > 0, sump / busiest, np.inf)
    return Draining(
        daily_ml=_trickle(case, share * case.scraps_kg),
        per_kg_ml=np.mean(list(share_by_season.values()), axis=0),
        every_days=every,
        room_days=room,
        per_draining_ml=busiest * every,
        sump_ml=sump,
        days_until_full=until,
    )


def _trickle(case: Case, bound_ml: Floats) -> Floats:
    """Liquid let go day by day: each layer's share leaves at the first-order seepage rate."""
    gone = 1 - np.exp(-case.parameters["liquid.seepage"])
    out = np.empty_like(bound_ml)
    store = np.zeros(case.members)
    for day in range(bound_ml.shape[1]):
        store = store + bound_ml[:, day]
        out[:, day] = gone * store
        store = store - out[:, day]
    return out


def rhythm(daily_ml: Floats, sump_ml: float) -> tuple[int, int | None]:
    """Days between drainings, and the days that the room under the grid alone would allow.

    The first is the shortest usual rhythm in which a draining is worth the walk, never more than
    the longest usual one (liquid that stands turns foul), and never so long that liquid takes more
    than its share of the space under the grid in nine members out of ten. The second is None where
    next to nothing drains.
    """
    evidence = book()
    practice = evidence["practice.drain"]
    worth = evidence["planning.drain.worth"].value
    allowed = evidence["planning.drain.sump_share"].value * sump_ml
    usual, much = np.quantile(daily_ml, [0.5, 0.9])
    wanted = practice.high if usual <= 0 else np.ceil(worth / usual)
    wanted = int(np.clip(wanted, practice.low, practice.high))
    if much * YEAR_DAYS <= allowed:
        return wanted, None
    room = int(allowed // much)
    return max(1, min(wanted, room)), max(1, room)
