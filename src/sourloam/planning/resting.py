"""How long a full vessel rests, by the day on which it is closed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sourloam import scraps, vessel
from sourloam.numerics.abreast import abreast
from sourloam.planning.case import YEAR_DAYS, Case, Kind
from sourloam.planning.dosing import dosing
from sourloam.scraps import Batch

Floats = NDArray[np.float64]
_EVERY_DAYS = 30  # method: days between two closings that are computed
_LONGEST_DAYS = 240  # method: days that a layer in the cold is followed
_FOLLOWED_DAYS = 50  # method: days that a newest layer is followed


@dataclass(frozen=True)
class Resting:
    """Rests of closings spread over the year: (members, closings), inf where never sour.

    Frost only puts off: a layer that freezes is followed until it has thawed and turned sour.
    """

    closing_day: NDArray[np.int64]
    rest_days: Floats
    warmth_c: Floats

    def on_every_day(self, days: int, first: int) -> Floats:
        """Rest of a vessel closed on each day of a window, (members, days).

        ``first`` is the index of the first closing's year in the window; other years repeat it.
        Between two closings a straight line; beside one that fails, the nearer one counts.
        """
        place = (np.arange(days) - first) % YEAR_DAYS
        knots = self.closing_day - first
        before = np.searchsorted(knots, place, side="right") - 1
        after = (before + 1) % len(knots)
        span = np.where(after == 0, YEAR_DAYS, knots[after]) - knots[before]
        share = (place - knots[before]) / span
        low, high = self.rest_days[:, before], self.rest_days[:, after]
        with np.errstate(invalid="ignore"):
            line = low + share * (high - low)
        return np.where(
            np.isfinite(low) & np.isfinite(high), line, np.where(share < 0.5, low, high)
        )


def newest_layer(case: Case, kind: Kind) -> Batch:
    """A usual last layer with its bran, (members, COLUMNS)."""
    daily = case.scraps_kg[:, case.coming_year]
    came = np.where(daily > 0, daily, np.nan)
    mass = np.nan_to_num(np.nanmean(came, axis=1), nan=1.0)
    bran = dosing(case, kind).layer_kg(mass, kind.vessel.section_m2)
    carrier = scraps.bran_batch(bran, case.site.bran.carrier, None, case.parameters)
    return case.mix.times(mass) + carrier


def rest(case: Case, kind: Kind) -> Resting:
    """Follow the newest layer of vessels closed every so often through the coming year."""
    batch = newest_layer(case, kind)
    closing = np.arange(case.first, case.first + YEAR_DAYS - _EVERY_DAYS // 2, _EVERY_DAYS)
    spells = closing[:, None] + np.arange(_FOLLOWED_DAYS)
    days = abreast(lambda day: _followed(case, batch, int(day)), closing)
    warmth = case.room_c[:, spells[:, : 2 * 7]].mean(axis=2)
    return Resting(closing, np.stack(days, 1), warmth)


def _followed(case: Case, batch: Batch, day: int) -> Floats:
    """Rest of a layer closed on a day; those not sour in time are followed through the cold."""
    ready = sour(case, batch, case.room_c[:, day : day + _FOLLOWED_DAYS]).ready_day.copy()
    late = np.flatnonzero(~np.isfinite(ready))
    if late.size:
        room = case.room_c[late, day : day + _LONGEST_DAYS]
        ready[late] = sour(case.pick(late), Batch(batch.amounts[late]), room).ready_day
    return ready


def sour(case: Case, batch: Batch, room_c: Floats) -> vessel.Souring:
    """The newest layer of each member in a room (members, days)."""
    return vessel.newest_layer_finish(batch, room_c, case.parameters, case.pieces)


def rest_from(case: Case, kind: Kind, day: int) -> Floats:
    """Rest of vessels of a kind that are closed on day ``day`` of the case, days ``(members,)``;
    inf where it is not over within the days that are followed."""
    room = case.room_c[:, day : day + _FOLLOWED_DAYS]
    return sour(case, newest_layer(case, kind), room).ready_day
