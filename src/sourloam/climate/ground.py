"""How the air's temperature goes down into the ground: damped, and late.

Heat conduction in a half-space of one thermal diffusivity ``a``:
``dT/dt = a d2T/dz2``, ``T(0, t)`` given. A wave of angular frequency ``w`` at the surface
reaches depth ``z`` multiplied by ``exp(-z/d)`` and later by the phase ``z/d``, with the damping
depth ``d = sqrt(2 a / w)`` (Carslaw and Jaeger's half-space; the same wave as in Hillel 1982).
A record of whole years is a sum of such waves, so its Fourier transform gives the exact answer
for the record repeated for ever. Left out: latent heat of freezing, snow, moving water; real
ground therefore freezes later and less deep than computed here.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sourloam.climate.daily import ClimateError
from sourloam.evidence import Parameters

TEXTURES = ("sand", "sandy_loam", "loam", "clay")
WETNESSES = ("dry", "moist", "wet")
EVIDENCE = (
    "climate.ground.above_air",
    "climate.ground.surface_swing",
    *(f"climate.diffusivity.{texture}.{wet}" for texture in TEXTURES for wet in WETNESSES),
)
LEAST_DAYS = 365
_YEAR_DAYS = 365.25
_SLACK_DAYS = 5
_DAY_S = 86400


@dataclass(frozen=True)
class Ground:
    """What heat has to pass: ``texture`` of TEXTURES, ``wetness`` of WETNESSES."""

    texture: str = "loam"
    wetness: str = "moist"

    def __post_init__(self) -> None:
        if self.texture not in TEXTURES:
            raise ClimateError(f"texture {self.texture!r}; right would be {', '.join(TEXTURES)}")
        if self.wetness not in WETNESSES:
            raise ClimateError(f"wetness {self.wetness!r}; right would be {', '.join(WETNESSES)}")

    def diffusivity_m2_s(self, parameters: Parameters) -> NDArray[np.float64]:
        """Thermal diffusivity, m2/s, shape ``(members,)``."""
        return parameters[f"climate.diffusivity.{self.texture}.{self.wetness}"]


def soil_temperature_c(
    surface_c: ArrayLike, depth_m: ArrayLike, diffusivity_m2_s: ArrayLike
) -> NDArray[np.float64]:
    """Daily mean temperature at a depth, °C, of the shape of ``surface_c`` ``(..., days)``.

    ``depth_m`` (0 or more) and ``diffusivity_m2_s`` (above 0) broadcast over the leading axes. At
    least 365 days are needed: what the ground remembers goes back for months (ClimateError).
    ValueError for a depth or diffusivity out of these bounds. A record that does not close a year
    is first closed with its own days of the year before.
    """
    surface = np.asarray(surface_c, dtype=np.float64)
    depth, diffusivity = np.asarray(depth_m, float), np.asarray(diffusivity_m2_s, float)
    if np.any(depth < 0) or not np.all(diffusivity > 0):
        raise ValueError("depth must be 0 m or more and diffusivity above 0 m2/s")
    days = surface.shape[-1]
    closed = _closed(surface)
    frequency = np.fft.rfftfreq(closed.shape[-1], d=_DAY_S)
    damping = np.sqrt(np.pi * frequency / diffusivity[..., None])
    passed = np.exp(-(1 + 1j) * depth[..., None] * damping)
    wave = np.fft.rfft(closed) * passed
    return np.asarray(np.fft.irfft(wave, closed.shape[-1])[..., :days])


def ground_temperature_c(
    outdoor_c: ArrayLike, depth_m: ArrayLike, ground: Ground, parameters: Parameters
) -> NDArray[np.float64]:
    """Soil temperature under an open bed, °C, shape ``(members, days)``, from daily mean air.

    ``outdoor_c`` is ``(days,)`` or ``(members, days)`` with at least 365 days; ``depth_m`` one
    depth or ``(members,)``. The bed's surface has the air's temperature with the mean raised
    (``climate.ground.above_air``) and the swing lessened (``climate.ground.surface_swing``).
    """
    air = np.atleast_2d(np.asarray(outdoor_c, dtype=np.float64))
    mean = _closed(air).mean(axis=-1, keepdims=True)
    above = parameters["climate.ground.above_air"][:, None]
    swing = parameters["climate.ground.surface_swing"][:, None]
    surface = mean + above + swing * (air - mean)
    return soil_temperature_c(surface, depth_m, ground.diffusivity_m2_s(parameters))


def _closed(air: NDArray[np.float64]) -> NDArray[np.float64]:
    """The record, lengthened to whole years by its own days of the year before."""
    days = air.shape[-1]
    if days < LEAST_DAYS:
        raise ClimateError(f"{days} days of air temperature; the ground needs at least a year")
    years = np.ceil((days - _SLACK_DAYS) / _YEAR_DAYS)
    lacking = max(0, round(years * _YEAR_DAYS) - days)
    if lacking <= _SLACK_DAYS:
        return air
    before = days - LEAST_DAYS
    return np.concatenate([air, air[..., before : before + lacking]], axis=-1)
