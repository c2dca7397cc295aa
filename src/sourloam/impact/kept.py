"""The scraps kept from the bin in a period, and what the vessels made of them."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Shares:
    """What becomes of what goes into a vessel, shares of scraps and bran together, (members,).

    ``*_gas`` and ``*_liquid`` of the carbon, ``*_liquid`` of nitrogen, phosphorus and potassium,
    ``liquid`` and ``ferment`` of the fresh mass; the rest of each stays in the ferment.
    """

    carbon_gas: Array
    carbon_liquid: Array
    nitrogen_liquid: Array
    phosphorus_liquid: Array
    potassium_liquid: Array
    liquid: Array
    ferment: Array


@dataclass(frozen=True)
class Kept:
    """Scraps of one place in one period, kg, arrays (members,).

    ``scraps_kg`` is all that went into vessels; ``binned`` the share of it whose ferment went to
    the bin after all, ``liquid_used`` the share of the liquid that reached plants, ``washed`` how
    often a vessel was washed, ``driven_km`` what was driven for the scraps' sake.
    """

    scraps_kg: Array
    dry_kg: Array
    carbon_kg: Array
    nitrogen_kg: Array
    phosphorus_kg: Array
    potassium_kg: Array
    bran_kg: Array
    bran_carbon_kg: Array
    bran_nitrogen_kg: Array
    shares: Shares
    binned: Array
    liquid_used: Array
    washed: Array
    driven_km: Array

    @property
    def members(self) -> int:
        """Number of members."""
        return int(self.scraps_kg.size)

    def middle(self, members: int) -> Kept:
        """So many members alike, each figure the median of these."""
        plain = {f.name: _middle(getattr(self, f.name), members) for f in fields(self)
                 if f.name != "shares"}  # fmt: skip
        shares = {f.name: _middle(getattr(self.shares, f.name), members) for f in fields(Shares)}
        return replace(self, **plain, shares=Shares(**shares))

    def times(self, amount: Array, carbon: Array, nitrogen: Array) -> Kept:
        """The same, more or less of it: ``amount`` multiplies all masses and the washings,
        ``carbon`` and ``nitrogen`` besides what the scraps hold of them; each factor is
        ``(members,)``."""
        return replace(
            self,
            scraps_kg=self.scraps_kg * amount,
            dry_kg=self.dry_kg * amount,
            carbon_kg=self.carbon_kg * amount * carbon,
            nitrogen_kg=self.nitrogen_kg * amount * nitrogen,
            phosphorus_kg=self.phosphorus_kg * amount,
            potassium_kg=self.potassium_kg * amount,
            bran_kg=self.bran_kg * amount,
            bran_carbon_kg=self.bran_carbon_kg * amount,
            bran_nitrogen_kg=self.bran_nitrogen_kg * amount,
            washed=self.washed * amount,
        )


def _middle(values: Array, members: int) -> Array:
    return np.full(members, float(np.median(values)))
