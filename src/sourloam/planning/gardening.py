"""From one site with beds to its garden plan."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from sourloam import climate, garden, scraps, soil
from sourloam.evidence import Parameters, book
from sourloam.planning.case import foresee
from sourloam.planning.parts.year import year_of
from sourloam.planning.work import Progress, Work, carry_out
from sourloam.site import Site
from sourloam.site.beds import to_beds, to_finished
from sourloam.units import show

Floats = NDArray[np.float64]
WEEKS, WEEK, YEAR_DAYS = 52, 7, 365  # method: a garden is planned for a year
FORESEEN_DAYS = 200  # method: beyond the year, so that late burials can be followed
ANIMAL = ("meat_fish", "dairy_egg")
_SNOW_M = 0.002  # method: water in snow below which it hardly covers the ground
_WORKED, _ASKED = 0.6, 0.65  # method: shares of the computing time


class GardenError(ValueError):
    """The site lacks what a garden plan needs; the message says what to write."""


def plan_garden(
    site: Site, members: int, seed: int = 1, progress: Progress | None = None
) -> garden.GardenPlan:
    """Where this site's ferment goes, bed by bed and week by week, and what its liquid feeds.

    Vessels are those of ``[[finished]]``, or else the ones that the middle course of the year
    brings forth. ``progress(stage, share)`` is called as the work goes on. GardenError where no
    bed is described.
    """
    if not site.beds:
        raise GardenError(
            "no bed is described; add [[bed]] with name, length, width and [[bed.planting]], e.g. "
            'crop = "tomato", from = "05-20", to = "10-10"'
        )
    tell = progress or _silent
    tell("looking ahead", 0.0)
    work = carry_out(foresee(site, 1, members, seed), lambda stage, x: tell(stage, x * _WORKED))
    start = site.place.start
    until = start + dt.timedelta(days=WEEKS * WEEK - 1)
    beds = to_beds(site.beds, site.ground.texture or soil.TEXTURES[0], start, until)
    parameters = _parameters(beds, members, seed)
    tell("the ground", _ASKED)
    case = _garden(site, work, beds, parameters, seed)
    answer = garden.garden_plan(case, parameters, seed)
    tell("done", 1.0)
    return answer


def _silent(stage: str, share: float) -> None:
    """No progress wanted."""


def _parameters(beds: tuple[garden.Bed, ...], members: int, seed: int) -> Parameters:
    """Drawn like the site's own, so that a row they share has the same value in each member."""
    wanted = garden.garden_evidence(beds, tuple(book().rows))
    prefixes = (*climate.EVIDENCE, *climate.RAIN_EVIDENCE)
    weather = [key for prefix in prefixes for key in book().ids(prefix)]
    ids = dict.fromkeys((*wanted, *weather))
    return book().sample(ids, members, np.random.default_rng(seed))


def _garden(
    site: Site, work: Work, beds: tuple[garden.Bed, ...], parameters: Parameters, seed: int
) -> garden.GardenInput:
    warmth, diggable, rain = _ground(site, beds, parameters, seed)
    return garden.GardenInput(
        name=site.name,
        start=site.place.start,
        weeks=WEEKS,
        beds=beds,
        vessels=_vessels(site, work, parameters),
        soil_c=warmth,
        diggable=diggable,
        rain=rain,
        liquid=garden.usual_liquid(parameters),
        supply_l=_liquid_l(work),
        jar_c=site.room.temperature_c,
        circumstances=garden.Circumstances(
            stream_m=site.rules.distance_to_water_m,
            well_m=site.rules.distance_to_well_m,
            farmed_animals_near=site.rules.farmed_animals_near == "yes",
        ),
        digging=garden.Digging(
            site.ground.trench_width_m, site.ground.trench_depth_m, site.ground.trench_spacing_m
        ),
        further_m2=max((site.ground.bed_area_m2 or 0.0) - sum(bed.area_m2 for bed in beds), 0.0),
        system=site.place.units,
    )


def _ground(
    site: Site, beds: tuple[garden.Bed, ...], parameters: Parameters, seed: int
) -> tuple[dict[str, Floats], dict[str, NDArray[np.bool_]], garden.Rain]:
    """Warmth at the trench, whether it can be dug, and rain, from the start on, by texture."""
    first = np.datetime64(site.place.start, "D") - YEAR_DAYS
    days = YEAR_DAYS + WEEKS * WEEK + FORESEEN_DAYS
    rng = np.random.default_rng([seed, 1])
    air = climate.year_ensemble(site.to_climate(), first, days, parameters.members, rng, parameters)
    trench = float(np.median(parameters["ground.trench.depth"]))
    spade = float(np.median(parameters["climate.digging.spade_depth"]))
    warmth, diggable = {}, {}
    textures = sorted({bed.texture for bed in beds})
    for texture in textures:
        deep, shallow = (
            climate.ground_temperature_c(air, depth, climate.Ground(texture), parameters)
            for depth in (trench, spade)
        )
        warmth[texture] = deep[:, YEAR_DAYS:]
        diggable[texture] = climate.ground_workable(shallow, deep, parameters)[:, YEAR_DAYS:]
    return warmth, diggable, _rain(site, textures, air, parameters, seed)


def _rain(
    site: Site, textures: list[str], air: Floats, parameters: Parameters, seed: int
) -> garden.Rain:
    """Rain, snow and drainage of the same days; a year goes before, so that beds start moist or
    dry as the season has it."""
    monthly, told = _monthly_rain(site, parameters)
    first = np.datetime64(site.place.start, "D") - YEAR_DAYS
    dates = first + np.arange(air.shape[1])
    rng = np.random.default_rng([seed, 2])
    fallen = climate.daily_rain_m(monthly, dates, rng, parameters)
    wet = climate.on_the_ground(fallen, air, parameters)
    means = climate.monthly_means_c(site.to_climate())
    loss = climate.evapotranspiration_m(air, means, parameters)
    depth = float(np.median(parameters["ground.trench.depth"]))
    usual_ph = float(np.median(parameters["beds.usual_ph"]))
    water = {
        texture: soil.water_balance(
            wet.water_m, loss, soil.Soil(texture, usual_ph), depth, parameters
        ).within(YEAR_DAYS, air.shape[1] - YEAR_DAYS)
        for texture in textures
    }
    lies = wet.lying_m[:, YEAR_DAYS:] > _SNOW_M
    return garden.Rain(water, told, lies)


def _monthly_rain(site: Site, parameters: Parameters) -> tuple[Floats, str]:
    """Monthly sums, mm, and how they were taken, in words."""
    weather = site.climate
    if weather.rain_mm_by_month is not None:
        sums = np.asarray(weather.rain_mm_by_month, dtype=np.float64)
        return sums, f"Rain as your file states it, {_fallen(site, sums.sum())} a year."
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


def _vessels(site: Site, work: Work, parameters: Parameters) -> tuple[garden.Finished, ...]:
    start = site.place.start
    if site.finished:
        return to_finished(site.finished, start, parameters)
    with_meat = site.rules.animal_food != "no" and _share(work, (*ANIMAL, "plate_waste")) > 0
    much = with_meat and _share(work, ANIMAL) > book()["bran.dose.animal_share"].value
    spans = [s for s in year_of(work).spans if s.state == "resting"]
    horizon = start + dt.timedelta(days=WEEKS * WEEK - 1)
    found = []
    for span in sorted(spans, key=lambda s: (s.end, s.vessel)):
        ready = span.end + dt.timedelta(days=1)
        if start <= ready <= horizon:
            name = f"{span.vessel} ({ready.day} {ready:%b})"
            portion = _ferment(work, parameters)
            found.append(garden.Finished(name, (ready - start).days, portion, with_meat, much))
    return tuple(found)


def _share(work: Work, classes: tuple[str, ...]) -> float:
    """Median share of some classes in the mix."""
    places = [scraps.CLASSES.index(name) for name in classes]
    return float(np.median(work.case.shares[:, places].sum(axis=1)))


def _ferment(work: Work, parameters: Parameters) -> soil.Portion:
    """One vessel's ferment: mass and nitrogen as simulated, the rest typical for such a mass."""
    typical = soil.Portion.typical(1.0, parameters)
    mass = work.burying.ferment_kg
    scaled = {
        name: value if name == "ph" else value * mass for name, value in vars(typical).items()
    }
    nitrogen = work.burying.nitrogen_g / 1000
    share = typical.ammonium_nitrogen_kg / typical.nitrogen_kg
    portion = soil.Portion(**scaled)
    return replace(portion, nitrogen_kg=nitrogen, ammonium_nitrogen_kg=nitrogen * share)


def _liquid_l(work: Work) -> Floats:
    """Litres drained in each week, ``(members, weeks)``."""
    first = work.case.first
    daily = work.draining.daily_ml[:, first : first + WEEKS * WEEK] / 1000
    return np.asarray(daily.reshape(daily.shape[0], WEEKS, WEEK).sum(axis=2))
