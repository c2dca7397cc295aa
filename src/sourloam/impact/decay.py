"""First-order decay in a landfill: IPCC 2006, volume 5, chapter 3.

========  ===========================================  =====  ========
symbol    meaning                                      unit   equation
========  ===========================================  =====  ========
DDOCm     carbon that will decay without air            kg     3.2
L0        methane that it can give                      kg     3.3
DDOCma    carbon that has not decayed yet               kg     3.4
k         rate                                          1/yr
========  ===========================================  =====  ========

Decay starts on 1 January after the year of deposit (month 13: the guidelines' delay of six months
on the average).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Landfill:
    """A landfill and the carbon that is put there in one year; arrays (members,).

    ``carbon_kg``: degradable organic carbon (waste x DOC); ``decays`` DOCf, ``airless`` MCF,
    ``methane_share`` F by volume, ``rate`` k; ``caught`` share of the methane made that is caught
    and ``oxidised`` share of the rest that the cover oxidises. ``methane_per_carbon`` is 16/12.
    """

    carbon_kg: Array
    decays: Array
    airless: Array
    methane_share: Array
    rate: Array
    caught: Array
    oxidised: Array
    methane_per_carbon: Array

    @property
    def decaying_kg(self) -> Array:
        """DDOCm, equation 3.2, kg, ``(members,)``."""
        return np.asarray(self.carbon_kg * self.decays * self.airless)

    def decayed_kg(self, years: int) -> Array:
        """Carbon that decays in each year from that of deposit on, (members, years + 1):
        equations 3.4 and 3.5."""
        left = np.exp(-self.rate[:, None] * np.arange(years + 1))
        decayed = self.decaying_kg[:, None] * (left[:, :-1] - left[:, 1:])
        return np.concatenate([np.zeros((len(self.rate), 1)), decayed], axis=1)

    def methane_kg(self, years: int) -> Array:
        """Methane that gets out in each year, (members, years + 1): equations 3.6 and 3.1."""
        made = self.decayed_kg(years) * (self.methane_share * self.methane_per_carbon)[:, None]
        return np.asarray(made * ((1 - self.caught) * (1 - self.oxidised))[:, None])
