"""From one site with beds to its garden plan."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from sourloam import climate, garden, soil, vessel
from sourloam.evidence import Parameters, book
from sourloam.numerics.progress import Progress, untold
from sourloam.planning.case import TEXTURE_IF_NONE, animal_food, foresee
from sourloam.planning.filling import first_days, offers
from sourloam.planning.parts.year import year_of
from sourloam.planning.raining import wet_ground
from sourloam.planning.work import Work, carry_out
from sourloam.site import Site, spans_within
from sourloam.site.beds import to_beds, to_finished
from sourloam.site.sections import Span

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
WEEKS, WEEK, YEAR_DAYS = 52, 7, 365  # method: a garden is planned for a year
FORESEEN_DAYS = 260  # method: beyond the year, so that late burials can be followed
_SNOW_M = 0.002  # method: water in snow below which it hardly covers the ground
_WORKED, _READY = 0.45, 0.5  # method: shares of the computing time


class GardenError(ValueError):
    """The site lacks what a garden plan needs; the message says what to write."""


def plan_garden(
    site: Site, members: int, seed: int = 1, progress: Progress | None = None
) -> garden.GardenPlan:
    """Where this site's ferment goes, bed by bed and week by week, and what its liquid feeds.

    Vessels are those of ``[[finished]]``, or else the ones that the middle course of the year
    brings forth. Without a bed they go home through tubs of soil, where the site has these.
    ``progress(stage, share)`` is called as the work goes on. GardenError where there is neither.
    """
    if not (site.beds or site.ground.none or site.ground.tub):
        raise GardenError(
            "no bed is described; add [[bed]] with name, length, width and [[bed.planting]], e.g. "
            'crop = "tomato", from = "05-20", to = "10-10"; or write none = true under [ground], '
            "and the ferment goes into tubs of soil"
        )
    tell = progress or untold
    tell("looking ahead", 0.0)
    work = carry_out(foresee(site, 1, members, seed), lambda stage, x: tell(stage, x * _WORKED))
    if not site.beds:
        parameters = _parameters((), members, seed)
        answer = garden.tub_plan(_tubs(site, work, parameters), parameters, seed)
        tell("done", 1.0)
        return answer
    start = site.place.start
    until = start + dt.timedelta(days=WEEKS * WEEK - 1)
    beds = to_beds(site.beds, site.ground, start, until)
    parameters = _parameters(beds, members, seed)
    tell("the ground", _WORKED)
    case = _garden(site, work, beds, parameters, seed)
    answer = garden.garden_plan(
        case,
        parameters,
        seed,
        tell=lambda stage, x: tell(stage, _READY + x * (1 - _READY)),
    )
    tell("done", 1.0)
    return answer


def _tubs(site: Site, work: Work, parameters: Parameters) -> garden.TubInput:
    case, first = work.case, work.case.first
    rng = np.random.default_rng([work.case.seed, 1])
    days = case.room_c.shape[1] - first
    air = climate.year_ensemble(
        site.to_climate(), case.dates[first], days, parameters.members, rng, parameters
    )
    return garden.TubInput(
        name=site.name,
        start=site.place.start,
        weeks=WEEKS,
        vessels=_vessels(site, work, _portion(work), parameters),
        texture=site.ground.texture or TEXTURE_IF_NONE,
        room_c=case.room_c[:, first:],
        air_c=air,
        circumstances=_circumstances(site),
        system=site.place.units,
    )


def _portion(work: Work) -> soil.Portion:
    """A full vessel's ferment."""
    return garden.simulated_portion(_simulated(work).ferment, work.burying.ferment_kg)


def _circumstances(site: Site) -> garden.Circumstances:
    return garden.Circumstances(
        stream_m=site.rules.distance_to_water_m,
        well_m=site.rules.distance_to_well_m,
        farmed_animals_near=site.rules.farmed_animals_near == "yes",
        burial_allowed=site.rules.burial_allowed,
        animal_food_barred=site.rules.animal_food == "no",
    )


def _parameters(beds: tuple[garden.Bed, ...], members: int, seed: int) -> Parameters:
    """Drawn like the site's own, so that a row they share has the same value in each member."""
    wanted = garden.garden_evidence(beds, tuple(book().rows))
    prefixes = (*climate.EVIDENCE, *climate.RAIN_EVIDENCE)
    weather = list(book().ids(*prefixes))
    ids = dict.fromkeys((*wanted, *weather))
    return book().sample(ids, members, np.random.default_rng(seed))


def _garden(
    site: Site, work: Work, beds: tuple[garden.Bed, ...], parameters: Parameters, seed: int
) -> garden.GardenInput:
    warmth, diggable, warm, rain = _ground(site, beds, parameters, seed)
    course = _simulated(work)
    portion = garden.simulated_portion(course.ferment, work.burying.ferment_kg)
    every = _vessels(site, work, portion, parameters)
    vessels, later = _of_this_year(every, _away(site))
    return garden.GardenInput(
        name=site.name,
        start=site.place.start,
        weeks=WEEKS,
        beds=beds,
        vessels=vessels,
        soil_c=warmth,
        diggable=diggable,
        rain=rain,
        liquid=garden.simulated_liquid(course.drained, course.ferment.ph, parameters),
        supply_l=_liquid_l(work),
        jar_c=float(np.median(work.case.room_c[:, work.case.coming_year])),
        circumstances=_circumstances(site),
        warm=warm,
        busy=_weeks_with(site.busy, site, 1),
        away=_away(site),
        later=later,
        hands=_hands(work),
        least_wait_days=site.ground.wait_days or 0.0,
        digging=garden.Digging(
            site.ground.trench_width_m, site.ground.trench_depth_m, site.ground.trench_spacing_m
        ),
        further=_further(site, beds),
        system=site.place.units,
    )


def _hands(work: Work) -> garden.Hands:
    """People's time as the plan of the year takes it: for what comes where the site states none."""
    outlets = work.alone(work.chosen).outlets
    hours = work.labour.for_burying_h() if outlets is None else float(np.median(outlets.dig_h))
    return garden.Hands(hours, work.labour.empty_h, work.labour.per_metre_h)


def _further(site: Site, beds: tuple[garden.Bed, ...]) -> garden.Further:
    area_m2 = max((site.ground.bed_area_m2 or 0.0) - sum(bed.area_m2 for bed in beds), 0.0)
    own = site.ground.nitrogen_limit_kg_m2
    usual = book()["ground.nitrogen.usual"].value / 1000
    return garden.Further(area_m2, usual if own is None else own)


def _weeks_with(spans: Iterable[Span], site: Site, days: int) -> Bools:
    """Weeks with so many days at least within the spans, ``(weeks,)``."""
    start = site.place.start
    inside = np.zeros(WEEKS * WEEK, dtype=bool)
    last = start + dt.timedelta(days=WEEKS * WEEK - 1)
    for span in spans:
        for first, end in spans_within(span, start, last):
            inside[max((first - start).days, 0) : max((end - start).days + 1, 0)] = True
    return np.asarray(inside.reshape(WEEKS, WEEK).sum(axis=1) >= days)


def _away(site: Site) -> Bools:
    """Weeks in which nobody is there on most days, ``(weeks,)``."""
    closed = [span for span in site.closed if span.share == 0]
    return _weeks_with(closed, site, WEEK // 2 + 1)


def _of_this_year(
    vessels: tuple[garden.Finished, ...], away: Bools
) -> tuple[tuple[garden.Finished, ...], int]:
    """Vessels for which a week is left in which somebody is there, and how many more there are."""
    last = int(np.flatnonzero(~away).max(initial=0))
    found = tuple(vessel for vessel in vessels if -(-vessel.ready_day // WEEK) <= last)
    return found, len(vessels) - len(found)


def _ground(
    site: Site, beds: tuple[garden.Bed, ...], parameters: Parameters, seed: int
) -> tuple[dict[str, Floats], dict[str, Bools], dict[str, Bools], garden.Rain]:
    """Warmth at the trench, whether it can be opened, whether it is warm enough too, and rain,
    from the start on, by texture."""
    first = np.datetime64(site.place.start, "D") - YEAR_DAYS
    days = YEAR_DAYS + WEEKS * WEEK + FORESEEN_DAYS
    rng = np.random.default_rng([seed, 1])
    air = climate.year_ensemble(site.to_climate(), first, days, parameters.members, rng, parameters)
    usual = float(np.median(parameters["ground.trench.depth"]))
    trench = site.ground.trench_depth_m or usual
    spade = float(np.median(parameters["climate.digging.spade_depth"]))
    warmth, diggable, warm = {}, {}, {}
    textures = sorted({bed.texture for bed in beds})
    for texture in textures:
        deep, shallow = (
            climate.ground_temperature_c(air, depth, climate.Ground(texture), parameters)
            for depth in (trench, spade)
        )
        warmth[texture] = deep[:, YEAR_DAYS:]
        diggable[texture] = ~climate.ground_frozen(shallow, parameters)[:, YEAR_DAYS:]
        warm[texture] = climate.ground_workable(shallow, deep, parameters)[:, YEAR_DAYS:]
    return warmth, diggable, warm, _rain(site, textures, air, parameters, seed)


def _rain(
    site: Site, textures: list[str], air: Floats, parameters: Parameters, seed: int
) -> garden.Rain:
    """Rain, snow and drainage of the same days; a year goes before, so that beds start moist or
    dry as the season has it."""
    first = np.datetime64(site.place.start, "D") - YEAR_DAYS
    wet = wet_ground(site, tuple(textures), air, parameters, (first, seed))
    rest = air.shape[1] - YEAR_DAYS
    water = {texture: found.within(YEAR_DAYS, rest) for texture, found in wet.water.items()}
    return garden.Rain(water, wet.told, wet.lying_m[:, YEAR_DAYS:] > _SNOW_M)


def _vessels(
    site: Site, work: Work, portion: soil.Portion, parameters: Parameters
) -> tuple[garden.Finished, ...]:
    start = site.place.start
    if site.finished:
        return to_finished(site.finished, start, parameters)
    with_meat, much = animal_food(work.case.shares)
    spans = [s for s in year_of(work).spans if s.state == "resting"]
    horizon = start + dt.timedelta(days=WEEKS * WEEK - 1)
    found = []
    for span in sorted(spans, key=lambda s: (s.end, s.vessel)):
        ready = span.end + dt.timedelta(days=1)
        if start <= ready <= horizon:
            name = f"{span.vessel} ({ready.day} {ready:%b})"
            found.append(garden.Finished(name, (ready - start).days, portion, with_meat, much))
    return tuple(found)


def _simulated(work: Work) -> vessel.Course:
    """One vessel of the chosen kind, filled in the first season: what its contents become."""
    case, kind = work.case, work.chosen
    offer = offers(case, kind, first_days(case, case.seasons[0]))
    plate = None if kind.plate_known else case.parameters["site.vessel.plate_mass"]
    settings = vessel.Settings(openings_per_layer=offer.openings_per_layer, plate_kg=plate)
    return vessel.run(kind.vessel, offer.feeding, offer.temperature_c, case.parameters, settings)


def _liquid_l(work: Work) -> Floats:
    """Litres drained in each week, ``(members, weeks)``."""
    first = work.case.first
    daily = work.draining.daily_ml[:, first : first + WEEKS * WEEK] / 1000
    return np.asarray(daily.reshape(daily.shape[0], WEEKS, WEEK).sum(axis=2))
