"""When a vessel should next be drained, and how much to expect then."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import book
from sourloam.forecast.logged import Logged
from sourloam.vessel import Vessel

Floats = NDArray[np.float64]
_ML_PER_M3 = 1e6
_MUCH = 0.9  # method: the member whose liquid must still find room


@dataclass(frozen=True)
class Drain:
    """Day of the turn (None: not worth it within the horizon), the day on which each member would
    be drained (members,; infinite: never in time), mL gathered by ``day`` (members,), and the
    share of the space under the grid that stands full now."""

    day: int | None
    days: Floats
    gathered_ml: Floats
    sump_share: float


def next_drain(log: Logged, let_go_ml: Floats, now: int, vessel: Vessel) -> Drain:
    """By the person's own rhythm, or the usual one; sooner where the space under the grid would
    fill, later where it is not yet worth the walk.

    ``let_go_ml`` (members, days): liquid let go by the end of each day.
    """
    evidence = book()
    last = log.drains[-1].day if log.drains else 0
    gathered = let_go_ml - (let_go_ml[:, [last - 1]] if last else 0.0)
    worth, sump = evidence["planning.drain.worth"].value, vessel.sump_m3 * _ML_PER_M3
    middle, much = np.median(gathered, axis=0), np.quantile(gathered, _MUCH, axis=0)
    share = float(middle[now] / sump) if sump > 0 else 0.0
    days = np.arange(let_go_ml.shape[1])
    due, room = days >= last + _rhythm(log), evidence["planning.drain.sump_share"].value * sump
    wanted = np.flatnonzero((due | (much > room)) & (middle >= worth) & (days >= now))
    own = (due | (gathered > room)) & (gathered >= worth) & (days >= now)
    first = np.where(own.any(axis=1), own.argmax(axis=1), np.inf)
    if not wanted.size:
        return Drain(None, first, gathered[:, now], share)
    day = int(wanted[0])
    return Drain(day, first, gathered[:, day], share)


def _rhythm(log: Logged) -> int:
    """Usual days from one draining to the next."""
    days = [reading.day for reading in log.drains]
    if len(days) > 2:
        return max(1, round(float(np.median(np.diff(days)))))
    return round(book()["practice.drain"].value)
