"""What the climate and the soil of a place mean for decay, nitrous oxide and turnover."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sourloam import climate
from sourloam.evidence import Parameters
from sourloam.soil import turnover

Array = NDArray[np.float64]
Bools = NDArray[np.bool_]
EVIDENCE: tuple[str, ...] = (
    "turnover",
    *climate.RAIN_EVIDENCE,
    "impact_waste.tropical_from",
    "impact_waste.wet_tropical_from",
    "impact_waste.rate",
    "impact.soil.moisture",
)
_MONTH_DAYS = 365.25 / 12


@dataclass(frozen=True)
class Surroundings:
    """A place in the guidelines' terms, arrays (members,).

    ``tropical``: mean air above 20 °C; ``wet``: rain above what the air can take (temperate) or
    of a metre a year and more (tropical); ``turnover``: modifier of the soil's turnover by warmth
    and moisture; ``clay_percent`` of the soil that takes the ferment.
    """

    tropical: Bools
    wet: Bools
    turnover: Array
    clay_percent: Array

    def decay_rate(self, p: Parameters) -> Array:
        """k of food in a landfill there, 1/yr, ``(members,)``."""
        temperate = np.where(
            self.wet, p["impact_waste.rate.wet_temperate"], p["impact_waste.rate.dry_temperate"]
        )
        tropical = np.where(
            self.wet, p["impact_waste.rate.wet_tropical"], p["impact_waste.rate.dry_tropical"]
        )
        return np.where(self.tropical, tropical, temperate)

    def middle(self, members: int, p: Parameters, monthly_c: Sequence[float]) -> Surroundings:
        """So many members alike, with most members' climate."""
        return Surroundings(
            np.full(members, bool(np.median(self.tropical))),
            np.full(members, float(np.mean(self.wet)) >= 0.5),
            modifier(monthly_c, p),
            np.full(members, float(np.median(self.clay_percent))),
        )


def surroundings(
    monthly_c: ArrayLike, rain_mm: ArrayLike, texture: str, p: Parameters
) -> Surroundings:
    """From monthly means of the air, monthly rain, (12,) or (members, 12), and texture."""
    means = np.asarray(monthly_c, dtype=np.float64)
    yearly = np.broadcast_to(np.asarray(rain_mm, dtype=np.float64), (p.members, 12)).sum(axis=1)
    air = np.broadcast_to(means, (p.members, 12))
    taken = climate.evapotranspiration_m(air, means, p).sum(axis=1) * _MONTH_DAYS * 1000
    tropical = np.full(p.members, float(means.mean())) > p["impact_waste.tropical_from"]
    wet = np.where(tropical, yearly >= p["impact_waste.wet_tropical_from"], yearly > taken)
    return Surroundings(tropical, wet, modifier(means, p), p[f"soil.{texture}.clay"])


def modifier(monthly_c: ArrayLike, p: Parameters) -> Array:
    """Turnover's modifier, mean of the year, (members,)."""
    means = np.asarray(monthly_c, dtype=np.float64)
    warm = turnover.warmth(means[:, None], p).mean(axis=0)
    return np.asarray(warm * p["impact.soil.moisture"])
