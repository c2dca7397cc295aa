"""Rain day by day, snow that lies, and what the air takes back: enough for a water balance.

From twelve monthly sums: wet and dry days follow each other as a two-state chain, amounts of wet
days are exponential, and years differ as wholes. What falls below freezing lies as snow and melts
by the day-degree. The air's demand is Thornthwaite's (1948) for days of twelve hours. Left out:
storms of hours, slope, wind, and how far south or north the place is.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sourloam.climate.daily import ClimateError
from sourloam.evidence import Parameters

Array = NDArray[np.float64]
Dates = NDArray[np.datetime64]
EVIDENCE = ("rain",)
MOST_MM = 3000.0  # method: wetter than any month of a place with gardens
_MONTH_DAYS = 365.25 / 12
_FACTORS = ("cubic", "square", "straight", "constant")


@dataclass(frozen=True)
class Precipitation:
    """Water that reaches the ground and snow that lies on it, m of water, (members, days)."""

    water_m: Array
    lying_m: Array


def usual_rain_mm(parameters: Parameters) -> Array:
    """Monthly sums where nobody has stated any, mm, ``(members, 12)``: the same each month."""
    return np.repeat(parameters["rain.usual"][:, None], 12, axis=1)


def daily_rain_m(
    monthly_mm: ArrayLike, dates: Dates, rng: np.random.Generator, parameters: Parameters
) -> Array:
    """Possible rain of the days ``dates``, m a day, ``(members, days)``.

    ``monthly_mm`` (12,) or (members, 12), January first. ClimateError unless these are twelve
    sums between 0 and 3000 mm.
    """
    sums = np.asarray(monthly_mm, dtype=np.float64)
    if sums.shape[-1:] != (12,) or not np.all((sums >= 0) & (sums <= MOST_MM)):
        raise ClimateError(f"rain: give 12 monthly sums of 0 to {MOST_MM:g} mm, January first")
    members, days = parameters.members, dates.size
    share = parameters["rain.wet_days"]
    again = share + parameters["rain.persistence"] * (1 - share)
    after_dry = share * (1 - again) / (1 - share)
    drawn = rng.random((members, days))
    wet = np.empty((members, days), dtype=bool)
    before = drawn[:, 0] < share
    for day in range(days):
        before = drawn[:, day] < np.where(before, again, after_dry)
        wet[:, day] = before
    month = dates.astype("datetime64[M]").astype(np.int64) % 12
    mean_mm = np.broadcast_to(sums, (members, 12))[:, month] / _MONTH_DAYS
    years = dates.astype("datetime64[Y]").astype(np.int64)
    years = years - years[0]
    spread = np.log(parameters["rain.year_spread"])[:, None]
    by_year = np.exp(spread * rng.standard_normal((members, int(years[-1]) + 1)))[:, years]
    amount = rng.exponential(1.0, (members, days)) / share[:, None]
    return np.asarray(np.where(wet, amount * mean_mm * by_year, 0.0) / 1000)


def on_the_ground(rain_m: Array, air_c: Array, parameters: Parameters) -> Precipitation:
    """Rain and melt that reach the ground, and snow that lies, from daily mean air, °C."""
    cold = parameters["rain.snow.below"][:, None]
    melts = parameters["rain.snow.melt"][:, None] / 1000 * np.maximum(air_c, 0.0)
    falls = np.where(air_c < cold, rain_m, 0.0)
    water, lying = rain_m - falls, np.empty_like(rain_m)
    stored = np.zeros(rain_m.shape[0])
    for day in range(rain_m.shape[1]):
        stored = stored + falls[:, day]
        gone = np.minimum(melts[:, day], stored)
        stored = stored - gone
        water[:, day] += gone
        lying[:, day] = stored
    return Precipitation(np.asarray(water), lying)


def evapotranspiration_m(air_c: Array, monthly_means_c: Array, parameters: Parameters) -> Array:
    """What the air takes from moist ground, m a day, of the shape of ``air_c`` (members, days).

    ``monthly_means_c`` (12,) of the mean year set the heat index. Thornthwaite:
    16 (10 T / I)^a mm in a month of thirty days, I the sum of (T/5)^1.514 over the months.
    """
    p = parameters
    warm = np.maximum(np.asarray(monthly_means_c, dtype=np.float64), 0.0)[None, :]
    base = p["rain.evaporation.index_base"][:, None]
    index = ((warm / base) ** p["rain.evaporation.index_power"][:, None]).sum(axis=1)
    if not np.all(index > 0):
        return np.zeros_like(air_c)
    power = np.zeros_like(index)
    for name in _FACTORS:
        power = power * index + p["rain.evaporation." + name]
    ratio = 10 * np.maximum(air_c, 0.0) / index[:, None]
    month_mm = p["rain.evaporation.month"][:, None] * ratio ** power[:, None]
    share = p["rain.evaporation.share"][:, None]
    return np.asarray(share * month_mm / p["rain.evaporation.days"][:, None] / 1000)
