"""Moisture and water activity: the isotherm of wheat, moved to each carrier.

Modified Chung-Pfost (cereal handbook): ``aw = exp(-A / (T + C) * exp(-B * M))`` with M in % of
dry matter and T in °C. No isotherm of bran itself was found, so whole wheat stands for wheat
bran, and other carriers take up a share of wheat's moisture at the same activity. Valid for
about 5 to 50 °C and activities of 0.1 to 0.9.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sourloam.bran.water import dry_basis, wet_basis
from sourloam.evidence import Parameters

Floats = NDArray[np.float64]
EVIDENCE: tuple[str, ...] = ("bran_keeping.sorption",)
_PERCENT = 100.0
_LEAST, _MOST = 0.01, 0.995  # method: activities between which the equation is asked


def wheat_activity(moisture: ArrayLike, temperature_c: ArrayLike, parameters: Parameters) -> Floats:
    """Water activity of whole wheat at a moisture (wet basis), by the equation alone; broadcasts
    against ``(members,)``."""
    a, b, c = (parameters[f"bran_keeping.sorption.{name}"] for name in "abc")
    percent = _PERCENT * dry_basis(moisture)
    return np.asarray(np.exp(-a / (np.asarray(temperature_c) + c) * np.exp(-b * percent)))


def wheat_moisture(activity: ArrayLike, temperature_c: ArrayLike, parameters: Parameters) -> Floats:
    """Moisture (wet basis) of whole wheat in balance with air, by the equation alone; broadcasts
    against ``(members,)``."""
    a, b, c = (parameters[f"bran_keeping.sorption.{name}"] for name in "abc")
    humid = np.clip(np.asarray(activity, dtype=np.float64), _LEAST, _MOST)
    percent = -np.log(-(np.asarray(temperature_c) + c) * np.log(humid) / a) / b
    return wet_basis(np.maximum(percent, 0.0) / _PERCENT)


def water_activity(
    moisture: ArrayLike, temperature_c: ArrayLike, sorption: ArrayLike, parameters: Parameters
) -> Floats:
    """Water activity of a carrier at a moisture (wet basis); broadcasts against ``(members,)``.

    ``sorption`` is its moisture (dry basis) against wheat's; the shift of the evidence, which
    stands for the error of the equation and of a moisture measured at home, is taken in.
    """
    straight = np.asarray(moisture) - parameters["bran_keeping.sorption.shift"]
    ratio = dry_basis(np.clip(straight, 0.0, 1 - _LEAST)) / np.asarray(sorption)
    return wheat_activity(wet_basis(ratio), temperature_c, parameters)


def balance_moisture(
    activity: ArrayLike, temperature_c: ArrayLike, sorption: ArrayLike, parameters: Parameters
) -> Floats:
    """Moisture (wet basis, kg water per kg) that a carrier comes to in air of this relative
    humidity (0 to 1) and temperature, °C; ``sorption`` is its dry-basis moisture over wheat's.
    Broadcasts; the parameters add ``(members,)``."""
    ratio = dry_basis(wheat_moisture(activity, temperature_c, parameters)) * np.asarray(sorption)
    shift = parameters["bran_keeping.sorption.shift"]
    return np.asarray(np.maximum(wet_basis(ratio) + shift, 0.0))
