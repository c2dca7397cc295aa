"""How far enteric bacteria fall in a souring layer. Never a promise of safety."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import Parameters

Array = NDArray[np.float64]
#: Evidence that this module needs: prefixes of ids.
EVIDENCE = (
    "hygiene",
    "acids.pka",
    "flora.entero.lactic_limit",
    "flora.entero.acetic_limit",
)
CAUTION = (
    "Fermenting is no kill step to rely on. Worm eggs and spores outlive it, and a poor, warm or "
    "leaky vessel can multiply enteric bacteria. Handle the ferment like raw meat, keep pet and "
    "human faeces out, bury it, and keep to local rules on what may be grown raw above it."
)


@dataclass(frozen=True)
class EntericDecline:
    """Fall of enteric bacteria since the start, log10, and the caution that belongs to it.

    ``log10_fall`` (members, records) rises from 0; it counts death only, never regrowth.
    """

    log10_fall: Array
    caution: str = CAUTION


def enteric_decline(
    day: Array,
    ph: Array,
    lactic_mmol_per_l: Array,
    acetic_mmol_per_l: Array,
    temperature_c: Array,
    parameters: Parameters,
) -> EntericDecline:
    """Fall of enteric bacteria over a series of readings.

    ``day`` (records,) rising; ``ph`` and the total (dissociated or not) acids in the water of the
    layer (members, records); ``temperature_c`` broadcasts against them. The death rate is that of
    acid-resistant strains in fermented brines (rows ``hygiene``): a power of ten in pH, a Q10 in
    temperature, and no death until undissociated lactic or acetic acid reaches the level that stops
    growth (``flora.entero``). Trapezoid between readings. ValueError for days that do not rise, or
    a pH of another shape.
    """
    if np.any(np.diff(day) <= 0):
        raise ValueError("days must rise")
    if ph.shape != (parameters.members, day.size):
        raise ValueError(f"pH: shape {ph.shape}, expected ({parameters.members}, {day.size})")
    rate = _column(parameters, "hygiene.enteric.rate") * 10.0 ** (
        _column(parameters, "hygiene.enteric.ph_slope")
        * (_column(parameters, "hygiene.enteric.rate_ph") - ph)
    )
    warmth = (temperature_c - _column(parameters, "hygiene.enteric.rate_temperature")) / 10
    rate = rate * _column(parameters, "hygiene.enteric.q10") ** warmth
    rate = rate * _acid_share(ph, lactic_mmol_per_l, acetic_mmol_per_l, parameters)
    steps = 0.5 * (rate[:, 1:] + rate[:, :-1]) * np.diff(day)
    fall = np.concatenate([np.zeros((ph.shape[0], 1)), np.cumsum(steps, axis=1)], axis=1)
    return EntericDecline(fall)


def _acid_share(ph: Array, lactic: Array, acetic: Array, parameters: Parameters) -> Array:
    """0 with no undissociated acid, 1 from where it stops growth."""
    level = np.zeros(np.broadcast_shapes(ph.shape, lactic.shape, acetic.shape))
    for total, name in ((lactic, "lactic"), (acetic, "acetic")):
        whole = total / (1 + 10.0 ** (ph - _column(parameters, f"acids.pka.{name}")))
        level = level + whole / _column(parameters, f"flora.entero.{name}_limit")
    return np.clip(level, 0.0, 1.0)


def _column(parameters: Parameters, name: str) -> Array:
    return parameters[name][:, None]
