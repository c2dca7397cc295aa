"""One closed layer through time: when it is sour, and its chemistry in detail."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import Parameters
from sourloam.scraps.batch import Batch
from sourloam.vessel.course import Settings, is_late, is_poor, member_series
from sourloam.vessel.feeding import Pieces
from sourloam.vessel.kernel import layer_marks, run_layers
from sourloam.vessel.layout import LAYER, STATE
from sourloam.vessel.prepare import Kernel, prepare, weighed_kg

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Souring:
    """One closed layer: day it is sour and steady (inf if never), pH at the end of each day."""

    ready_day: Array
    ph: Array
    failed: NDArray[np.bool_]


@dataclass(frozen=True)
class Series:
    """One closed layer in detail; arrays (members, records), the start included."""

    hours: Array
    ph: Array
    lactic_g_per_kg_dry: Array
    acetic_g_per_kg_dry: Array
    butyric_g_per_kg_dry: Array
    ethanol_g_per_kg_dry: Array
    ammonium_share: Array
    sugar_g_per_kg: Array
    log10_lactic_cfu_per_g: Array
    log10_entero_cfu_per_g: Array
    lactic_undissociated_mmol_per_l: Array


def newest_layer_finish(
    batch: Batch, temperature_c: Array, parameters: Parameters, pieces: Pieces = "chopped"
) -> Souring:
    """When one closed layer, laid on day 0, is sour and steady; batch (members, columns)."""
    state, ph, kernel = _layer(batch, temperature_c, parameters, pieces, 1)
    daily = ph[:, 1:]
    ready = _ready_days(daily, kernel.make_up[:, 0, LAYER.index("critical_ph")], parameters)
    late = is_late(ready, 0.0, daily.shape[1], parameters)
    weigh = weighed_kg(kernel.masses, kernel.protein_kg)
    marks = layer_marks(np.ascontiguousarray(state[:, -1]), kernel.make_up[:, 0], weigh)
    return Souring(ready, daily, late | is_poor(marks[:, 0], marks[:, 1], parameters))


def souring_series(
    batch: Batch,
    temperature_c: Array,
    parameters: Parameters,
    pieces: Pieces = "chopped",
    records_per_day: int = 1,
) -> Series:
    """One closed layer in detail; batch (members, columns), temperature (days,) or (members,
    days)."""
    state, ph, kernel = _layer(batch, temperature_c, parameters, pieces, records_per_day)
    return _series(state, ph, batch, kernel, records_per_day)


def _layer(
    batch: Batch, temperature_c: Array, parameters: Parameters, pieces: Pieces, per_day: int
) -> tuple[Array, Array, Kernel]:
    if batch.amounts.ndim != 2:
        raise ValueError("batch must have the axes members, columns")
    stacked = Batch(batch.amounts[:, None, :])
    temperature = member_series(temperature_c, stacked.amounts.shape[0])
    kernel = prepare(stacked, parameters, pieces, None)
    state, ph = run_layers(
        kernel.start[:, 0],
        kernel.make_up[:, 0],
        temperature,
        np.zeros_like(temperature),
        kernel.par,
        Settings().tolerance_ph,
        per_day,
    )
    return state, ph, kernel


def _ready_days(ph: Array, critical: Array, parameters: Parameters) -> Array:
    """First day by whose end a layer is sour and steady after the minimum rest."""
    span = int(parameters["ferment.steady_days"][0])
    first = int(np.ceil(parameters["ferment.minimum_rest"][0]))
    days = np.arange(1, ph.shape[1] + 1)
    steady = np.zeros(ph.shape, dtype=bool)
    change = np.abs(ph[:, span:] - ph[:, :-span]) if ph.shape[1] > span else ph[:, :0]
    steady[:, span:] = change < parameters["ferment.steady_change"][:, None]
    good = steady & (ph <= critical[:, None]) & (days >= first)
    return np.where(good.any(axis=1), days[good.argmax(axis=1)], np.inf)


def _series(state: Array, ph: Array, batch: Batch, kernel: Kernel, per_day: int) -> Series:
    def column(name: str) -> Array:
        return np.asarray(state[..., STATE.index(name)])

    masses, dry = kernel.masses, batch.dry_kg[:, None]
    fresh_g = 1000 * batch.fresh_kg[:, None]
    h = 10.0**-ph
    k_lactic = kernel.make_up[:, 0, LAYER.index("k_lactic")][:, None]
    ammonia = column("ammonia")
    nitrogen = ammonia + column("organic_n")
    with np.errstate(divide="ignore", invalid="ignore"):
        ammonium = np.nan_to_num(ammonia / nitrogen)
        lactic_cfu = np.log10((column("lactic_cfu") + column("early_cfu")) / fresh_g)
        entero_cfu = np.log10(column("entero_cfu") / fresh_g)
    return Series(
        hours=np.arange(ph.shape[1]) * 24 / per_day,
        ph=ph,
        lactic_g_per_kg_dry=1000 * column("lactic") * masses.lactic / dry,
        acetic_g_per_kg_dry=1000 * column("acetic") * masses.acetic / dry,
        butyric_g_per_kg_dry=1000 * column("butyric") * masses.butyric / dry,
        ethanol_g_per_kg_dry=1000 * column("ethanol") * masses.ethanol / dry,
        ammonium_share=ammonium,
        sugar_g_per_kg=1e6 * (column("sugar") + column("locked")) * masses.hexose / fresh_g,
        log10_lactic_cfu_per_g=lactic_cfu,
        log10_entero_cfu_per_g=entero_cfu,
        lactic_undissociated_mmol_per_l=1000
        * column("lactic")
        / column("water")
        * h
        / (h + k_lactic),
    )
