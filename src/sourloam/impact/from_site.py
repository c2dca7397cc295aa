"""From a site file to the scraps of its first year, its vessels and its surroundings."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import cast

import numpy as np
from numpy.typing import NDArray

from sourloam import climate, scraps
from sourloam.evidence import Parameters, book
from sourloam.impact import place, souring
from sourloam.impact.contract import Said
from sourloam.impact.kept import Kept
from sourloam.scraps import Batch
from sourloam.site import Site, Supply
from sourloam.site.sections import MealScraps, MeasuredScraps
from sourloam.vessel.feeding import Pieces
from sourloam.vessel.kinds import Vessel

Array = NDArray[np.float64]
EVIDENCE: tuple[str, ...] = (
    *souring.EVIDENCE,
    *climate.EVIDENCE,
    *place.EVIDENCE,
    "bran.dose",
    "impact",
    "impact_waste",
    "impact_claims",
)
#: Rows that differ from place to place: drawn anew for each.
OWN: tuple[str, ...] = ("waste", "scraps.preset", "bran.dose")
YEAR_DAYS = 365
TEXTURE_IF_NONE = "loam"
FORESEEN = {
    "weighed": "Scraps as the site file states them, weighed by its people.",
    "meals": "Scraps foreseen from the number of meals and published surveys; nobody weighed.",
    "people": "Scraps foreseen from the number of people, surveys, and the share that goes in; "
    "nobody weighed.",
}
_ANIMAL = ("meat_fish", "dairy_egg")
_MM, _LITRE = 1000.0, 1000.0


@dataclass(frozen=True)
class Amounts:
    """Scraps that went into vessels: kg and make-up (COLUMNS), bran in kg; arrays (members,).

    ``rests`` (days), ``burials`` and ``drained_l`` are those of a log, nothing where there is none.
    """

    scraps_kg: Array
    batch: Batch
    bran_kg: Array
    start: dt.date
    end: dt.date
    measured: tuple[Said, ...]
    binned: Array
    liquid_used: Array
    rests: tuple[float, ...] = ()
    burials: tuple[dt.date, ...] = ()
    drained_l: float | None = None


def evidence_ids(texture: str = TEXTURE_IF_NONE) -> tuple[str, ...]:
    """Every id that the reckoning draws for a soil of this texture."""
    prefixes = (*EVIDENCE, f"soil.{texture}.clay")
    return book().ids(*prefixes)


def draw(texture: str, members: int, seed: int, number: int = 0) -> Parameters:
    """The members' parameters; what differs from place to place is drawn anew for each number."""
    ids = evidence_ids(texture)
    drawn = book().sample(ids, members, np.random.default_rng(seed))
    if not number:
        return drawn
    own = tuple(key for key in book().ids(*OWN) if key in drawn)
    anew = book().sample(own, members, np.random.default_rng([seed, number]))
    return drawn.with_values({key: anew[key] for key in own})


def texture_of(site: Site) -> str:
    """The soil's texture, loam where none is stated."""
    return site.ground.texture or TEXTURE_IF_NONE


def surroundings_of(site: Site, p: Parameters) -> place.Surroundings:
    """The site's climate and soil in the guidelines' terms."""
    return place.surroundings(monthly_c(site), _rain_mm(site, p), texture_of(site), p)


def monthly_c(site: Site) -> Array:
    """Mean temperature of the air in each calendar month, °C, ``(12,)``."""
    return np.asarray(climate.monthly_means_c(site.to_climate()))


def _rain_mm(site: Site, p: Parameters) -> Array:
    weather = site.climate
    if weather.rain_mm_by_month is not None:
        return np.asarray(weather.rain_mm_by_month, dtype=np.float64)
    if weather.record is not None:
        return np.asarray(climate.packaged_rain_mm(weather.record))
    return climate.usual_rain_mm(p)


def first_year(site: Site, p: Parameters, rng: np.random.Generator) -> Amounts:
    """What the site file foresees for the year from its start."""
    start = site.place.start
    end = start + dt.timedelta(days=YEAR_DAYS - 1)
    dates = np.datetime64(start, "D") + np.arange(YEAR_DAYS)
    supplies = tuple(site.to_streams(start, end))
    masses = [scraps.daily_mass_kg(s.stream, s.calendar, dates, p, rng) for s in supplies]
    daily = np.sum(masses, axis=0)
    shares = mix_shares(supplies, masses, p)
    total = daily.sum(axis=1)
    mix = scraps.mix(shares, scraps.class_table(p))
    return Amounts(
        total,
        mix.times(total),
        dose_kg(site, daily, shares, p).sum(axis=1),
        start,
        end,
        tuple(Said(text=text) for text in dict.fromkeys(_told(entry) for entry in site.scraps)),
        p["impact.vessel.binned"],
        p["impact.vessel.liquid_used"],
    )


def _told(entry: object) -> str:
    if isinstance(entry, MeasuredScraps):
        return FORESEEN["weighed"]
    return FORESEEN["meals" if isinstance(entry, MealScraps) else "people"]


def mix_shares(supplies: tuple[Supply, ...], masses: list[Array], p: Parameters) -> Array:
    """Shares of the classes in all scraps together, (members, classes)."""
    total = sum(mass.sum(axis=1) for mass in masses)
    parts = [
        mass.sum(axis=1)[:, None] * scraps.class_shares(supply.mix, p)
        for mass, supply in zip(masses, supplies, strict=True)
    ]
    return np.asarray(sum(parts) / np.asarray(total)[:, None])


def dose_kg(site: Site, layers_kg: Array, shares: Array, p: Parameters) -> Array:
    """Bran on each layer, (members, layers): by the site's dose, else the usual rule: the larger
    of a share of the scraps and a dusting, more where much of the mix is animal."""
    if site.bran.dose is not None:
        return np.asarray(site.bran.dose * layers_kg)
    section = site.to_vessels()[0].section_m2
    depth = p["bran.dose.depth"] / _MM
    dusting = (depth * p[f"scraps.{site.bran.carrier}.density"] * section)[:, None]
    by_share = (p["bran.dose.share"] / _MM)[:, None] * layers_kg
    animal = shares[:, [scraps.CLASSES.index(name) for name in _ANIMAL]].sum(axis=1)
    much = float(np.median(animal)) > book()["bran.dose.animal_share"].value
    more = p["bran.dose.more"][:, None] if much else 1.0
    return np.where(layers_kg > 0, np.maximum(by_share, dusting) * more, 0.0)


def kept_of(
    site: Site, amounts: Amounts, p: Parameters, rng: np.random.Generator, driven_km: float = 0.0
) -> Kept:
    """The amounts with what the vessels make of them."""
    kind: Vessel = site.to_vessels()[0]
    batch, total = amounts.batch, amounts.scraps_kg
    some = np.where(total > 0, total, 1.0)
    filling = souring.Filling(
        vessel=kind,
        mix=batch.times(1 / some),
        bran_share=amounts.bran_kg / some,
        carrier=site.bran.carrier,
        strength=site.bran.strength,
        pieces=cast(Pieces, site.scraps[0].pieces),
        temperature_c=_room_c(site, p, rng),
    )
    bran = scraps.bran_batch(amounts.bran_kg, site.bran.carrier, site.bran.strength, p)
    full_kg = p["impact.vessel.fill"] * kind.brim_m3 * _LITRE
    return Kept(
        scraps_kg=total,
        dry_kg=batch.dry_kg,
        carbon_kg=scraps.carbon_kg(batch, p),
        nitrogen_kg=scraps.nitrogen_kg(batch, p),
        phosphorus_kg=batch["P"],
        potassium_kg=batch["K"],
        bran_kg=amounts.bran_kg,
        bran_carbon_kg=scraps.carbon_kg(bran, p),
        bran_nitrogen_kg=scraps.nitrogen_kg(bran, p),
        shares=souring.shares(filling, p),
        binned=amounts.binned,
        liquid_used=amounts.liquid_used,
        washed=total / full_kg,
        driven_km=np.full(p.members, driven_km),
    )


def _room_c(site: Site, p: Parameters, rng: np.random.Generator) -> Array:
    """Where the vessels stand, mean of the year, (members,)."""
    first = np.datetime64(site.place.start, "D")
    air = climate.year_ensemble(site.to_climate(), first, YEAR_DAYS, p.members, rng, p)
    return np.asarray(climate.room_temperature(site.to_room(), air, p).mean(axis=1))
