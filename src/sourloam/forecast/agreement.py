"""How well members agree with a log: fill marks, drainings, weighings, thermometers, fullness.

Errors have heavy tails (Student's t), so that one slip of the pen moves a forecast little.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy import special

from sourloam.evidence import book
from sourloam.forecast.coordinates import Hidden
from sourloam.forecast.kernel import liquid_by, on_days
from sourloam.forecast.logged import Logged, Reading
from sourloam.forecast.members import Scene

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
_ML_PER_M3 = 1e6
_LEAST = 1e-12  # method: keeps a logarithm finite


def heavy(away: Floats, degrees: float) -> Floats:
    """Log density of Student's t at standardised errors ``away``, of their shape, but for a
    constant."""
    return np.asarray(-(degrees + 1) / 2 * np.log1p(away**2 / degrees))


@dataclass(frozen=True)
class Seen:
    """What members say of each reading of a log; arrays (members, readings)."""

    marks: Floats
    drains_ml: Floats
    weighings_kg: Floats
    warmths_c: Floats
    last_level: Floats


@dataclass(frozen=True)
class Agreement:
    """The log likelihood of a log, as a function of coordinates and errors of layers."""

    scene: Scene
    logged: Logged
    density_kg_m3: float

    @cached_property
    def _looked(self) -> Ints:
        """Days on which the level counts: the last layer or setting aside, marks, weighings."""
        log = self.logged
        last = log.last_layer if log.set_aside is None else log.set_aside
        days = [last, *(reading.day for reading in (*log.marks, *log.weighings))]
        return np.array(days, dtype=np.int64)

    @cached_property
    def _drained(self) -> Ints:
        return np.array([reading.day for reading in self.logged.drains], dtype=np.int64)

    def seen(self, z: Floats, errors: Floats) -> tuple[Hidden, Seen]:
        """What the members would have read."""
        scene, log = self.scene, self.logged
        inside = scene.inside(z)
        days = 1 + max(
            int(d.max(initial=0)) for d in (self._looked, self._drained, scene.lumps.day)
        )
        kg = scene.lumps.masses(inside, errors, scene.mix) * (1 + scene.dose)
        held, rows = scene.held(inside, days), scene.rows(inside)
        softening = scene.softening(inside, days)
        level, mass = on_days(
            scene.lumps.day, kg, self._looked, held, softening, rows, scene.shared()
        )
        liquid = liquid_by(scene.lumps.day, kg, self._drained, held, rows)
        let_out = np.diff(liquid, axis=1, prepend=0.0)
        warm = scene.room_c[[r.day for r in log.warmths]] if log.warmths else np.zeros(0)
        marks = 1 + len(log.marks)
        return inside, Seen(
            marks=level[:, 1:marks],
            drains_ml=let_out / self.density_kg_m3 * _ML_PER_M3,
            weighings_kg=mass[:, marks:],
            warmths_c=warm + inside["climate.room.unsure"][:, None],
            last_level=level[:, 0],
        )

    def __call__(self, z: Floats, errors: Floats) -> Floats:
        """Log likelihood of each member."""
        _, seen = self.seen(z, errors)
        each = self.standardised(seen)
        degrees = book()["forecast.tails"].value
        total = sum(heavy(away, degrees).sum(axis=1) for away in each.values())
        return np.asarray(total + self._fullness(seen.last_level))

    def standardised(self, seen: Seen) -> dict[str, Floats]:
        """Readings less what members say, in standard errors, by kind, (members, readings)."""
        log, evidence = self.logged, book()
        floor = evidence["forecast.drain.floor"].value
        drained = np.log(_values(log.drains) + floor) - np.log(seen.drains_ml + floor)
        weighed = np.log(_values(log.weighings)) - np.log(np.maximum(seen.weighings_kg, _LEAST))
        return {
            "mark": (_values(log.marks) - seen.marks) / evidence["forecast.mark.error"].value,
            "drain": drained / evidence["forecast.drain.error"].value,
            "weighing": weighed / evidence["forecast.scale.error"].value,
            "warmth": (_values(log.warmths) - seen.warmths_c)
            / evidence["forecast.warmth.error"].value,
        }

    def _fullness(self, level: Floats) -> Floats:
        """Still fed: the last layer went in. Set aside: full, or given up for another reason."""
        evidence = book()
        away = (1 - level) / evidence["forecast.full_slack"].value
        if not self.scene.lumps.day.size:
            return np.zeros_like(level)
        fits = special.log_ndtr(away)
        if self.logged.set_aside is None:
            return np.asarray(fits)
        full = evidence["forecast.aside_full"].value
        below = -0.5 * (away - 1) ** 2
        return np.asarray(np.logaddexp(np.log(full) + below, np.log1p(-full) + fits))


def _values(readings: tuple[Reading, ...]) -> Floats:
    return np.array([r.value for r in readings], dtype=np.float64)
