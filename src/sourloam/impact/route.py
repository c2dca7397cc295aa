"""What one way of dealing with scraps gives off and keeps, member by member and year by year."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, Self

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import Parameters

Array = NDArray[np.float64]
Gas = Literal["ch4", "n2o", "co2e"]


@dataclass(frozen=True)
class Weights:
    """What a kg of a gas counts in kg of carbon dioxide: a report's, over so many years."""

    report: str
    years: int
    ch4: float
    n2o: float

    @classmethod
    def of(cls, report: str, years: int, p: Parameters) -> Self:
        """Those of ``report`` ("ar5", "ar6") over 20 or 100 years; KeyError for others."""
        base = f"impact.weight.{report}.y{years}"
        return cls(report, years, float(p[f"{base}.ch4"][0]), float(p[f"{base}.n2o"][0]))

    def of_gas(self, gas: Gas) -> float:
        """What a kg of it counts."""
        return {"ch4": self.ch4, "n2o": self.n2o, "co2e": 1.0}[gas]


@dataclass(frozen=True)
class Emission:
    """One source of one gas, kg, (members, years): column 0 is the season's own year.

    Years that are not there have none. ``sources`` are the evidence ids behind it; gas "co2e" is
    what is only known as carbon dioxide of equal weight.
    """

    name: str
    gas: Gas
    kg: Array
    sources: tuple[str, ...]

    def weighed(self, weights: Weights) -> Array:
        """kg CO2e of each year up to the horizon, (members, years)."""
        return np.asarray(self.kg[:, : weights.years + 1] * weights.of_gas(self.gas))


@dataclass(frozen=True)
class Route:
    """One way for all the scraps. Amounts in kg, arrays (members,).

    ``carbon`` and ``nitrogen`` say where those of the scraps (and of the bran, where there is
    any) are in the end: their sums are what went in. ``soil_carbon`` holds carbon that is still
    there after the ``SPANS`` of years, (members, spans). ``to_garden`` holds nitrogen, phosphorus
    and potassium of the scraps that reach garden soil. ``credit_kg`` is what would be saved
    elsewhere, in CO2e, and is counted only where that is asked for.
    """

    id: str
    name: str
    emissions: tuple[Emission, ...]
    carbon: Mapping[str, Array]
    nitrogen: Mapping[str, Array]
    to_garden: Mapping[str, Array]
    usable_nitrogen_kg: Array
    soil_carbon: Array
    credit_kg: Array

    def by_year(self, weights: Weights) -> Array:
        """kg CO2e a year, (members, horizon + 1)."""
        total = np.zeros((len(self.credit_kg), weights.years + 1))
        for emission in self.emissions:
            weighed = emission.weighed(weights)
            total[:, : weighed.shape[1]] += weighed
        return total

    def total(self, weights: Weights, credits: bool = False) -> Array:
        """kg CO2e up to the horizon, (members,)."""
        whole = self.by_year(weights).sum(axis=1)
        return np.asarray(whole - self.credit_kg if credits else whole)

    def __add__(self, other: Route) -> Route:
        """The same way for the scraps of two places."""
        return Route(
            self.id,
            self.name,
            tuple(
                Emission(a.name, a.gas, a.kg + b.kg, tuple(dict.fromkeys((*a.sources, *b.sources))))
                for a, b in zip(self.emissions, other.emissions, strict=True)
            ),
            _added(self.carbon, other.carbon),
            _added(self.nitrogen, other.nitrogen),
            _added(self.to_garden, other.to_garden),
            self.usable_nitrogen_kg + other.usable_nitrogen_kg,
            self.soil_carbon + other.soil_carbon,
            self.credit_kg + other.credit_kg,
        )


def _added(one: Mapping[str, Array], other: Mapping[str, Array]) -> dict[str, Array]:
    return {name: amount + other[name] for name, amount in one.items()}


def at_once(name: str, gas: Gas, kg: Array, *sources: str) -> Emission:
    """A gas that all leaves in the season's own year; ``kg`` (members,)."""
    return Emission(name, gas, np.asarray(kg)[:, None], sources)
