"""Full vessels, season by season: days to fill, what they take, what drains, what comes out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sourloam import scraps, vessel
from sourloam.planning.case import Case, Kind
from sourloam.planning.dosing import dosing, layers_per_day
from sourloam.scraps import Batch

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
_MOST_OFFERS = 60  # method: layers handed to one vessel; beyond it several days become one layer
_LONGEST_FILL = 240  # method: days that a filling is followed
_SLACK = 1.1  # method: more is offered to a slow member than its vessel takes
_SLOW = 0.1  # method: share of members that may not fill it in the time followed
_DENSEST = 1000  # kg/m3
_LEAST_RATE = 1e-3  # method: kg/day, so that nothing divides by nought
_LOW = 0.1  # method: least level from which a full vessel is reckoned
_REST_DAYS = 30  # method: days followed after the last layer, past the bulk of the draining


@dataclass(frozen=True)
class Filled:
    """One kind of vessel filled in one season; arrays over the members.

    ``scraps_kg``: scraps (without bran) in a full vessel. ``liquid_share``: liquid, m3, for each
    kg of scraps. ``daily_liquid_m3``: mean while it fills. Level (members, days).
    """

    season: str
    full_day: Floats
    scraps_kg: Floats
    taken_kg: Floats
    layers: Floats
    liquid_share: Floats
    daily_liquid_m3: Floats
    level: Floats
    ferment_kg: Floats
    ferment_nitrogen_kg: Floats
    failed: NDArray[np.bool_]


def fill(case: Case, kind: Kind, season: str) -> Filled:
    """Fill one kind in one season, each member beginning on a day of its own."""
    return fill_from(case, kind, season, first_days(case, season))


def fill_from(case: Case, kind: Kind, season: str, begin: Ints) -> Filled:
    """Fill one kind from the members' first days ``begin`` (members,) on."""
    offer = offers(case, kind, begin)
    course = vessel.run(
        kind.vessel,
        offer.feeding,
        offer.temperature_c,
        case.parameters,
        vessel.Settings(openings_per_layer=offer.openings_per_layer),
    )
    scraps_kg = _scraps_taken(offer.scraps_kg, course.layers_taken)
    days = np.arange(course.liquid_m3.shape[1])
    last = np.minimum(course.full_day, offer.feeding.day[-1] + 1)
    filling = days < last[:, None]
    return Filled(
        season=season,
        full_day=course.full_day,
        scraps_kg=_to_the_brim(scraps_kg, course),
        taken_kg=course.fed_kg,
        layers=np.asarray(course.layers_taken, dtype=np.float64),
        liquid_share=course.liquid_m3.sum(axis=1) / scraps_kg,
        daily_liquid_m3=(course.liquid_m3 * filling).sum(axis=1) / filling.sum(axis=1),
        level=course.level_share,
        ferment_kg=course.ferment.fresh_kg,
        ferment_nitrogen_kg=course.ferment.nitrogen_kg,
        failed=course.failed,
    )


def _scraps_taken(offered_kg: Floats, layers_taken: NDArray[np.int_]) -> Floats:
    """Scraps in the layers that went in: the first so many that weigh anything."""
    number = np.cumsum(offered_kg > 0, axis=1)
    return np.asarray((offered_kg * (number <= layers_taken[:, None])).sum(axis=1))


def _to_the_brim(scraps_kg: Floats, course: vessel.Course) -> Floats:
    """Scraps in a full vessel; where it did not fill in the time, by its level so far."""
    level = np.nanmax(np.where(np.isnan(course.level_share), 0, course.level_share), axis=1)
    return np.where(np.isfinite(course.full_day), scraps_kg, scraps_kg / np.maximum(level, _LOW))


@dataclass(frozen=True)
class Offers:
    """Layers held out to a vessel, each member from a first day of its own."""

    scraps_kg: Floats
    feeding: vessel.Feeding
    temperature_c: Floats
    openings_per_layer: float


def offers(case: Case, kind: Kind, begin: Ints) -> Offers:
    """Layers and warmth from the members' first days ``begin`` (members,) on.

    Where a filling takes longer than ``_MOST_OFFERS`` layers, several days make one layer; where
    a day's scraps stand high, a day makes several.
    """
    members = len(begin)
    parts = layers_per_day(case, kind)
    slow = np.quantile(case.scraps_kg[:, case.planned].mean(axis=1), _SLOW)
    rate = max(float(slow), _LEAST_RATE)
    days = int(np.clip(_SLACK * kind.vessel.usable_m3 * _DENSEST / rate, 7, _LONGEST_FILL))
    step = max(1, -(-days // _MOST_OFFERS)) if parts == 1 else 1
    days = -(-days // step) * step
    rows = np.arange(members)[:, None]
    daily = case.scraps_kg[rows, begin[:, None] + np.arange(days)]
    mass = daily.reshape(members, days // step, step).sum(axis=2)
    mass = np.repeat(mass / parts, parts, axis=1)
    day = np.repeat(np.arange(0, days, step, dtype=np.float64), parts)
    bran = dosing(case, kind).layer_kg(mass, kind.vessel.section_m2)
    carrier = scraps.bran_batch(bran, case.site.bran.carrier, None, case.parameters)
    batch = Batch(case.mix.amounts[:, None, :]).times(mass) + carrier
    warmth = case.room_c[rows, begin[:, None] + np.arange(days + _REST_DAYS)]
    openings = kind.opened_per_day * step / parts
    return Offers(mass, vessel.Feeding(day, batch, case.pieces), warmth, openings)


def first_days(case: Case, season: str) -> Ints:
    """A day of the season for each member, spread evenly over it."""
    days = case.days_in(season)
    places = np.random.default_rng(case.seed).permutation(case.members)
    return np.asarray(days[places * len(days) // case.members])
