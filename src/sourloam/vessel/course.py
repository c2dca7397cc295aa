"""What a run of a vessel answers, and how it is set."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import Parameters
from sourloam.vessel.ferment import Drained, Ferment, Ledger

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Settings:
    """How a run is made: openings, and the pH error allowed in a step.

    ``openings_per_layer`` is one number, or one for each member; so is ``plate_kg``, which takes
    the place of the vessel's own plate where that is not known. Without ``drains`` all liquid
    stays where it is, as in a jar. A full vessel whose newest layer is sour is followed for
    ``rest_days`` after that layer, and stays as it is from then on.
    """

    openings_per_layer: float | Array = 1.0
    plate_kg: float | Array | None = None
    openings_per_rest_day: float = 0.0
    rest_days: float = np.inf
    tolerance_ph: float = 0.002  # method: pH error allowed in a step
    keep_layers: bool = False
    drains: bool = True


@dataclass(frozen=True)
class Course:
    """A vessel through time; arrays (members,) or (members, days). Day 0 begins the run; daily
    values stand for the end of a day. Days that never come are infinite."""

    full_day: Array
    last_fed_day: Array
    fed_kg: Array
    layers_taken: Array
    finish_day: Array
    failed: NDArray[np.bool_]
    putrid: NDArray[np.bool_]
    putrid_by_day: NDArray[np.bool_]  # (members, days)
    level_m: Array
    level_share: Array
    contents_kg: Array
    liquid_m3: Array
    ph_newest: Array
    top_oxygen_mmol_per_kg: Array
    spoilt_top: NDArray[np.bool_]
    drained: Drained
    ferment: Ferment
    ledger: Ledger
    co2_kg: Array
    oxygen_kg: Array
    # Layer by layer (members, layers, days), empty unless asked for:
    ph_layers: Array
    poor_layers: NDArray[np.bool_]
    oxygen_layers_mmol_per_kg: Array  # taken up since it was laid


def is_poor(
    butyric_share: Array, ammonium_share: Array, parameters: Parameters
) -> NDArray[np.bool_]:
    """Whether a ferment goes the butyric or putrid way: the one rule for vessels and layers.

    ``butyric_share`` of dry matter and ``ammonium_share`` of N, (members,) or (members, days),
    against the marks of a poor silage. What was never there is not poor.
    """
    shape = (-1,) + (1,) * (butyric_share.ndim - 1)
    butyric = parameters["ferment.butyric_poor"].reshape(shape)
    ammonia = parameters["ferment.ammonia_poor"].reshape(shape)
    return np.asarray((butyric_share > butyric) | (ammonium_share > ammonia))


def is_late(
    finish_day: Array, last_fed_day: Array | float, days: int, parameters: Parameters
) -> NDArray[np.bool_]:
    """Whether a vessel or layer is too late, ``(members,)``: sour and steady (``finish_day``, inf
    if never in the ``days`` of the run) longer after its last layer than the limit. Days are
    counted from the start of the run. A run that ends before the limit says nothing yet."""
    waited = np.where(np.isfinite(finish_day), finish_day, days) - last_fed_day
    return np.asarray(waited > parameters["ferment.failure_after"])


def member_series(temperature_c: Array, members: int) -> Array:
    """Daily series (days,) or (members, days) as (members, days); ValueError if it is not."""
    series = np.atleast_2d(np.asarray(temperature_c, dtype=np.float64))
    if series.shape[0] not in (1, members) or series.shape[1] == 0:
        raise ValueError(f"temperature of shape {series.shape} for {members} members")
    if not np.all(np.isfinite(series)):
        raise ValueError("a temperature is not a finite number")
    # Always an array of its own: one kernel for all, and nobody else's can change under it.
    return np.array(np.broadcast_to(series, (members, series.shape[1])), order="C")


def joined(parts: list[Course]) -> Course:
    """Courses of several blocks of members as one."""
    whole: Course = _joined(parts)
    return whole


def _joined(parts: list[Any]) -> Any:
    """Arrays end to end over members, through dataclasses and dictionaries."""
    first = parts[0]
    if isinstance(first, np.ndarray):
        return np.concatenate(parts)
    if isinstance(first, dict):
        return {key: _joined([part[key] for part in parts]) for key in first}
    return type(first)(*(_joined([getattr(part, f.name) for part in parts]) for f in fields(first)))
