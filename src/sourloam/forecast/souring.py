"""How single layers of a place's mix sour at a range of temperatures: run once, looked up often.

One closed layer stands for every layer of a vessel. A share of the draws is in trouble: dead
bran on far too much animal matter.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from sourloam import scraps, vessel
from sourloam.evidence import Parameters, book
from sourloam.scraps import Batch

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Shares = str | tuple[tuple[str, float], ...]
_SOUND, _TROUBLED = 240, 40  # method: draws of single layers
_GRID_C = np.array([1.0, 5.0, 9.0, 13.0, 17.0, 21.0, 25.0, 30.0])  # method: °C run
_DAYS = 120  # method: days followed, enough for the slow ones in the cold
_CLOSE = 1e-6  # method: rounding of a sum of shares
_SEED = 1
_ANIMAL = ("meat_fish", "dairy_egg", "shells_bones")


@dataclass(frozen=True)
class Usual:
    """What a place's layers are made of. ``shares``: a preset's name, or pairs of class and
    share. ``dose`` kg of bran a kg of scraps; ``strength`` log10 cfu/g if known."""

    shares: Shares
    dose: float
    carrier: str
    strength: float | None
    pieces: vessel.Pieces

    @property
    def mix(self) -> str | dict[str, float]:
        """The same as ``shares``, as a mix is given elsewhere."""
        return self.shares if isinstance(self.shares, str) else dict(self.shares)


@dataclass(frozen=True)
class Souring:
    """Draws of single layers: pH at the end of each day of age (temperatures, draws, days), day
    of being sour and steady and whether that failed (temperatures, draws); dry share, loose
    density (kg/m3) of the mix with bran, and whether a draw is in trouble (draws,)."""

    ph: Floats
    ready_day: Floats
    failed: Bools
    dry_share: Floats
    loose: Floats
    troubled: Bools

    @property
    def days(self) -> int:
        """Days of age that are followed."""
        return int(self.ph.shape[2])

    def between(self, temperature_c: Floats) -> tuple[NDArray[np.int64], Floats]:
        """Lower row of the grid and the weight of the upper, for each temperature."""
        at = np.interp(temperature_c, _GRID_C, np.arange(len(_GRID_C)))
        low = np.minimum(at.astype(np.int64), len(_GRID_C) - 2)
        return low, at - low

    def at(self, table: Floats, temperature_c: Floats, draw: NDArray[np.int64]) -> Floats:
        """A table (temperatures, draws, ...) looked up for members, each with its draw."""
        low, up = self.between(temperature_c)
        weight = up.reshape(-1, *(1,) * (table.ndim - 2))
        return np.asarray(table[low, draw] * (1 - weight) + table[low + 1, draw] * weight)

    def finish_day(self, last: Floats, warmth_c: Floats, draw: NDArray[np.int64]) -> Floats:
        """Day by whose end the newest layer is sour and steady, (members,); inf if not in time.

        ``warmth_c`` (members, days). Each day brings the share of the way that a steady
        temperature like its own would bring; ``last`` is the day of the newest layer.
        """
        members, days = warmth_c.shape
        drawn = np.repeat(draw, days)
        share = self.at(1 / self.ready_day, warmth_c.ravel(), drawn).reshape(members, days)
        share[np.arange(days) < last[:, None]] = 0.0
        # A way of 13.4 days ends on day 13, one of 13.6 on day 14.
        there = np.cumsum(share, axis=1) >= 1 - share / 2 - _CLOSE
        there &= share > 0
        return np.where(there.any(axis=1), there.argmax(axis=1) + 1.0, np.inf)

    def usual_days(self, draw: NDArray[np.int64]) -> Floats:
        """Days in which each member's draw sours at a middling temperature."""
        return np.asarray(self.ready_day[len(_GRID_C) // 2, draw])

    def fails(self, temperature_c: Floats, draw: NDArray[np.int64]) -> Bools:
        """Whether it spoils or sours too late at a steady temperature, °C ``(members,)``, by the
        nearest run; ``draw`` ``(members,)`` names the run of each member."""
        return np.asarray(self.fails_of_all(temperature_c)[np.arange(len(draw)), draw])

    def spoils(self, temperature_c: Floats, draw: NDArray[np.int64]) -> Bools:
        """Whether it goes the butyric or putrid way though it sours in time; shapes as in
        ``fails``."""
        limit = book()["ferment.failure_after"].value
        in_time = self.ready_day <= limit
        return np.asarray((self.failed & in_time)[self._nearest(temperature_c), draw])

    def fails_of_all(self, temperature_c: Floats) -> Bools:
        """``fails`` for every draw, (members, draws)."""
        return np.asarray(self.failed[self._nearest(temperature_c)])

    def _nearest(self, temperature_c: Floats) -> NDArray[np.int64]:
        low, up = self.between(temperature_c)
        return np.asarray(np.where(up > 0.5, low + 1, low))


def evidence_ids() -> tuple[str, ...]:
    """Every id that the draws need."""
    prefixes = (*scraps.EVIDENCE, *vessel.EVIDENCE)
    return book().ids(*prefixes)


@lru_cache(maxsize=64)  # method: mixes remembered
def souring_of(usual: Usual) -> Souring:
    """The table of a place's usual layer; made in about a second, then remembered."""
    rng = np.random.default_rng(_SEED)
    parameters = book().sample(evidence_ids(), _SOUND + _TROUBLED, rng)
    troubled = np.arange(parameters.members) >= _SOUND
    batch = _layers(usual, parameters, troubled)
    runs = [
        vessel.newest_layer_finish(batch, np.full(_DAYS, warmth), parameters, usual.pieces)
        for warmth in _GRID_C
    ]
    return Souring(
        ph=np.stack([run.ph for run in runs]),
        ready_day=np.stack([run.ready_day for run in runs]),
        failed=np.stack([run.failed for run in runs]),
        dry_share=batch.dry_kg / batch.fresh_kg,
        loose=batch.fresh_kg / batch["loose_volume"],
        troubled=troubled,
    )


def shares_with_trouble(usual: Usual, parameters: Parameters, troubled: Bools) -> Floats:
    """Shares by class, (members, classes): troubled members hold more of animal origin."""
    shares = scraps.class_shares(usual.mix, parameters)
    for name in _ANIMAL:
        column = scraps.CLASSES.index(name)
        shares[troubled, column] += book()["forecast.trouble.animal"].value
    return np.asarray(shares / shares.sum(axis=1, keepdims=True))


def _layers(usual: Usual, parameters: Parameters, troubled: Bools) -> Batch:
    """One kg of scraps with its bran, a draw each."""
    evidence = book()
    shares = shares_with_trouble(usual, parameters, troubled)
    mixed = scraps.mix(shares, scraps.class_table(parameters))
    usual_cfu = (
        parameters[f"scraps.{usual.carrier}.lactic"] if usual.strength is None else usual.strength
    )
    cfu = np.where(troubled, evidence["forecast.trouble.strength"].value, usual_cfu)
    dose = np.full(parameters.members, usual.dose)
    return mixed + scraps.bran_batch(dose, usual.carrier, cfu, parameters)
