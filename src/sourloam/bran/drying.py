"""Drying the soured bran in a thin layer: how dry it gets, how long it takes, what survives.

Water leaves by ``flow * (activity * saturated - vapour) / (1 + cooling)``: vapour carried off by
moving air, slowed by the cooling that evaporation brings (heat and vapour move alike). The
activity falls with moisture along the isotherm, so that drying slows by itself and ends where
the bran is in balance with the air. A thick layer, turned, dries slower than a thin one.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sourloam.bran.sorption import balance_moisture, water_activity
from sourloam.bran.water import dry_basis, water_removed_kg, wet_basis
from sourloam.evidence import Parameters

Floats = NDArray[np.float64]
METHODS = ("air", "fan", "sun", "oven", "none")
EVIDENCE: tuple[str, ...] = (
    "bran_keeping.sorption",
    "bran_keeping.air",
    "bran_keeping.flow",
    "bran_keeping.sun",
    "bran_keeping.oven",
    "bran_keeping.layer",
    "bran_keeping.layer_half",
    "bran_keeping.layer_most",
    "bran_keeping.energy",
    "bran_keeping.drying_loss",
    "bran_keeping.heat",
    "bran_keeping.activity",
    "bran_keeping.grows",
    "bran_keeping.open_days",
)
_STEPS = 200  # method: steps of moisture over which the time is summed
_SECONDS = 86400.0
_DAMPEST = 0.98  # method: within the range of the isotherm; damper air dries nothing anyway


@dataclass(frozen=True)
class Drying:
    """How (out of METHODS) and where: air of ``air_c`` and relative humidity ``humidity`` (0 to 1).

    ``oven_c`` is the warmth inside a vented cabinet, ``layer_kg_m2`` wet bran on the trays
    (None: the usual).
    """

    method: str
    air_c: float
    humidity: float
    oven_c: float = 35.0  # method: the warmest that is gentle
    layer_kg_m2: float | None = None

    def __post_init__(self) -> None:
        if self.method not in METHODS:
            raise ValueError(f"{self.method}: no way of drying; choose from {', '.join(METHODS)}")
        if not 0 < self.humidity < 1:
            raise ValueError(f"humidity {self.humidity:g}: give more than 0 and less than 100 %")
        if self.layer_kg_m2 is not None and not self.layer_kg_m2 > 0:
            raise ValueError(f"layer of {self.layer_kg_m2:g} kg/m2: must be above 0")


@dataclass(frozen=True)
class Dried:
    """Result, per kg of wet bran where it is an amount; arrays (members,).

    ``end`` is the moisture dried to, ``days`` infinite where the air is too damp for it;
    ``damp_days`` the part wetter than most moulds need; ``loss_log10`` the living cells lost.
    """

    product_c: Floats
    end: Floats
    days: Floats
    damp_days: Floats
    water_kg: Floats
    energy_kwh: Floats
    loss_log10: Floats
    trays_m2: Floats


def goal_moisture(store_c: float, sorption: Floats, parameters: Parameters) -> Floats:
    """Moisture (wet basis), ``(members,)``, at the water activity that is aimed at, in a store of
    this warmth."""
    return balance_moisture(parameters["bran_keeping.activity.goal"], store_c, sorption, parameters)


def balance(how: Drying, sorption: Floats, parameters: Parameters) -> Floats:
    """Moisture (wet basis), ``(members,)``, at which this air stops drying."""
    warm_c, humid = _conditions(how, parameters)
    return balance_moisture(humid, warm_c, sorption, parameters)


def dried(
    how: Drying, moisture: Floats, end: Floats, sorption: Floats, parameters: Parameters
) -> Dried:
    """Dry a layer from ``moisture`` to ``end`` (both wet basis, (members,)).

    ValueError for a warmth that kills the cells, or a layer too thick to dry before it moulds.
    """
    air_c, humid = _conditions(how, parameters)
    layer = _layer(how, parameters)
    ratio = np.linspace(dry_basis(moisture), dry_basis(end), _STEPS + 1)
    rate = _rate_per_s(how, ratio, layer, moisture, air_c, humid, sorption, parameters)
    step = np.maximum(ratio[0] - ratio[-1], 0.0) / _STEPS
    each = np.full(rate.shape, np.inf)
    np.divide(step, rate, out=each, where=rate > 0)
    each = np.where(step > 0, each, 0.0) / _SECONDS / _day_share(how, parameters)
    between = (each[1:] + each[:-1]) / 2
    mouldy = _activity(ratio[1:], air_c, sorption, parameters) > float(
        parameters["bran_keeping.grows.moulds"][0]
    )
    water = water_removed_kg(1.0, moisture, end)
    return Dried(
        product_c=air_c,
        end=end,
        days=between.sum(axis=0),
        damp_days=np.where(mouldy, between, 0.0).sum(axis=0),
        water_kg=water,
        energy_kwh=water * parameters["bran_keeping.energy"] * (how.method == "oven"),
        loss_log10=drying_loss(air_c, parameters),
        trays_m2=np.ones(parameters.members) / layer,
    )


def saturated_kg_m3(temperature_c: Floats, parameters: Parameters) -> Floats:
    """Vapour in saturated air, kg/m3, ``(members,)`` (Magnus equation and the gas law)."""
    start, slope, offset, gas, zero = (
        parameters[f"bran_keeping.air.{n}"]
        for n in ("saturation", "slope", "offset", "vapour", "freezing")
    )
    pressure = start * np.exp(slope * temperature_c / (temperature_c + offset))
    return np.asarray(pressure / gas / (temperature_c + zero))


def drying_loss(product_c: Floats, parameters: Parameters) -> Floats:
    """Living cells lost, log10, ``(members,)``: more the warmer the bran; ValueError where it
    kills most."""
    gentle, warm, most = (
        float(parameters[f"bran_keeping.heat.{n}"][0]) for n in ("gentle", "warm", "most")
    )
    if np.median(product_c) > most:
        raise ValueError(
            f"drying at {np.median(product_c):.0f} °C kills the culture: give {most:g} °C at most, "
            f"{gentle:g} °C if you can"
        )
    more = np.where(product_c > gentle, parameters["bran_keeping.heat.warm_loss"], 0.0)
    more = np.where(product_c > warm, parameters["bran_keeping.heat.hot_loss"], more)
    return np.asarray(parameters["bran_keeping.drying_loss"] + more)


def _conditions(how: Drying, parameters: Parameters) -> tuple[Floats, Floats]:
    """Warmth of the bran and relative humidity of air brought to it."""
    one = np.ones(parameters.members)
    outside = how.air_c * one
    vapour = how.humidity * saturated_kg_m3(outside, parameters)
    if how.method == "sun":
        inside = outside + parameters["bran_keeping.sun.warmer"]
    elif how.method == "oven":
        inside = how.oven_c * one
        vapour = vapour * parameters["bran_keeping.oven.moister"]
    else:
        inside = outside
    humid = vapour / saturated_kg_m3(inside, parameters)
    return inside, np.minimum(humid, _DAMPEST)


def _layer(how: Drying, parameters: Parameters) -> float:
    most = float(parameters["bran_keeping.layer_most"][0])
    layer = how.layer_kg_m2 or float(parameters["bran_keeping.layer"][0])
    if layer > most:
        raise ValueError(
            f"layer of {layer:g} kg/m2 sours on and moulds before it dries: spread at most "
            f"{most:g} kg/m2"
        )
    return layer


def _rate_per_s(
    how: Drying,
    ratio: Floats,
    layer: float,
    moisture: Floats,
    air_c: Floats,
    humid: Floats,
    sorption: Floats,
    parameters: Parameters,
) -> Floats:
    """Fall of water to dry matter, 1/s, at each of the steps (steps, members)."""
    saturated = saturated_kg_m3(air_c, parameters)
    steeper = saturated_kg_m3(air_c + 1, parameters) - saturated
    latent, heat = (parameters[f"bran_keeping.air.{n}"] for n in ("latent", "heat"))
    flow = parameters[f"bran_keeping.flow.{how.method}"]
    activity = _activity(ratio, air_c, sorption, parameters)
    off = flow * (activity - humid) * saturated / (1 + latent * steeper / heat)
    dry_layer = layer * (1 - moisture)
    return np.asarray(off / (1 + layer / parameters["bran_keeping.layer_half"]) / dry_layer)


def _activity(ratio: Floats, air_c: Floats, sorption: Floats, parameters: Parameters) -> Floats:
    return water_activity(wet_basis(ratio), air_c, sorption, parameters)


def _day_share(how: Drying, parameters: Parameters) -> Floats:
    if how.method == "sun":
        return np.asarray(parameters["bran_keeping.sun.hours"] / 24)
    return np.ones(parameters.members)
