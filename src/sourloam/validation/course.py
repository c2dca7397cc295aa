"""What the model says of a closed layer, in the quantities that papers report."""

from __future__ import annotations

from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from sourloam import vessel
from sourloam.evidence import Parameters
from sourloam.scraps.batch import Batch
from sourloam.validation.trial import Cut, Series
from sourloam.vessel.chemistry import molar_masses

Array = NDArray[np.float64]
_TITRATION_END = 8.2  # method: the usual end point of titratable acidity
_SHORT_DAYS, _OFTEN, _SELDOM = 4, 24, 4  # method: records a day for short and long trials
_PIECES: dict[Cut, vessel.Pieces] = {
    "chopped": "chopped",
    "minced": "minced",
    "whole": "whole",
    "slurry": "minced",
}


class LayerCourse:
    """A closed layer of one kg through time at a constant temperature.

    Contents per kg dry matter refer to the dry matter at the start.
    """

    def __init__(
        self, batch: Batch, temperature_c: Array, parameters: Parameters, cut: Cut, days: float
    ) -> None:
        """``batch`` (members, columns), ``temperature_c`` (members,), constant."""
        whole_days = int(np.ceil(days))
        per_day = _OFTEN if whole_days <= _SHORT_DAYS else _SELDOM
        temperature = np.repeat(temperature_c[:, None], whole_days, axis=1)
        self._series = vessel.souring_series(batch, temperature, parameters, _PIECES[cut], per_day)
        self._batch, self._masses = batch, molar_masses(parameters)
        self.days = self._series.hours / 24

    def values(self, series: Series, days: Array) -> Array:
        """Model values of a quantity on some days, (members, days); linear between records."""
        recorded = self._recorded(series)
        place = np.interp(days, self.days, np.arange(self.days.size))
        low = np.floor(place).astype(int)
        high = np.minimum(low + 1, self.days.size - 1)
        between = recorded[:, low] + (recorded[:, high] - recorded[:, low]) * (place - low)
        return np.asarray(between)

    def _recorded(self, series: Series) -> Array:
        said = self._series
        direct = {
            "ph": said.ph,
            "ammonia": 100 * said.ammonium_share,
            "lactic_bacteria": said.log10_lactic_cfu_per_g,
            "enterobacteria": np.maximum(said.log10_entero_cfu_per_g, -3.0),  # method: 1 a kg
        }
        if series.quantity in direct:
            return direct[series.quantity]
        if series.quantity == "titratable":
            return self._titratable
        grams = np.asarray(getattr(said, f"{series.quantity}_g_per_kg_dry"))
        return grams if series.unit == "g/kg dry" else grams * self._batch.dry_kg[:, None]

    @cached_property
    def _titratable(self) -> Array:
        """Acid found by titration, g/kg fresh as lactic acid: all acids and the own buffer."""
        said, masses = self._series, self._masses
        acid_mol = (
            said.lactic_g_per_kg_dry / masses.lactic
            + said.acetic_g_per_kg_dry / masses.acetic
            + said.butyric_g_per_kg_dry / masses.butyric
        ) * (self._batch.dry_kg[:, None] / 1000)
        own_mol = self._batch["buffer"] * _TITRATION_END - self._batch["buffer_ph"]
        return np.asarray(1000 * masses.lactic * (acid_mol + own_mol[:, None]))
