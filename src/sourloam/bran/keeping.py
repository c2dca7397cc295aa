"""Living cells in store: how many are left when, how long a lot is good, how much to give.

``log10 N(t) = log10 N(0) - L * weeks`` with ``L = loss * warmer ** ((T - 25) / 10) *
10 ** (wetter * (activity - 0.3))``; the loss falls no further below an activity of 0.2.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sourloam.bran.sorption import water_activity
from sourloam.evidence import Parameters

Floats = NDArray[np.float64]
EVIDENCE: tuple[str, ...] = (
    "bran_keeping.sorption",
    "bran_keeping.store",
    "bran_keeping.need",
    "bran_keeping.dose_least",
    "bran_keeping.dose_most",
    "bran.shelf",
)
_WEEK = 7.0
_FAR = 100.0  # method: a dose beyond any, so that powers stay finite
MONTH_DAYS = 365.25 / 12


def weekly_loss(temperature_c: ArrayLike, activity: ArrayLike, parameters: Parameters) -> Floats:
    """Cells lost in a week, log10, dry; temperature and activity broadcast against members."""
    store = {n: parameters[f"bran_keeping.store.{n}"] for n in _STORE}
    wet = np.maximum(np.asarray(activity), store["least_activity"]) - store["at_activity"]
    tens = (np.asarray(temperature_c) - store["at"]) / 10
    return np.asarray(store["loss"] * store["warmer"] ** tens * 10.0 ** (store["wetter"] * wet))


def weekly_loss_moist(temperature_c: ArrayLike, parameters: Parameters) -> Floats:
    """Cells lost in a week, log10, ``(members,)``, in bran kept moist, sour and airless."""
    tens = (np.asarray(temperature_c) - parameters["bran_keeping.store.at"]) / 10
    rate = parameters["bran_keeping.store.moist"]
    return np.asarray(rate * parameters["bran_keeping.store.warmer"] ** tens)


def strength_after(
    start_log10: Floats,
    moisture: Floats,
    sorption: Floats,
    temperature_c: ArrayLike,
    parameters: Parameters,
    moist: bool = False,
) -> Floats:
    """Living cells, log10 cfu/g, at the end of each day of ``temperature_c`` (days,).

    The start is the first column: result (members, days + 1). One cell a gram (0) is the least
    that is told.
    """
    days = np.atleast_1d(np.asarray(temperature_c, dtype=np.float64))
    warm, which = np.unique(days, return_inverse=True)
    by_warmth = [_loss_at(t, moisture, sorption, parameters, moist) for t in warm]
    lost = np.cumsum(np.stack(by_warmth, axis=1)[:, which] / _WEEK, axis=1)
    falling = np.concatenate([start_log10[:, None], start_log10[:, None] - lost], axis=1)
    return np.asarray(np.maximum(falling, 0.0))


def least_strength(parameters: Parameters) -> Floats:
    """Living cells, log10 cfu/g, below which even the largest dose is too little, (members,)."""
    most = parameters["bran_keeping.dose_most"]
    return np.asarray(parameters["bran_keeping.need"] - np.log10(most))


def dose_kg_per_kg(log10_cells_per_g: ArrayLike, parameters: Parameters) -> Floats:
    """Bran to scraps by mass that brings the cells needed, never below the least dose.

    Infinite where the largest practical dose would be too little: use another lot. Members are
    the first axis.
    """
    cells = np.asarray(log10_cells_per_g, dtype=np.float64)
    along = (slice(None),) + (None,) * (cells.ndim - 1)
    need, least, most = (
        parameters[f"bran_keeping.{n}"][along] for n in ("need", "dose_least", "dose_most")
    )
    dose = np.maximum(10.0 ** np.minimum(need - cells, _FAR), least)
    return np.where(dose > most, np.inf, dose)


def good_days(strength: Floats, parameters: Parameters) -> Floats:
    """Days until a lot is too weak, (members,); infinite beyond the days of ``strength``
    (members, days + 1), 0 where it is too weak from the start."""
    weak = strength < least_strength(parameters)[:, None]
    return np.where(weak.any(axis=1), weak.argmax(axis=1), np.inf)


def longest_days(has_rice_bran: bool, parameters: Parameters) -> float:
    """Days after which a lot is not used whatever its count: old age, or rancid fat."""
    months = float(parameters["bran.shelf.longest"][0])
    if has_rice_bran:
        months = min(months, float(parameters["bran_keeping.store.rice_months"][0]))
    return months * MONTH_DAYS


def _loss_at(
    warm: float, moisture: Floats, sorption: Floats, parameters: Parameters, moist: bool
) -> Floats:
    if moist:
        return weekly_loss_moist(warm, parameters)
    return weekly_loss(warm, water_activity(moisture, warm, sorption, parameters), parameters)


_STORE = ("loss", "warmer", "wetter", "at", "at_activity", "least_activity")
