"""How a set of readings compares: pooled, by publication, at the end of each arm, by quantity."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sourloam.validation.readings import ArmResult, Reading
from sourloam.validation.trial import Role

Array = NDArray[np.float64]
_LEAST = 1e-6  # method: no ratio to nought
#: Quantities compared by their difference; the others by their ratio.
DIFFERENCES = ("ph", "lactic_bacteria", "enterobacteria")


@dataclass(frozen=True)
class QuantityScore:
    """How the readings of one quantity compare: in its own unit for pH and counts (log10), as
    ratios of the model to the measured for contents."""

    quantity: str
    readings: int
    inside: float
    middle: float  # median error, or median ratio
    width: float  # median width of the band, or median ratio of its ends


@dataclass(frozen=True)
class Score:
    """How a set of readings compares; NaN where there is nothing to compare."""

    role: Role
    trials: int
    ph_readings: int
    ph_rmse: float
    ph_rmse_by_publication: float  # each publication counts once
    ph_rmse_last: float  # of the last reading of each arm
    ph_bias: float
    ph_inside: float
    ph_width: float  # median width of the band
    final_lactic_readings: int
    final_lactic_error: float
    final_lactic_bias: float
    values: int
    inside: float
    bounds: int
    bounds_kept: int
    quantities: tuple[QuantityScore, ...]


def score_of(role: Role, results: tuple[ArmResult, ...]) -> Score:
    """Score of all arms of one role, void arms left out."""
    chosen = [result for result in results if result.trial.role == role and not result.arm.void]
    readings = [reading for result in chosen for reading in result.readings]
    values = [reading for reading in readings if reading.relation == "is"]
    bounds = [reading for reading in readings if reading.relation != "is"]
    ph = [reading for reading in values if reading.quantity == "ph"]
    lactic = _last(chosen, ("lactic", "titratable"))
    relative = np.array([reading.error / reading.measured for reading in lactic])
    errors = np.array([reading.error for reading in ph])
    return Score(
        role=role,
        trials=len({result.trial.id for result in chosen}),
        ph_readings=len(ph),
        ph_rmse=_root_mean_square(errors),
        ph_rmse_by_publication=_root_mean_square(_by_publication(ph)),
        ph_rmse_last=_root_mean_square(np.array([r.error for r in _last(chosen, ("ph",))])),
        ph_bias=float(errors.mean()) if ph else np.nan,
        ph_inside=_share(ph),
        ph_width=float(np.median([r.high - r.low for r in ph])) if ph else np.nan,
        final_lactic_readings=len(lactic),
        final_lactic_error=float(np.median(np.abs(relative))) if lactic else np.nan,
        final_lactic_bias=float(np.median(relative)) if lactic else np.nan,
        values=len(values),
        inside=_share(values),
        bounds=len(bounds),
        bounds_kept=sum(reading.agrees for reading in bounds),
        quantities=_by_quantity(values),
    )


def _root_mean_square(errors: Array) -> float:
    return float(np.sqrt(np.mean(errors**2))) if errors.size else np.nan


def _by_publication(readings: list[Reading]) -> Array:
    """Root mean square error of each publication."""
    trials = sorted({reading.trial for reading in readings})
    return np.array(
        [_root_mean_square(np.array([r.error for r in readings if r.trial == t])) for t in trials]
    )


def _by_quantity(values: list[Reading]) -> tuple[QuantityScore, ...]:
    names = dict.fromkeys(reading.quantity for reading in values)
    return tuple(
        _quantity_score(name, [reading for reading in values if reading.quantity == name])
        for name in names
    )


def _quantity_score(name: str, readings: list[Reading]) -> QuantityScore:
    low, median, high, measured = (
        np.array([getattr(reading, part) for reading in readings])
        for part in ("low", "median", "high", "measured")
    )
    if name in DIFFERENCES:
        middle, width = np.median(median - measured), np.median(high - low)
    else:
        middle, width = np.median(median / measured), np.median(high / np.maximum(low, _LEAST))
    return QuantityScore(name, len(readings), _share(readings), float(middle), float(width))


def _last(results: list[ArmResult], quantities: tuple[str, ...]) -> list[Reading]:
    """Last value of any of some quantities in each arm (lactic acid may be titrated as such)."""
    last = []
    for result in results:
        found = [
            reading
            for reading in result.readings
            if reading.relation == "is" and reading.quantity in quantities
        ]
        if found:
            last.append(max(found, key=lambda reading: reading.day))
    return last


def _share(readings: list[Reading]) -> float:
    return float(np.mean([reading.agrees for reading in readings])) if readings else np.nan
