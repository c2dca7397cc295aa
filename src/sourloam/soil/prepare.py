"""From a ferment, a soil and a place to the numbers that the march needs."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sourloam.evidence import Parameters
from sourloam.soil.air import oxygen_way, relative_diffusivity
from sourloam.soil.ferment import Buried
from sourloam.soil.ground import Make, Soil, Water
from sourloam.soil.kinetics import STATE, Rates, Weather
from sourloam.soil.trench import Place
from sourloam.soil.turnover import respired_share, warmth

Array = NDArray[np.float64]
_DAYS_PER_YEAR = 365
_DAYS_PER_WEEK = 7
_STATIONS = ("t2", "t7", "t15", "t21", "t27", "t35")
#: Atoms of C, H, O in each acid.
_ACIDS = {"lactic": (3, 6, 3), "acetic": (2, 4, 2), "butyric": (4, 8, 2)}  # method: formulas


def members_by_days(values: ArrayLike, members: int, name: str) -> Array:
    """Values of shape (days,) or (members, days) as (members, days); ValueError otherwise."""
    given = np.asarray(values, dtype=np.float64)
    if given.ndim == 1 or (given.ndim == 2 and given.shape[0] in (1, members)):
        return np.ascontiguousarray(np.broadcast_to(given, (members, given.shape[-1])))
    raise ValueError(f"{name}: shape {given.shape}, expected (days,) or ({members}, days)")


def molar_mass(acid: str, p: Parameters) -> Array:
    """kg per mol of lactic, acetic or butyric acid, ``(members,)``."""
    carbon, hydrogen, oxygen = _ACIDS[acid]
    grams = (
        carbon * p["acids.mass.carbon"]
        + hydrogen * p["acids.mass.hydrogen"]
        + oxygen * p["acids.mass.oxygen"]
    )
    return np.asarray(grams / 1000)


def acid_mol(ferment: Buried, p: Parameters) -> dict[str, Array]:
    """mol of each acid in the whole batch, ``(members,)``."""
    given = {name: getattr(ferment, name + "_kg") for name in _ACIDS}
    return {name: given[name] / molar_mass(name, p) * np.ones(p.members) for name in _ACIDS}


def start_of(ferment: Buried, place: Place, p: Parameters) -> Array:
    """State on the day of burial per m, ``(members, STATE)``.

    Nitrogen outside the ammonium lies in the plant matter in proportion to carbon; the soil's
    own mineral nitrogen in the zone starts as nitrate. ValueError where the acids hold more
    carbon than the ferment, or the ammonium more nitrogen.
    """
    kc = p["acids.mass.carbon"] / 1000
    acids = acid_mol(ferment, p)
    carbon = ferment.carbon_kg - kc * sum(_ACIDS[a][0] * mol for a, mol in acids.items())
    organic_n = (ferment.nitrogen_kg - ferment.ammonium_nitrogen_kg) * np.ones(p.members)
    if np.any(carbon < 0) or np.any(organic_n < 0):
        raise ValueError("ferment: its acids or ammonium hold more carbon or nitrogen than it has")
    share = p["turnover.share.decomposable"]
    sodium = ferment.sodium_kg / (p["acids.mass.sodium"] / 1000)
    potassium = ferment.potassium_kg / (p["acids.mass.potassium"] / 1000)
    amounts = {
        **acids,
        "dpm": share * carbon,
        "rpm": (1 - share) * carbon,
        "dpm_n": share * organic_n,
        "rpm_n": (1 - share) * organic_n,
        "ammonium": ferment.ammonium_nitrogen_kg,
        "salt": sodium + p["soil.potassium.with_mobile_anions"] * potassium,
    }
    state = np.zeros((p.members, len(STATE)))
    for name, amount in amounts.items():
        state[:, STATE.index(name)] = amount / place.metres
    state[:, STATE.index("nitrifiers")] = 1
    state[:, STATE.index("nitrate")] = p["turnover.soil_mineral_n"] * 1e-6 * place.soil_kg
    return state


def rates_of(ferment: Buried, soil: Soil, make: Make, place: Place, p: Parameters) -> Rates:
    """All values of one run, ``(members,)``."""
    ones = np.ones(p.members)
    litres = 1000 * place.soil_kg / make.dug_density * (make.field_capacity + place.extra_water)
    year = {k: p["turnover.rate." + k] / _DAYS_PER_YEAR for k in ("dpm", "rpm", "bio", "hum")}
    return Rates(
        soil_kg=place.soil_kg,
        microbes_kg=make.biomass_share * place.soil_kg,
        uptake=p["soil.acid.uptake"] * p["soil.acid.in_the_ground"],
        half_full=p["soil.acid.half_full"] * 1e-6,
        yield_=p["soil.acid.yield"],
        airless=p["soil.airless.share"],
        acetate_carbon=p["soil.airless.acetate_carbon"],
        grown=p["turnover.flush"] / warmth(p["turnover.flush_base"], p),
        respired=respired_share(make.clay_percent, p),
        to_bio=p["turnover.split.bio"],
        c_to_n=p["turnover.microbe_c_to_n"],
        basal=p["soil.basal_respiration"],
        nitrify=p["turnover.nitrify.soil_factor"],
        nitrify_none=p["turnover.nitrify.ph_none"],
        nitrify_half=p["turnover.nitrify.ph_half"],
        nitrify_at_half=p["turnover.nitrify.at_ph_half"],
        nitrify_full=p["turnover.nitrify.ph_full"],
        nitrifiers_most=p["turnover.nitrify.most"],
        leach=p["soil.leach.share_mixed"] / (make.field_capacity * place.wetted_depth_m),
        soil_ph=soil.ph * ones,
        buffer=make.buffer_mol_per_kg,
        bases=bases_mol(ferment, p) / place.metres,
        pka_lactic=p["acids.pka.lactic"],
        pka_acetic=p["acids.pka.acetic"],
        pka_butyric=p["acids.pka.butyric"],
        pka_ammonium=p["acids.pka.ammonium"],
        bicarbonate=litres * p["soil.carbonate.henry"] * 10 ** -p["soil.carbonate.pk1"],
        co2_rest=p["soil.carbonate.background"],
        co2_rise=p["soil.carbonate.per_oxygen"] * p["soil.air.oxygen"],
        carbon_kg_per_mol=p["acids.mass.carbon"] / 1000,
        nitrogen_kg_per_mol=p["acids.mass.nitrogen"] / 1000,
        **year,
    )


def bases_mol(ferment: Buried, p: Parameters) -> Array:
    """Cations that balance the dissociated acids of the whole batch, mol of charge,
    ``(members,)``."""
    return np.asarray(
        sum(
            mol / (1 + 10 ** (p["acids.pka." + name] - ferment.ph))
            for name, mol in acid_mol(ferment, p).items()
        )
    )


def weather_of(celsius: Array, water: Water, make: Make, place: Place, p: Parameters) -> Weather:
    """Turnover warmth, laboratory warmth, nitrification, oxygen supply, drainage by day.

    Dryness slows the turnover as published for the pools; that it slows acids, the soil's own
    breath and nitrifiers alike is an adaptation. ``celsius`` (members, days); ValueError where
    ``water`` has other days.
    """
    days = celsius.shape[1]
    wet = members_by_days(water.above_capacity, p.members, "above_capacity")
    drained = members_by_days(water.drainage_m, p.members, "drainage_m")
    if wet.shape[1] != days or drained.shape[1] != days:
        raise ValueError(f"water: give {days} days, as many as of temperature")
    moist = _moisture(water, p.members, days)
    warm = warmth(celsius.T, p).T * moist
    warm_lab = warm / warmth(p["soil.acid.base"], p)[:, None]
    held = (make.field_capacity + place.extra_water)[:, None] + wet
    dug = relative_diffusivity(make.dug_porosity[:, None] - held, make.dug_porosity, p)
    settled = relative_diffusivity(make.settled_porosity[:, None] - held, make.settled_porosity, p)
    ways = dug * place.dug_way_m[:, None] + settled * place.settled_way_m[:, None]
    flow = drained if place.drains else np.zeros_like(drained)
    supply = oxygen_way(celsius, p) * ways
    return Weather(
        np.ascontiguousarray(warm),
        np.ascontiguousarray(warm_lab),
        full_nitrification(celsius, p) * moist,
        nitrifier_growth(celsius, p) * moist,
        np.ascontiguousarray(supply),
        np.ascontiguousarray(flow),
    )


def _moisture(water: Water, members: int, days: int) -> Array:
    """What dryness leaves of the turnover, ``(members, days)``."""
    if water.moisture is None:
        return np.ones((members, days))
    return members_by_days(water.moisture, members, "moisture")


def full_nitrification(celsius: Array, p: Parameters) -> Array:
    """kg N per kg soil and day at full pH, from the published row, straight lines between.

    Of the shape of ``celsius`` (members, days). Nothing at 0 °C and below; above the last
    temperature as there.
    """
    at = [0.0] + [float(p["turnover.nitrify.at." + s][0]) for s in _STATIONS]
    rate = [0.0] + [float(p["turnover.nitrify." + s][0]) for s in _STATIONS]
    milligrams = np.interp(celsius, at, rate) / _DAYS_PER_WEEK
    return np.asarray(milligrams * 1e-6 * p["turnover.nitrify.soil_factor"][:, None])


def nitrifier_growth(celsius: Array, p: Parameters) -> Array:
    """1/d with ammonium in plenty, ``(members, days)``: warmth acts on growth as on the rate, 1 at
    the 21 °C of it."""
    warm = full_nitrification(celsius, p) / full_nitrification(
        p["turnover.nitrify.at.t21"][:, None], p
    )
    return np.asarray(p["turnover.nitrify.growth"][:, None] * warm)


def free_ammonia_share(ph: Array, celsius: Array, p: Parameters) -> Array:
    """Share of ammonium nitrogen that is free ammonia, ``(members, days)``."""
    base = p["soil.ammonia.base"][:, None]
    pka = p["acids.pka.ammonium"][:, None] - p["soil.ammonia.pka_slope"][:, None] * (celsius - base)
    return np.asarray(1 / (1 + 10 ** (pka - ph)))
