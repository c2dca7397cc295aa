"""Full vessels, season by season: days to fill, what they take, what drains, what comes out."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import NDArray

from sourloam import scraps, vessel
from sourloam.numerics.abreast import abreast
from sourloam.planning.case import Case, Kind
from sourloam.planning.dosing import dosing, layers_per_day, portions_per_day
from sourloam.scraps import Batch

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
_GROUPS = 8  # method: groups of members by how fast they fill
_MOST_OFFERS = 36  # method: layers handed to one vessel; beyond it several days become one layer
_LONGEST = 240  # method: days that a filling is followed
_SEARCH = 120  # method: days within which scraps come again after a closure
_SLACK = 1.1  # method: more is offered to a slow member than its vessel takes
_MORE = 1.5  # method: times more is offered where that was not enough, as where much drains
_SLOW = 0.1  # method: share of a group that may not fill it in the time followed
_DENSEST_KG_M3 = 1000
_LOW = 0.1  # method: least level from which a full vessel is reckoned
_TOLERANCE_PH = 0.05  # method: of a step; a tenth of it moves no planned figure by a thousandth
_REST_DAYS = 21  # method: days followed after the last layer, past the bulk of the draining


@dataclass(frozen=True)
class Filled:
    """One kind of vessel filled in one season; arrays over the members.

    ``full_day``: days of feeding until full, inf if never in the time followed.
    ``scraps_kg``: scraps (without bran) in a full vessel. ``liquid_share``: liquid, m3, for each
    kg of scraps. ``daily_liquid_m3``: mean while it fills. Level (members, days).
    """

    season: str
    full_day: Floats
    scraps_kg: Floats
    taken_kg: Floats
    liquid_share: Floats
    daily_liquid_m3: Floats
    level: Floats
    ferment_kg: Floats
    ferment_nitrogen_kg: Floats
    failed: NDArray[np.bool_]

    def pick(self, members: Ints) -> Filled:
        """The same with some of the members, by number ``(picked,)``; a member may come twice."""
        names = [field.name for field in fields(self) if field.name != "season"]
        return replace(self, **{name: getattr(self, name)[members] for name in names})


def fill(case: Case, kind: Kind, season: str) -> Filled:
    """Fill one kind in one season, each member beginning on a day of its own."""
    return fill_from(case, kind, season, first_days(case, season))


def fill_from(case: Case, kind: Kind, season: str, begin: Ints) -> Filled:
    """Fill one kind from the members' first days ``begin`` (members,) on.

    Members are run in groups of like speed, so that quick ones need not be followed for long.
    """
    speed = case.scraps_kg[:, case.planned].mean(axis=1)
    groups = np.array_split(np.argsort(-speed), min(_GROUPS, case.members))
    parts = abreast(lambda group: _fill_group(case.pick(group), kind, season, begin[group]), groups)
    return _joined(parts, np.argsort(np.concatenate(groups)))


def _joined(parts: list[Filled], order: Ints) -> Filled:
    """Groups put together again in the members' own order; levels go on at their last value."""
    days = max(part.level.shape[1] for part in parts)

    def whole(name: str) -> Floats:
        columns = [getattr(part, name) for part in parts]
        if name == "level":
            columns = [np.pad(c, ((0, 0), (0, days - c.shape[1])), mode="edge") for c in columns]
        return np.concatenate(columns)[order]

    names = [field.name for field in fields(Filled) if field.name != "season"]
    return replace(parts[0], **{name: whole(name) for name in names})  # type: ignore[arg-type]


def _fill_group(case: Case, kind: Kind, season: str, begin: Ints) -> Filled:
    offer, course = _offered_until_full(case, kind, begin)
    scraps_kg = _scraps_taken(offer.scraps_kg, course.layers_taken)
    days = np.arange(course.liquid_m3.shape[1])
    last = np.clip(course.full_day, 1, offer.feeding.day[-1] + 1)
    filling = days < last[:, None]
    return Filled(
        season=season,
        full_day=_days_to_fill(course.full_day, scraps_kg, offer),
        scraps_kg=_to_the_brim(scraps_kg, course),
        taken_kg=course.fed_kg,
        liquid_share=course.liquid_m3.sum(axis=1) / scraps_kg,
        daily_liquid_m3=(course.liquid_m3 * filling).sum(axis=1) / filling.sum(axis=1),
        level=course.level_share,
        ferment_kg=course.ferment.fresh_kg,
        ferment_nitrogen_kg=course.ferment.nitrogen_kg,
        failed=course.failed,
    )


def _offered_until_full(case: Case, kind: Kind, begin: Ints) -> tuple[Offers, vessel.Course]:
    """A filling with so much on offer that few stay unfilled, while scraps come at all.

    A vessel that drains takes more than its room holds at once.
    """
    times = _SLACK
    while True:
        offer = offers(case, kind, begin, times)
        course = vessel.run(
            kind.vessel,
            offer.feeding,
            offer.temperature_c,
            case.parameters,
            vessel.Settings(
                openings_per_layer=offer.openings_per_layer,
                tolerance_ph=_TOLERANCE_PH,
                rest_days=_REST_DAYS,
                plate_kg=None if kind.plate_known else case.parameters["site.vessel.plate_mass"],
            ),
        )
        unfilled = float(np.mean(~np.isfinite(course.full_day)))
        if unfilled <= 2 * _SLOW or _days_followed(case, kind, begin, times) >= _LONGEST:
            return offer, course
        times *= _MORE


def _scraps_taken(offered_kg: Floats, layers_taken: Floats) -> Floats:
    """Scraps in the layers that went in: the first so many that weigh anything."""
    number = np.cumsum(offered_kg > 0, axis=1)
    return np.asarray((offered_kg * (number <= layers_taken[:, None])).sum(axis=1))


def _days_to_fill(full_day: Floats, scraps_kg: Floats, offer: Offers) -> Floats:
    """Days of feeding until full; of the last day only the share of its scraps that went in."""
    day = offer.feeding.day
    before = (offer.scraps_kg * (day < full_day[:, None])).sum(axis=1)
    that_day = (offer.scraps_kg * (day == full_day[:, None])).sum(axis=1)
    share = (scraps_kg - before) / np.where(that_day > 0, that_day, 1)
    return full_day + np.where(that_day > 0, share, 0)


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
    openings_per_layer: float | Floats


def offers(case: Case, kind: Kind, begin: Ints, times: float = _SLACK) -> Offers:
    """Layers and warmth from the members' first days ``begin`` (members,) on.

    Where a filling takes longer than ``_MOST_OFFERS`` layers, several days make one layer; where
    a day's scraps stand high, a day makes several. ``times``: what is on offer, over the mass of
    water in the vessel's room.
    """
    members = len(begin)
    parts, layers_a_day = portions_per_day(case, kind), layers_per_day(case, kind)
    days = _days_followed(case, kind, begin, times)
    step = max(1, -(-days // _MOST_OFFERS)) if parts == 1 else 1
    days = -(-days // step) * step
    rows = np.arange(members)[:, None]
    daily = case.scraps_kg[rows, begin[:, None] + np.arange(days)]
    one_layer = dosing(case, kind).layer_kg(daily / layers_a_day, kind.vessel.section_m2)
    bran = one_layer * layers_a_day

    def layers(amounts: Floats) -> Floats:
        several = amounts.reshape(members, days // step, step).sum(axis=2)
        return np.repeat(several / parts, parts, axis=1)

    mass = layers(daily)
    day = np.repeat(np.arange(0, days, step, dtype=np.float64), parts)
    carrier = scraps.bran_batch(layers(bran), case.site.bran.carrier, None, case.parameters)
    batch = Batch(case.mix.amounts[:, None, :]).times(mass) + carrier
    warmth = case.room_c[rows, begin[:, None] + np.arange(days + _REST_DAYS)]
    opened = (
        kind.opened_per_day if kind.opened_known else case.parameters["site.vessel.opened_per_day"]
    )
    openings = opened * step / parts
    return Offers(mass, vessel.Feeding(day, batch, case.pieces), warmth, openings)


def _days_followed(case: Case, kind: Kind, begin: Ints, times: float) -> int:
    """Days in which all but the slowest members have more on offer than a vessel takes."""
    ahead = case.scraps_kg[np.arange(len(begin))[:, None], begin[:, None] + np.arange(_LONGEST)]
    enough = times * kind.vessel.usable_m3 * _DENSEST_KG_M3
    reached = (np.cumsum(ahead, axis=1) >= enough).argmax(axis=1) + 1
    reached = np.where(ahead.sum(axis=1) >= enough, reached, _LONGEST)
    return int(np.quantile(reached, 1 - _SLOW, method="higher"))


def first_days(case: Case, season: str) -> Ints:
    """A day of the season for each member, spread evenly over it; the next with scraps."""
    days = case.days_in(season)
    places = np.random.default_rng(case.seed).permutation(case.members)
    return next_with_scraps(case, np.asarray(days[places * len(days) // case.members]))


def next_with_scraps(case: Case, days: Ints) -> Ints:
    """The first day on which scraps come, on or after each member's day, both ``(members,)``; the
    day itself where none come within the days that are searched."""
    rows, span = np.arange(case.members)[:, None], np.arange(_SEARCH)
    came = case.scraps_kg[rows, days[:, None] + span] > 0
    return np.asarray(days + came.argmax(axis=1))
