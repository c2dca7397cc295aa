"""Vessels and single layers through time: the public functions of the room."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import Parameters
from sourloam.scraps.batch import Batch
from sourloam.vessel.feeding import Feeding, Pieces
from sourloam.vessel.ferment import Contents, Drained, Ferment, Ledger
from sourloam.vessel.kernel import run_layers, run_vessels
from sourloam.vessel.kinds import Vessel
from sourloam.vessel.layout import LAYER, STATE
from sourloam.vessel.packing import level_at
from sourloam.vessel.prepare import (
    Kernel,
    drain_potential_kg,
    prepare,
    solute_kg,
    weighed_kg,
)

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Settings:
    """How a run is made: openings, and the pH error allowed in a step."""

    openings_per_layer: float = 1.0
    openings_per_rest_day: float = 0.0
    tolerance_ph: float = 0.01
    keep_layers: bool = False


@dataclass(frozen=True)
class Course:
    """A vessel through time; arrays (members,) or (members, days). Day 0 begins the run; daily
    values stand for the end of a day. Days that never come are infinite."""

    full_day: Array
    last_fed_day: Array
    fed_kg: Array
    layers_taken: Array
    finish_day: Array
    failed: NDArray[np.bool_]
    level_m: Array
    level_share: Array
    contents_kg: Array
    liquid_m3: Array
    ph_newest: Array
    top_oxygen_mmol_per_kg: Array
    spoilt_top: NDArray[np.bool_]
    drained: Drained
    ferment: Ferment
    ledger: Ledger
    co2_kg: Array
    oxygen_kg: Array
    ph_layers: Array  # (members, layers, days), empty unless asked for


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


def run(
    vessel: Vessel,
    feeding: Feeding,
    temperature_c: Array,
    parameters: Parameters,
    settings: Settings | None = None,
) -> Course:
    """Fill a vessel layer by layer and let it rest to the end of the temperature series.

    ``temperature_c``: (days,) or (members, days), daily mean in the vessel. Layers are taken
    until the contents reach the usable volume; what comes later is refused. ValueError where
    shapes do not agree or a temperature is not finite.
    """
    how = settings or Settings()
    members = feeding.members
    temperature = _temperature(temperature_c, members)
    drains = drain_potential_kg(feeding.day, feeding.batch, parameters)
    kernel = prepare(feeding.batch, parameters, feeding.pieces, drains)
    state, ph, daily, numbers = run_vessels(
        feeding.day,
        kernel.start,
        kernel.make_up,
        temperature,
        kernel.par,
        np.tile(_body(vessel, how), (members, 1)),
        solute_kg(kernel.masses),
        kernel.protein_kg,
        weighed_kg(kernel.masses, kernel.protein_kg),
        how.tolerance_ph,
        how.keep_layers,
    )
    contents = _contents(feeding.batch, kernel, parameters, state, numbers[:, 3])
    return _course(vessel, contents, daily, numbers, ph, temperature.shape[1])


def newest_layer_finish(
    batch: Batch, temperature_c: Array, parameters: Parameters, pieces: Pieces = "chopped"
) -> Souring:
    """When one closed layer, laid on day 0, is sour and steady; batch (members, columns)."""
    state, ph, kernel = _layer(batch, temperature_c, parameters, pieces, 1)
    daily = ph[:, 1:]
    ready = _ready_days(daily, kernel.make_up[:, 0, LAYER.index("critical_ph")], parameters)
    late = ready > parameters["ferment.failure_after"]
    return Souring(ready, daily, late | _poor(state[:, -1], parameters))


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


def _temperature(temperature_c: Array, members: int) -> Array:
    series = np.atleast_2d(np.asarray(temperature_c, dtype=np.float64))
    if series.shape[0] not in (1, members) or series.shape[1] == 0:
        raise ValueError(f"temperature of shape {series.shape} for {members} members")
    if not np.all(np.isfinite(series)):
        raise ValueError("a temperature is not a finite number")
    return np.ascontiguousarray(np.broadcast_to(series, (members, series.shape[1])))


def _body(vessel: Vessel, how: Settings) -> Array:
    leak = -1.0 if vessel.lid_leak_m3_per_day is None else vessel.lid_leak_m3_per_day
    gas = vessel.brim_m3 - vessel.sump_m3 - vessel.usable_m3
    return np.array(
        [
            vessel.usable_m3,
            gas,
            vessel.section_m2,
            vessel.plate_mass_kg,
            vessel.base_diameter_m,
            vessel.top_diameter_m,
            vessel.height_m,
            vessel.sump_height_m,
            leak,
            how.openings_per_layer,
            how.openings_per_rest_day,
        ]
    )


def _contents(
    batch: Batch, kernel: Kernel, parameters: Parameters, state: Array, count: Array
) -> Contents:
    """Contents of the layers that were taken, in their order; the rest is blanked."""
    order = np.argsort(batch.fresh_kg <= 0, axis=1, kind="stable")
    taken = np.arange(state.shape[1])[None, :] < count[:, None]

    def pick(array: Array) -> Array:
        return np.take_along_axis(array, order[..., None], axis=1) * taken[..., None]

    inside = Kernel(
        pick(kernel.start), pick(kernel.make_up), kernel.par, kernel.masses, kernel.protein_kg
    )
    return Contents(state * taken[..., None], Batch(pick(batch.amounts)), inside, parameters)


def _course(
    vessel: Vessel, contents: Contents, daily: Array, numbers: Array, ph: Array, days: int
) -> Course:
    parameters = contents.parameters
    finish, last_fed = numbers[:, 4], numbers[:, 1]
    limit = parameters["ferment.failure_after"]
    late = np.where(np.isfinite(finish), finish, days) - last_fed > limit
    level = np.vectorize(level_at)(
        np.nan_to_num(daily[:, 1]), vessel.base_diameter_m, vessel.top_diameter_m,
        vessel.height_m, vessel.sump_height_m,
    )  # fmt: skip
    ferment = contents.ferment()
    return Course(
        full_day=numbers[:, 0],
        last_fed_day=last_fed,
        fed_kg=numbers[:, 2],
        layers_taken=numbers[:, 3],
        finish_day=finish,
        failed=late | _poor_ferment(ferment, parameters),
        level_m=level,
        level_share=np.nan_to_num(daily[:, 1]) / vessel.usable_m3,
        contents_kg=np.nan_to_num(daily[:, 3]),
        liquid_m3=np.nan_to_num(daily[:, 4]) / parameters["liquid.density"][:, None],
        ph_newest=daily[:, 0],
        top_oxygen_mmol_per_kg=numbers[:, 5],
        spoilt_top=numbers[:, 5] > parameters["vessel.air_spoils"],
        drained=contents.drained(),
        ferment=ferment,
        ledger=contents.ledger(),
        co2_kg=contents.kg_gas("carbon_dioxide"),
        oxygen_kg=contents.kg_gas("oxygen"),
        ph_layers=ph,
    )


def _poor_ferment(ferment: Ferment, parameters: Parameters) -> NDArray[np.bool_]:
    """The butyric or putrid route by the marks of a poor silage."""
    with np.errstate(divide="ignore", invalid="ignore"):
        butyric = np.nan_to_num(ferment.butyric_kg / ferment.dry_kg)
        ammonia = np.nan_to_num(ferment.ammonium_nitrogen_kg / ferment.nitrogen_kg)
    return np.asarray(
        (butyric > parameters["ferment.butyric_poor"])
        | (ammonia > parameters["ferment.ammonia_poor"])
    )


def _layer(
    batch: Batch, temperature_c: Array, parameters: Parameters, pieces: Pieces, per_day: int
) -> tuple[Array, Array, Kernel]:
    if batch.amounts.ndim != 2:
        raise ValueError("batch must have the axes members, columns")
    stacked = Batch(batch.amounts[:, None, :])
    temperature = _temperature(temperature_c, stacked.amounts.shape[0])
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


def _poor(state: Array, parameters: Parameters) -> NDArray[np.bool_]:
    """Ammonium share of N above the mark of a poor ferment, for single layers."""
    ammonia = state[:, STATE.index("ammonia")]
    total = ammonia + state[:, STATE.index("organic_n")]
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.nan_to_num(ammonia / total)
    return np.asarray(share > parameters["ferment.ammonia_poor"])


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
        lactic_cfu = np.log10(column("lactic_cfu") / fresh_g)
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
