"""Turnover of organic matter in five pools, after Jenkinson et al. 1990 and Coleman 1999.

========  ==========================================  =======
symbol    meaning                                     unit
========  ==========================================  =======
DPM, RPM  decomposable, resistant plant material      any mass
BIO, HUM  microbial biomass, humified matter          any mass
k         rate at modifier 1                          1/yr
modifier  warmth x moisture x cover                   1
========  ==========================================  =======

Each pool loses ``P (1 - exp(-k modifier t))``; of the loss a share is respired that falls with
clay, the rest is split between BIO and HUM. Inert matter takes no part and is left to the
caller. Built for months of mean air temperature; used here by the day with the temperature of
the soil at depth as well, which is an adaptation.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sourloam.evidence import Parameters

Array = NDArray[np.float64]
EVIDENCE = ("turnover",)
_MONTHS = 12
_RATES = ("turnover.rate.dpm", "turnover.rate.rpm", "turnover.rate.bio", "turnover.rate.hum")


@dataclass(frozen=True)
class Pools:
    """Carbon of the four living pools, each ``(members,)``, in one unit of mass."""

    dpm: Array
    rpm: Array
    bio: Array
    hum: Array

    @property
    def total(self) -> Array:
        """All four together, ``(members,)``, in their unit of mass."""
        return self.dpm + self.rpm + self.bio + self.hum


@dataclass(frozen=True)
class Month:
    """Forcing of one month: mean air °C, rain and open-pan evaporation mm, carbon input."""

    temperature_c: float
    rain_mm: float
    pan_mm: float
    carbon_input: float
    covered: bool


def warmth(temperature_c: ArrayLike, p: Parameters) -> Array:
    """Temperature modifier; ``temperature_c`` broadcasts against ``(members,)``."""
    t = np.asarray(temperature_c, dtype=np.float64)
    shifted = np.maximum(t + p["turnover.warmth.offset"], 1e-3)
    # method: exp overflows near -18 °C, where the modifier is 0 to machine precision anyway
    power = np.minimum(p["turnover.warmth.spread"] / shifted, 100)
    value = p["turnover.warmth.top"] / (1 + np.exp(power))
    return np.where(t < p["turnover.warmth.stops"], 0.0, value)


def respired_share(clay_percent: ArrayLike, p: Parameters) -> Array:
    """Share of broken-down carbon that leaves as CO2, ``(members,)``: x / (1 + x), where x falls
    with the clay (rows ``turnover.split``)."""
    clay = np.asarray(clay_percent, dtype=np.float64)
    x = p["turnover.split.scale"] * (
        p["turnover.split.base"]
        + p["turnover.split.span"] * np.exp(-p["turnover.split.slope"] * clay)
    )
    return np.asarray(x / (1 + x))


def largest_deficit_mm(clay_percent: ArrayLike, depth_cm: ArrayLike, p: Parameters) -> Array:
    """Largest moisture deficit of a covered topsoil, mm (above 0); broadcasts against
    ``(members,)``."""
    clay = np.asarray(clay_percent, dtype=np.float64)
    full = (
        p["turnover.deficit.base"]
        + p["turnover.deficit.clay"] * clay
        - p["turnover.deficit.square"] * clay**2
    )
    return np.asarray(full * np.asarray(depth_cm) / p["turnover.deficit.depth"])


def next_deficit_mm(deficit: Array, month: Month, largest: Array, p: Parameters) -> Array:
    """Deficit at the end of a month, mm, ``(members,)``; bare soil dries less far but keeps what
    it has lost."""
    wanted = np.maximum(deficit - month.rain_mm + p["turnover.pan"] * month.pan_mm, 0.0)
    if month.covered:
        return np.minimum(wanted, largest)
    return np.minimum(wanted, np.maximum(largest / p["turnover.deficit.bare"], deficit))


def bare_deficits_mm(rain_mm: Array, loss_mm: Array, largest: Array, p: Parameters) -> Array:
    """Deficit of bare soil at the end of each day, from moist, ``(members, days)``.

    The monthly rule by the day, with evapotranspiration in place of pan evaporation.
    """
    deficits = np.empty_like(rain_mm)
    most, deficit = largest / p["turnover.deficit.bare"], np.zeros_like(largest)
    for day in range(rain_mm.shape[1]):
        wanted = np.maximum(deficit - rain_mm[:, day] + loss_mm[:, day], 0.0)
        deficit = np.minimum(wanted, most)
        deficits[:, day] = deficit
    return deficits


def moisture(deficit: Array, largest: Array, p: Parameters) -> Array:
    """Moisture modifier: 1 up to an onset, then straight down to the least.

    ``deficit`` and ``largest`` in mm, ``(members,)``, or with days, ``(members, 1)``, after them.
    """
    shape = (-1,) + (1,) * (np.ndim(largest) - 1)
    onset = np.reshape(p["turnover.deficit.onset"], shape) * largest
    least = np.reshape(p["turnover.deficit.least"], shape)
    line = least + (1 - least) * (largest - deficit) / (largest - onset)
    return np.asarray(np.where(deficit <= onset, 1.0, line))


def break_down(
    pools: Pools, modifier: Array, years: float, clay: ArrayLike, p: Parameters
) -> Pools:
    """The four pools after a span without input, in the unit of ``pools``. ``modifier``
    ``(members,)`` multiplies the yearly rates for warmth, moisture and cover; ``clay`` is in
    percent."""
    before = (pools.dpm, pools.rpm, pools.bio, pools.hum)
    left = [c * np.exp(-p[k] * modifier * years) for c, k in zip(before, _RATES, strict=True)]
    lost = sum(b - a for b, a in zip(before, left, strict=True))
    kept = lost * (1 - respired_share(clay, p))
    bio = kept * p["turnover.split.bio"]
    return Pools(left[0], left[1], left[2] + bio, left[3] + kept - bio)


def step_month(
    pools: Pools, deficit: Array, month: Month, clay: ArrayLike, largest: Array, p: Parameters
) -> tuple[Pools, Array]:
    """One month: pools and deficit (mm) at its end, ``(members,)``; the input arrives at the end
    of the month."""
    deficit = next_deficit_mm(deficit, month, largest, p)
    modifier = warmth(month.temperature_c, p) * moisture(deficit, largest, p)
    if month.covered:
        modifier = modifier * p["turnover.covered"]
    after = break_down(pools, modifier, 1 / _MONTHS, clay, p)
    ratio = p["turnover.crop_dpm_to_rpm"]
    dpm = month.carbon_input * ratio / (1 + ratio)
    return (
        Pools(after.dpm + dpm, after.rpm + month.carbon_input - dpm, after.bio, after.hum),
        deficit,
    )


def settle(
    year: Sequence[Month], clay: float, depth_cm: float, p: Parameters, years: int
) -> tuple[Pools, Array]:
    """Pools and deficit (mm), ``(members,)``, after so many repeats of one year, from bare of
    carbon and moist."""
    zero = np.zeros(p.members)
    pools, deficit = Pools(zero, zero, zero, zero), zero
    largest = largest_deficit_mm(clay, depth_cm, p)
    for _ in range(years):
        for month in year:
            pools, deficit = step_month(pools, deficit, month, clay, largest, p)
    return pools, deficit
