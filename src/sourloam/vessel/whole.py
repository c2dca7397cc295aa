"""Vessels through time: filling, packing, souring, draining, resting."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import Parameters
from sourloam.scraps.batch import Batch
from sourloam.vessel.course import Course, Settings, is_late, is_poor, joined, member_series
from sourloam.vessel.feeding import Feeding
from sourloam.vessel.ferment import Contents
from sourloam.vessel.kernel import run_vessels
from sourloam.vessel.kinds import Vessel
from sourloam.vessel.prepare import Kernel, drain_potential_kg, prepare, solute_kg, weighed_kg

Array = NDArray[np.float64]
_BLOCK = 500  # method: members held in memory at once


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
    temperature = member_series(temperature_c, feeding.members)
    parts = [
        _run_block(vessel, feeding, temperature, parameters, how, slice(first, first + _BLOCK))
        for first in range(0, feeding.members, _BLOCK)
    ]
    return parts[0] if len(parts) == 1 else joined(parts)


def _run_block(
    vessel: Vessel,
    feeding: Feeding,
    temperature: Array,
    parameters: Parameters,
    how: Settings,
    block: slice,
) -> Course:
    """Some members at a time, so that memory stays bounded however many there are."""
    batch, drawn = Batch(feeding.batch.amounts[block]), parameters.members_in(block)
    drains = drain_potential_kg(feeding.day, batch, drawn) if how.drains else None
    kernel = prepare(batch, drawn, feeding.pieces, drains)
    state, kept, daily, numbers = run_vessels(
        np.ascontiguousarray(feeding.day, dtype=np.float64),
        kernel.start,
        kernel.make_up,
        np.ascontiguousarray(temperature[block]),
        kernel.par,
        _bodies(vessel, how, feeding.members)[block],
        solute_kg(kernel.masses),
        kernel.protein_kg,
        weighed_kg(kernel.masses, kernel.protein_kg),
        how.tolerance_ph,
        how.keep_layers,
    )
    contents = _contents(batch, kernel, drawn, state, numbers[:, 3])
    return _course(vessel, contents, daily, numbers, kept, temperature.shape[1])


def _bodies(vessel: Vessel, how: Settings, members: int) -> Array:
    """Measures of the members' vessels, (members, BODY)."""
    leak = -1.0 if vessel.lid_leak_m3_per_day is None else vessel.lid_leak_m3_per_day
    gas = vessel.brim_m3 - vessel.sump_m3 - vessel.usable_m3
    columns = (
        vessel.usable_m3,
        gas,
        vessel.section_m2,
        vessel.plate_mass_kg if how.plate_kg is None else how.plate_kg,
        vessel.base_diameter_m,
        vessel.top_diameter_m,
        vessel.height_m,
        vessel.sump_height_m,
        leak,
        how.openings_per_layer,
        how.openings_per_rest_day,
        how.rest_days,
    )
    return np.stack([np.broadcast_to(column, members) for column in columns], axis=1)


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
    vessel: Vessel, contents: Contents, daily: Array, numbers: Array, kept: Array, days: int
) -> Course:
    parameters = contents.parameters
    finish, last_fed = numbers[:, 4], numbers[:, 1]
    late = is_late(finish, last_fed, days, parameters)
    putrid = is_poor(daily[:, 5], daily[:, 6], parameters)
    return Course(
        full_day=numbers[:, 0],
        last_fed_day=last_fed,
        fed_kg=numbers[:, 2],
        layers_taken=numbers[:, 3],
        finish_day=finish,
        failed=late | putrid[:, -1],
        putrid=putrid[:, -1],
        putrid_by_day=putrid,
        level_m=np.nan_to_num(daily[:, 2]),
        level_share=np.nan_to_num(daily[:, 1]) / vessel.usable_m3,
        contents_kg=np.nan_to_num(daily[:, 3]),
        liquid_m3=np.nan_to_num(daily[:, 4]) / parameters["liquid.density"][:, None],
        ph_newest=daily[:, 0],
        top_oxygen_mmol_per_kg=numbers[:, 5],
        spoilt_top=numbers[:, 5] > parameters["vessel.air_spoils"],
        drained=contents.drained(),
        ferment=contents.ferment(),
        ledger=contents.ledger(),
        co2_kg=contents.kg_gas("carbon_dioxide"),
        oxygen_kg=contents.kg_gas("oxygen"),
        ph_layers=kept[:, :, 0],
        poor_layers=is_poor(kept[:, :, 1], kept[:, :, 2], parameters),
        oxygen_layers_mmol_per_kg=kept[:, :, 3],
    )
