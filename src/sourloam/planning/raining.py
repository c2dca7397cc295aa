"""Rain on the beds of a site: what falls, what lies as snow, what drains through the soil."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sourloam import climate, soil
from sourloam.evidence import Parameters, book
from sourloam.site import Site
from sourloam.units import show

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class WetGround:
    """``water`` by texture and snow ``lying_m`` (members, days); ``told``: how it was taken."""

    water: Mapping[str, soil.Water]
    lying_m: Floats
    told: str


def wet_ground(
    site: Site,
    textures: tuple[str, ...],
    air_c: Floats,
    parameters: Parameters,
    when: tuple[np.datetime64, int],
) -> WetGround:
    """Rain, snow and drainage for each day of ``air_c`` (members, days).

    ``when``: the first day, and the seed of the rain. Days early in the window start from a guess
    of the soil's moisture.
    """
    first, seed = when
    monthly, told = _monthly_rain(site, parameters)
    dates = first + np.arange(air_c.shape[1])
    rng = np.random.default_rng([seed, 2])
    fallen = climate.daily_rain_m(monthly, dates, rng, parameters)
    wet = climate.on_the_ground(fallen, air_c, parameters)
    means = climate.monthly_means_c(site.to_climate())
    loss = climate.evapotranspiration_m(air_c, means, parameters)
    depth = float(np.median(parameters["ground.trench.depth"]))
    usual_ph = float(np.median(parameters["beds.usual_ph"]))
    water = {
        texture: soil.water_balance(
            wet.water_m, loss, soil.Soil(texture, usual_ph), depth, parameters
        )
        for texture in textures
    }
    return WetGround(water, wet.lying_m, told)


def _monthly_rain(site: Site, parameters: Parameters) -> tuple[Floats, str]:
    """Monthly sums, mm, and how they were taken, in words."""
    weather = site.climate
    if weather.rain_mm_by_month is not None:
        sums = np.asarray(weather.rain_mm_by_month, dtype=np.float64)
        return sums, f"Rain as your file states it: {_fallen(site, sums.sum())} of water a year."
    if weather.record is not None:
        sums = np.asarray(climate.packaged_rain_mm(weather.record))
        return (
            sums,
            f"Rain by month as in the record {weather.record}, {_fallen(site, sums.sum())} a year.",
        )
    usual = book()["rain.usual"]
    return climate.usual_rain_mm(parameters), (
        f"Your file states no rain: a usual {_fallen(site, usual.value)} a month "
        f"({_fallen(site, usual.low)} to {_fallen(site, usual.high)}) is taken ({usual.standing}); "
        "write rain_mm_by_month under [climate]."
    )


def _fallen(site: Site, rain_mm: float) -> str:
    """A depth of rain in the reader's units."""
    return show(rain_mm / 1000, "small_length", site.place.units)
