"""The hidden inputs of a vessel as independent standard normals, and back.

Sampling moves in these coordinates; every prior is the evidence's own row, met through its
quantiles, so that a draw of standard normals is a draw from the evidence.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray
from scipy import special

from sourloam.evidence import book
from sourloam.vessel.prepare import _NORMAL_POINTS

Floats = NDArray[np.float64]
#: Rows of the evidence that a log can teach something about.
ROWS = (
    "vessel.packing",
    "vessel.press",
    "vessel.creep",
    "vessel.creep_days",
    "vessel.density_most",
    "liquid.yield_factor",
    "liquid.day_spread",
    "liquid.seepage",
    "climate.room.unsure",
)
#: All coordinates: the size of a measure, dry share and loose density of the mix, then the rows.
NAMES = ("amount", "dry", "loose", *ROWS)
COUNT = len(NAMES)
_FAR = 6.0  # method: standard deviations tabled
_RIDGE = 1e-9  # method: keeps a covariance positive
_KNOTS = 241  # method: points of the table of a row's quantiles


@cache
def _table(row_id: str) -> tuple[Floats, Floats]:
    z = np.linspace(-_FAR, _FAR, _KNOTS)
    return z, book()[row_id].quantile(special.ndtr(z))


def row_values(row_id: str, z: Floats) -> Floats:
    """Values of a row of the evidence, in its unit, at standard normals ``z``, of their shape."""
    return np.asarray(np.interp(z, *_table(row_id)))


@dataclass(frozen=True)
class Mix:
    """What a place's mix (bran included) could be: dry share (its logit) and loose density (its
    logarithm), jointly normal. ``yield_dry``, ``yield_share``: kg of water let go by a kg of mix
    of such a dry share; ``loose_usual`` the density by which litres are told."""

    mean: tuple[float, float]
    root: tuple[tuple[float, float], tuple[float, float]]
    loose_usual: float

    def values(self, z_dry: Floats, z_loose: Floats) -> tuple[Floats, Floats]:
        """Dry share and loose density, kg/m3, at two standard normals, of their shape."""
        a, b = self.root[0][0], self.root[1][0]
        dry = special.expit(self.mean[0] + a * z_dry)
        return dry, np.exp(self.mean[1] + b * z_dry + self.root[1][1] * z_loose)

    @classmethod
    def fitted(cls, dry_share: Floats, loose_kg_m3: Floats, loose_usual: float) -> Mix:
        """From draws ``(draws,)`` of dry share (0 to 1) and loose density, kg/m3: normal in logit
        and logarithm, with their correlation."""
        both = np.stack([special.logit(dry_share), np.log(loose_kg_m3)])
        root = np.linalg.cholesky(np.cov(both) + _RIDGE * np.eye(2))
        mean = both.mean(axis=1)
        return cls(
            (float(mean[0]), float(mean[1])),
            ((float(root[0, 0]), 0.0), (float(root[1, 0]), float(root[1, 1]))),
            loose_usual,
        )


@cache
def _yield_knots() -> tuple[Floats, Floats]:
    ids = [k for k in book().ids("liquid.yield") if k.startswith("liquid.yield.d")]
    pairs = sorted((float(k.rsplit(".d", 1)[1]), book()[k].value) for k in ids)
    return np.array([p[0] for p in pairs]) / 1000, np.array([p[1] for p in pairs]) / 1000


def water_let_go(dry_share: Floats, spread: Floats, factor: Floats) -> Floats:
    """kg of water that a kg of mix lets go in the end, by the evidence's curve: the mean over
    layers whose dry share varies with standard deviation ``spread``, as in ``vessel.prepare``;
    of the shape of ``dry_share``."""
    knots = _yield_knots()
    mean = sum(w * np.interp(dry_share + at * spread, *knots) for at, w in _NORMAL_POINTS)
    return np.asarray(np.minimum(mean * factor, 0.9 * (1 - dry_share)))


@dataclass(frozen=True)
class Hidden:
    """Hidden inputs of the members, arrays (members,)."""

    scale: Floats
    dry_share: Floats
    loose: Floats
    rows: dict[str, Floats]

    def __getitem__(self, row_id: str) -> Floats:
        return self.rows[row_id]


def hidden(z: Floats, mix: Mix, amount_error: float) -> Hidden:
    """Values at standard normals ``z`` (members, COUNT)."""
    dry, loose = mix.values(z[:, 1], z[:, 2])
    unlogged = np.log1p(book()["forecast.unlogged"].value)
    return Hidden(
        scale=np.exp(unlogged + amount_error * z[:, 0]),
        dry_share=dry,
        loose=loose,
        rows={row: row_values(row, z[:, 3 + i]) for i, row in enumerate(ROWS)},
    )
