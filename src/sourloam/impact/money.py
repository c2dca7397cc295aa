"""The account in the person's own prices: nothing is assumed, nothing is shipped."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, Literal

import numpy as np
from numpy.typing import NDArray
from pydantic import BaseModel, ConfigDict, Field

from sourloam.impact import contract
from sourloam.impact.elsewhere import Bin, Site, Wells
from sourloam.impact.summing import range_of

Array = NDArray[np.float64]
Price = Annotated[float, Field(ge=0, le=1e9)]
_LITRES = 1000.0


class _Section(BaseModel):
    model_config = ConfigDict(
        frozen=True, extra="forbid", allow_inf_nan=False, use_attribute_docstrings=True
    )


class Landfill(_Section):
    """[bin]: where the bin goes."""

    to: Literal["landfill", "incinerator"] = "landfill"
    """Landfill or incinerator."""
    landfill: Site = "managed"
    """What sort of landfill it is."""
    wells: Wells = "unknown"
    """Whether it has gas wells."""
    haul_km: Annotated[float, Field(ge=0, le=1e6)] | None = None
    """The lorry's way, km; usual if left out."""


class Prices(_Section):
    """[prices]: in your currency, for the period; what is left out is left out of the account."""

    currency: Annotated[str, Field(min_length=1, max_length=12)]
    """What you count in."""
    bin_per_tonne: Price | None = None
    """What a tonne in the bin costs you, if you pay by weight."""
    collections_avoided: Annotated[float, Field(ge=0, le=1e6)] | None = None
    """Collections of the bin that you really could cancel."""
    per_collection: Price | None = None
    """What one collection costs."""
    bran_per_kg: Price | None = None
    """What a kg of inoculated bran costs you."""
    vessels: Price | None = None
    """What the vessels cost together."""
    vessels_last_years: Annotated[float, Field(gt=0, le=100)] | None = None
    """Years that they last."""
    hours: Annotated[float, Field(ge=0, le=1e6)] | None = None
    """Paid hours spent on it."""
    wage_per_hour: Price | None = None
    """What an hour costs."""
    water_per_m3: Price | None = None
    """What a cubic metre of water costs."""
    nitrogen_per_kg: Price | None = None
    """What a kg of fertiliser nitrogen costs, only if you would have bought it."""
    driving_per_km: Price | None = None
    """What a kilometre of your own driving costs."""


class Local(_Section):
    """A person's own file on bin, ways and prices."""

    bin: Landfill = Landfill()
    prices: Prices | None = None
    driven_km: Annotated[float, Field(ge=0, le=1e6)] = 0.0
    """Kilometres driven for the scraps' sake in the period, by all places together."""

    def to_bin(self) -> Bin:
        """Where the bin goes, as the science takes it."""
        return Bin(self.bin.to, self.bin.landfill, self.bin.wells, self.bin.haul_km)


@dataclass(frozen=True)
class Bought:
    """What the account needs of the reckoning, arrays (members,)."""

    diverted_kg: Array
    bran_kg: Array
    water_l: Array
    usable_nitrogen_kg: Array
    driven_km: float
    years: float


def account(prices: Prices, bought: Bought) -> contract.Money:
    """Line by line; a line without its price is not there."""
    lines = [
        (name, np.asarray(values, dtype=np.float64)) for name, values in _lines(prices, bought)
    ]
    members = len(bought.diverted_kg)
    balance = np.sum([np.broadcast_to(v, members) for _, v in lines], axis=0)
    if not lines:
        balance = np.zeros(members)
    unit = prices.currency
    return contract.Money(
        currency=unit,
        lines=tuple(
            contract.MoneyLine(name=n, amount=range_of(np.broadcast_to(v, members), unit))
            for n, v in lines
        ),
        balance=range_of(balance, unit),
    )


def _lines(x: Prices, b: Bought) -> Iterator[tuple[str, Array | float]]:
    if x.bin_per_tonne is not None:
        yield "bin, by weight", b.diverted_kg / 1000 * x.bin_per_tonne
    if x.collections_avoided is not None and x.per_collection is not None:
        yield "collections not needed", x.collections_avoided * x.per_collection
    if x.nitrogen_per_kg is not None:
        yield "fertiliser not bought", b.usable_nitrogen_kg * x.nitrogen_per_kg
    if x.bran_per_kg is not None:
        yield "inoculated bran", -b.bran_kg * x.bran_per_kg
    if x.vessels is not None and x.vessels_last_years is not None:
        yield "vessels, their share of the period", -x.vessels * b.years / x.vessels_last_years
    if x.hours is not None and x.wage_per_hour is not None:
        yield "paid hours", -x.hours * x.wage_per_hour
    if x.water_per_m3 is not None:
        yield "rinsing water", -b.water_l / _LITRES * x.water_per_m3
    if x.driving_per_km is not None and b.driven_km:
        yield "driving", -b.driven_km * x.driving_per_km
