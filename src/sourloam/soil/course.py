"""One buried batch through time: what becomes of it, and when the ground is fit again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sourloam.evidence import Parameters
from sourloam.soil import kinetics, measures
from sourloam.soil.ground import Soil, Water, make_of
from sourloam.soil.measures import Run
from sourloam.soil.prepare import members_by_days, rates_of, start_of, weather_of
from sourloam.soil.readiness import (
    REASONS,
    Conditions,
    Tolerance,
    fit_day,
    fit_days,
    tolerance,
    tolerance_once_spread,
)
from sourloam.soil.trench import Burial, Tub, place_of

Array = NDArray[np.float64]
EVIDENCE = ("soil", "turnover", "acids")
STEPS_A_DAY = 24  # method: halving the step moves a waiting time by less than a day


@dataclass(frozen=True)
class BuriedCourse:
    """A buried batch, day by day; ``(members,)`` or ``(members, days)``.

    Column 0 is the end of the first day after burial. Waiting days are whole days after burial
    and ``inf`` when the horizon is too short. Amounts are those of the whole batch (all metres
    of the trench together).
    """

    sow_day: Array
    """(members,) first day fit for seed."""
    transplant_tender_day: Array
    """(members,) first day fit for a tender plant with its root ball above the zone."""
    transplant_tolerant_day: Array
    """(members,) the same for a tolerant plant."""
    sow_held_by: NDArray[np.int64]
    """(members,) index in REASONS of the limit without which ``sow_day`` would come first."""
    ready_to_spread_day: Array
    """(members,) first day fit for seed but for salt: a tub's soil may go thinly on beds."""
    share_for_beds: Array
    """(members,) largest share of this soil in a bed, at the end of the horizon, that keeps the
    bed's salt below what sensitive crops mind; 1 where it needs no thinning."""
    acids_mmol_per_kg: Array
    """(members, days) acids in the mixing zone, butyric weighted, per kg dry soil."""
    ph: Array
    """(members, days) pH of the zone."""
    oxygen_share: Array
    """(members, days) oxygen in the zone's air as a share of that above ground, 0 to 1."""
    anaerobic_days: Array
    """(members,) days during which demand for oxygen passed the supply."""
    ammonia_mg_n_per_kg: Array
    """(members, days) free ammonia in the zone, mg N per kg dry soil."""
    ece_zone_ds_m: Array
    """(members, days) salt as EC of the saturated paste, as if none had left the mixing zone."""
    ece_wetted_ds_m: Array
    """(members, days) the same over the soil that the salt spreads through."""
    ammonium_n_kg: Array
    """(members, days) ammonium nitrogen."""
    nitrate_n_kg: Array
    """(members, days) nitrate nitrogen, the soil's own in the zone included."""
    leached_n_kg: Array
    """(members, days) nitrate nitrogen washed out since burial."""
    available_n_kg: Array
    """(members, days) net mineral nitrogen given since burial (below 0: locked up)."""
    available_p_kg: Array
    """(members, days) phosphorus that plants can take."""
    available_k_kg: Array
    """(members, days) potassium that plants can take."""
    respired_c_kg: Array
    """(members, days) carbon gone as CO2 since burial."""
    carbon_left_kg: Array
    """(members, days) carbon of the batch still in the soil, acids and all pools."""
    warnings: tuple[tuple[str, float], ...]
    """(code, share of members) pairs, shares of a tenth and more; codes: acid_ph (zone pH falls
    low), airless (too long without oxygen), ammonia, salt (sensitive crops would suffer at the
    end of the horizon), locked_up (soil nitrogen is drawn on), beyond (never fit for seed)."""
    conditions: Conditions
    """What ``fit_for`` compares with a plant's own limits."""
    keeps_days: int

    def fit_for(self, limits: Tolerance) -> tuple[Array, NDArray[np.int64]]:
        """First day fit for a plant of stated limits, and the index in REASONS that held it, each
        ``(members,)``."""
        return fit_days(self.conditions, limits, self.keeps_days)


def bury(
    burial: Burial | Tub,
    soil: Soil,
    temperature_c: ArrayLike,
    parameters: Parameters,
    water: Water | None = None,
) -> BuriedCourse:
    """Carry a buried batch through the days of ``temperature_c``, (days,) or (members, days).

    ``temperature_c`` is the soil's daily mean at the depth of the mixing zone
    (``Burial.middle_m``), or that of the shed for a tub; its length is the horizon. ``water``
    None: soil at field capacity, nothing drains. ``parameters`` hold the ids under EVIDENCE.
    The ferment's arrays hold one member or as many as the parameters. ValueError for shapes that
    do not match, a zone too full, or temperatures that are not numbers.
    """
    return _told(_followed(burial, soil, temperature_c, parameters, water))


def bury_by_salt(
    burial: Burial,
    soils: Sequence[Soil],
    temperature_c: ArrayLike,
    parameters: Parameters,
    water: Water | None = None,
) -> tuple[BuriedCourse, ...]:
    """``bury`` in several soils that differ in their salt alone, at the price of one march.

    ValueError where they differ in anything else.
    """
    if len({replace(soil, ece_ds_m=None) for soil in soils}) != 1:
        raise ValueError("soils: give at least one, and soils that differ in nothing but salt")
    run = _followed(burial, soils[0], temperature_c, parameters, water)
    return tuple(_told(replace(run, make=make_of(soil, parameters))) for soil in soils)


def _followed(
    burial: Burial | Tub,
    soil: Soil,
    temperature_c: ArrayLike,
    parameters: Parameters,
    water: Water | None,
) -> Run:
    """The march of one batch, with all that it was made from."""
    celsius = members_by_days(temperature_c, parameters.members, "temperature_c")
    if not celsius.shape[1] or not np.all(np.isfinite(celsius)):
        raise ValueError("temperature_c: give a number for every day, at least one day")
    make = make_of(soil, parameters)
    place = place_of(burial, make, parameters)
    state = start_of(burial.ferment, place, parameters)
    rates = rates_of(burial.ferment, soil, make, place, parameters)
    weather = weather_of(celsius, water or Water.still(celsius.shape[1]), make, place, parameters)
    out = np.empty((*celsius.shape, len(kinetics.STATE)))
    extra = np.empty((*celsius.shape, len(kinetics.EXTRA)))
    start = state.copy()
    kinetics.march(state, rates, weather, STEPS_A_DAY, out, extra)
    lumps = parameters["soil.lump.radius"]
    if burial.lump_radius_m is not None:
        lumps = np.full(parameters.members, burial.lump_radius_m)
    return Run(
        burial, make, place, rates, start, out, extra, celsius, weather.warm, lumps, parameters
    )


def _told(run: Run) -> BuriedCourse:
    """Put the run into words of the garden."""
    p, keeps = run.p, int(run.p["soil.limit.keeps"][0])
    zone = measures.ece_ds_m(run, run.place.soil_kg)
    wetted = measures.ece_ds_m(run, run.place.wetted_soil_kg)
    ground = Conditions(
        measures.acids_mmol_per_kg(run),
        run.extra[:, :, 1],
        measures.ammonia_mg_n_per_kg(run),
        wetted,
    )
    sow, held = fit_days(ground, tolerance("seed", p), keeps)
    airless = run.extra[:, :, 2].sum(axis=1)
    metres = run.place.metres
    mineral = run["ammonium"] + run["nitrate"] + run["leached_n"]
    phosphorus, potassium = measures.minerals_kg(run)
    given = (mineral - run.first("nitrate")) * metres
    return BuriedCourse(
        sow_day=sow,
        transplant_tender_day=fit_day(ground, tolerance("tender", p), keeps),
        transplant_tolerant_day=fit_day(ground, tolerance("tolerant", p), keeps),
        sow_held_by=held,
        ready_to_spread_day=fit_day(ground, tolerance_once_spread(p), keeps),
        share_for_beds=measures.share_for_beds(run.make.ece, wetted[:, -1], p),
        acids_mmol_per_kg=ground.acids_mmol_per_kg,
        ph=run.ph,
        oxygen_share=ground.oxygen_share,
        anaerobic_days=airless,
        ammonia_mg_n_per_kg=ground.ammonia_mg_n_per_kg,
        ece_zone_ds_m=zone,
        ece_wetted_ds_m=wetted,
        ammonium_n_kg=run["ammonium"] * metres,
        nitrate_n_kg=run["nitrate"] * metres,
        leached_n_kg=run["leached_n"] * metres,
        available_n_kg=given,
        available_p_kg=phosphorus,
        available_k_kg=potassium,
        respired_c_kg=run["co2"] * metres,
        carbon_left_kg=measures.carbon_left_kg(run) * metres,
        warnings=measures.warnings(run, ground, given, sow, airless),
        conditions=ground,
        keeps_days=keeps,
    )


__all__ = ["EVIDENCE", "REASONS", "BuriedCourse", "bury", "bury_by_salt"]
