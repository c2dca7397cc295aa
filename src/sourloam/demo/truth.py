"""What nobody in the story knows: one draw of everything uncertain, and what comes of it."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from typing import cast

import numpy as np
from numpy.typing import NDArray

from sourloam import climate, scraps, vessel
from sourloam.evidence import Parameters, book
from sourloam.scraps import Batch
from sourloam.site import Site
from sourloam.site.plausible import mean_day_kg

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
_OWN = ("bran.dose", "climate.digging", "ground.ferment_density")
_LAYER_VARIETY = 0.4  # how far the mix of single layers strays, as a share
_MOST_UNUSUAL = (0.7, 1.4)  # mean scraps of a place against those of its usual like
_BAD_LOG10_CFU = 3.0  # bran that has died


def evidence_ids() -> tuple[str, ...]:
    """Every id that a truth draws."""
    prefixes = (*climate.EVIDENCE, *scraps.EVIDENCE, *vessel.EVIDENCE, *_OWN)
    return book().ids(*prefixes)


@dataclass(frozen=True)
class PlaceTruth:
    """One place as it really is, by day from ``first``: kg of scraps, °C where the vessels stand,
    whether the ground opens. ``bowl_kg`` is what a bowlful really weighs."""

    site: Site
    first: dt.date
    parameters: Parameters
    shares: Floats
    scraps_kg: Floats
    room_c: Floats
    open_ground: Bools
    bowl_kg: float
    dose: float

    def date(self, day: int) -> dt.date:
        """Calendar date of a day of the story."""
        return self.first + dt.timedelta(days=day)


@dataclass(frozen=True)
class TurnTruth:
    """One filling as it really was and will be.

    Days count from ``began`` (a day of the story); series are daily over the run. ``full_day``,
    ``finish_day`` are infinite where they never come. ``aside_day`` is when it was set aside,
    ``emptied_day`` when it will have been emptied (None: never in the story's time) and
    ``washed_day`` washed.
    """

    vessel: str
    began: int
    layer_day: Floats
    layer_kg: Floats
    bran_g: Floats
    density_kg_m3: Floats
    full_day: float
    finish_day: float
    failed: bool
    mouldy: bool
    level_share: Floats
    liquid_ml: Floats
    ph_newest: Floats
    ph_mean: Floats
    contents_kg: Floats
    temperature_c: Floats
    aside_day: int
    emptied_day: int | None = None
    washed_day: int | None = None

    @property
    def last_day(self) -> int:
        """The last day with scraps in it that the series know."""
        known = len(self.liquid_ml) - 1
        return known if self.emptied_day is None else min(self.emptied_day, known)


def draw_place(site: Site, first: dt.date, days: int, rng: np.random.Generator) -> PlaceTruth:
    """One place of the many that its description could be."""
    parameters = book().sample(evidence_ids(), 1, rng)
    dates = np.datetime64(first, "D") + np.arange(days)
    air = climate.year_ensemble(site.to_climate(), dates[0], days, 1, rng, parameters)
    supplies = site.to_streams(first, first + dt.timedelta(days=days))
    masses = [scraps.daily_mass_kg(s.stream, s.calendar, dates, parameters, rng) for s in supplies]
    dose = site.bran.dose
    return PlaceTruth(
        site=site,
        first=first,
        parameters=parameters,
        shares=_shares(site, parameters),
        scraps_kg=_within_the_usual(np.sum(masses, axis=0)[0], mean_day_kg(supplies, first)),
        room_c=climate.room_temperature(site.to_room(), air, parameters)[0],
        open_ground=_open_ground(site, air, parameters),
        bowl_kg=float(0.55 * np.exp(0.15 * rng.standard_normal())),
        dose=float(parameters["bran.dose.share"][0]) / 1000 if dose is None else dose,
    )


def _within_the_usual(kg: Floats, usual_kg: float) -> Floats:
    """A place that makes very little or very much is no story; scaled into a factor of two."""
    share = float(kg.mean()) / usual_kg
    return kg * (float(np.clip(share, *_MOST_UNUSUAL)) / share)


def _shares(site: Site, parameters: Parameters) -> Floats:
    return np.asarray(scraps.class_shares(site.usual_mix, parameters)[0])


def _open_ground(site: Site, air: Floats, parameters: Parameters) -> Bools:
    if site.ground.none:
        return np.ones(air.shape[1], dtype=bool)
    ground = climate.Ground(site.ground.texture or "loam")
    trench = climate.ground_temperature_c(
        air, site.ground.trench_depth_m or book()["ground.trench.depth"].value, ground, parameters
    )
    spade_m = parameters["climate.digging.spade_depth"]
    spade = climate.ground_temperature_c(air, spade_m, ground, parameters)
    return np.asarray(climate.ground_workable(spade, trench, parameters)[0])


def run_turn(
    place: PlaceTruth,
    name: str,
    shape: vessel.Vessel,
    began: int,
    layers: tuple[Floats, Floats],
    days: int,
    rng: np.random.Generator,
    bad: bool = False,
) -> TurnTruth:
    """Fill one vessel with layers (day from ``began``, kg) and follow it for so many days."""
    day, kg = layers
    fed, bran_kg = _batch(place, kg, rng, bad)
    pieces = cast(vessel.Pieces, place.site.scraps[0].pieces)
    temperature = place.room_c[began : began + days]
    if bad:
        shape = replace(shape, lid_leak_m3_per_day=0.02)
    course = vessel.run(
        shape,
        vessel.Feeding(day, fed, pieces),
        temperature,
        place.parameters,
        vessel.Settings(keep_layers=True),
    )
    taken = int(course.layers_taken[0])
    with np.errstate(invalid="ignore"):
        ph = np.nan_to_num(course.ph_layers[0])
    there = ph > 0
    full = float(course.full_day[0])
    last = float(day[taken - 1]) if taken else 0.0
    return TurnTruth(
        vessel=name,
        began=began,
        layer_day=day[:taken],
        layer_kg=kg[:taken],
        bran_g=1000 * bran_kg[:taken],
        density_kg_m3=(kg / fed["loose_volume"][0])[:taken],
        full_day=full,
        finish_day=float(course.finish_day[0]),
        failed=bool(course.failed[0]),
        mouldy=bool(course.spoilt_top[0]),
        level_share=course.level_share[0],
        liquid_ml=1e6 * course.liquid_m3[0],
        ph_newest=course.ph_newest[0],
        ph_mean=ph.sum(axis=0) / np.maximum(there.sum(axis=0), 1),
        contents_kg=course.contents_kg[0],
        temperature_c=temperature,
        aside_day=int(max(last, np.floor(full))) if np.isfinite(full) else int(last) + 1,
    )


def _batch(
    place: PlaceTruth, kg: Floats, rng: np.random.Generator, bad: bool
) -> tuple[Batch, Floats]:
    """Layers of scraps and bran (1, layers, columns); a bad vessel gets meat and dead bran."""
    shares = place.shares * np.exp(
        _LAYER_VARIETY * rng.standard_normal((len(kg), len(place.shares)))
    )
    if bad:
        for name in ("meat_fish", "dairy_egg", "shells_bones"):
            shares[:, scraps.CLASSES.index(name)] = 0.5
    shares /= shares.sum(axis=1, keepdims=True)
    table = scraps.class_table(place.parameters)
    layers = scraps.mix((kg[:, None] * shares)[None], Batch(table.amounts[:, None]))
    bran_kg = place.dose * kg * np.exp(0.15 * rng.standard_normal(len(kg)))
    bran = scraps.bran_batch(
        bran_kg[None], place.site.bran.carrier, _BAD_LOG10_CFU if bad else None, place.parameters
    )
    return layers + bran, bran_kg
