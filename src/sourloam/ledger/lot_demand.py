"""Bran that layers will ask for against what is in store: until when it lasts, when to get more.

A layer asks for what it was given of late, or, where that was too little, for what the strength of
its bran asks for: every lot is counted at its own dose, bran that is still to come at the usual
one.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sourloam.bran.lots import Outlook, Stocked, outlook
from sourloam.evidence import book
from sourloam.ledger import bodies as b
from sourloam.ledger.amounts import layer_kg, usual_mix
from sourloam.ledger.lot_dose import fresh_g_per_kg, in_use, is_short, spooned
from sourloam.ledger.lot_standing import Standing, in_store, lead, makes, under_way, way_of
from sourloam.ledger.state import PlaceState, Record
from sourloam.site import Site
from sourloam.site.conversion import to_supplies

_GRAMS = 1000.0
_AHEAD_DAYS = 366
_WEEK = 7
_TINY = 1e-9
_LEAST_ORDER_KG = 0.1
_Z = 1.28  # method: 10 and 90 % points of a normal spread


@dataclass(frozen=True)
class Demand:
    """Bran that layers will ask for: kg a day from today on; ``low`` and ``high`` are factors."""

    daily_kg: tuple[float, ...]
    low: float
    high: float
    seen_days: int

    def over(self, days: int) -> float:
        """Kg over so many days."""
        return math.fsum(self.daily_kg[:days])


@dataclass(frozen=True)
class Pace:
    """The last layer that had too little: what it was given and what the lot in use asks for on
    it, g; with the first day without good bran where layers go on like that, or get what they ask
    for; None beyond a year."""

    lot: str
    given_g: float
    asked_g: float
    given_until: dt.date | None
    asked_until: dt.date | None


@dataclass(frozen=True)
class _Layers:
    """Layers of the last weeks whose bran was written down: ``each`` with its kg of scraps (None
    where nobody can tell) and its g of bran."""

    records: tuple[Record[b.Fed], ...]
    each: tuple[tuple[float | None, float], ...]
    handed_kg: float

    @property
    def given_kg(self) -> float:
        """Bran that was given."""
        return math.fsum(grams for _kg, grams in self.each) / _GRAMS

    def asked_kg(self, g_per_kg: float | None) -> float:
        """Bran that these layers ask for at such a dose; None: what they were given."""
        return math.fsum(_asked_g(kg, grams, g_per_kg) for kg, grams in self.each) / _GRAMS

    def times(self, g_per_kg: float | None, base: float | None, days: float) -> float:
        """How many times as much goes in a day at a dose as at another; what is handed out is
        the same at both."""
        ends = (self.asked_kg(dose) / days + self.handed_kg for dose in (g_per_kg, base))
        more, less = ends
        return more / less if less > _TINY else 1.0


def _asked_g(kg: float | None, given_g: float, g_per_kg: float | None) -> float:
    if kg is None or g_per_kg is None:
        return given_g
    wanted = spooned(g_per_kg * kg)
    return wanted if is_short(given_g, wanted) else given_g


def dose_in_use(place: PlaceState, site: Site | None, today: dt.date) -> float:
    """What a kilogram of scraps asks for today, g: of the lot in use, else of new bran."""
    lot = _lot_in_use(place, today)
    if lot is None or lot.today.advised_g_per_kg is None:
        return fresh_g_per_kg(site)
    return lot.today.advised_g_per_kg


def layer_g_per_kg(place: PlaceState, site: Site | None, today: dt.date) -> float:
    """Bran that layers will take to a kilogram of scraps, g: as ``demand`` counts it."""
    dose = dose_in_use(place, site, today)
    each = [(kg, grams) for kg, grams in _layers(place, site, today).each if kg]
    kg = math.fsum(kg for kg, _grams in each)
    asked = math.fsum(_asked_g(*one, dose) for one in each)
    return asked / kg if kg else dose


def times_usual(place: PlaceState, site: Site | None, today: dt.date) -> float:
    """The bran that layers will take, against the usual dose."""
    return layer_g_per_kg(place, site, today) / max(fresh_g_per_kg(site), _TINY)


def demand(place: PlaceState, site: Site | None, today: dt.date) -> Demand | None:
    """What layers like those of the last weeks ask for of the lot in use, carried on with the
    site's weeks, seasons and closed days, and what was handed out of late; None where neither
    was."""
    return _demand(place, site, today, dose_in_use(place, site, today))


def fresh_demand(place: PlaceState, site: Site | None, today: dt.date) -> Demand | None:
    """The same of bran that is new and strong: what the next batch is reckoned by."""
    return _demand(place, site, today, fresh_g_per_kg(site))


def _demand(
    place: PlaceState, site: Site | None, today: dt.date, g_per_kg: float | None
) -> Demand | None:
    layers = _layers(place, site, today)
    used, given = layers.asked_kg(g_per_kg), layers.handed_kg
    if not used and not given:
        return None
    seen = _seen_days(layers, today)
    shape = _shape(site, today, seen)
    base = used / max(float(shape[:seen].sum()), _TINY)
    daily = tuple(float(base * factor) + given for factor in shape[seen:])
    off = _unsure(layers.records, today, seen)
    return Demand(daily, math.exp(-_Z * off), math.exp(_Z * off), seen)


def _layers(place: PlaceState, site: Site | None, today: dt.date) -> _Layers:
    since = today - dt.timedelta(days=int(book()["ledger.due.habit"].value) - 1)
    found = (r for r in place.layers_since(since) if r.day <= today)
    recent = tuple(sorted(found, key=lambda r: (r.at, r.entry)))
    mix = usual_mix(site)
    each = tuple(
        (layer_kg(r.body, place, mix), r.body.bran_g) for r in recent if r.body.bran_g is not None
    )
    return _Layers(recent, each, _handed_a_day(place, today))


def _seen_days(layers: _Layers, today: dt.date) -> int:
    first = min((r.day for r in layers.records), default=today)
    return max((today - first).days, _WEEK)


def _handed_a_day(place: PlaceState, today: dt.date) -> float:
    """Kg a day that were handed out in twice the time that an order is meant for."""
    back = 2 * int(book()["ledger.due.bran_stock"].value)
    handed = (r for lot in place.lots for r in lot.handed if 0 <= (today - r.day).days < back)
    return math.fsum(r.body.mass_kg for r in handed) / back


def _shape(site: Site | None, today: dt.date, seen: int) -> NDArray[np.float64]:
    """Scraps of each day against the mean, from ``seen`` days ago until a year from now."""
    first = today - dt.timedelta(days=seen)
    days = seen + _AHEAD_DAYS
    if site is None:
        return np.ones(days)
    last = first + dt.timedelta(days=days)
    supplies = to_supplies(
        site.scraps, site.place, site.week, site.months, site.closed, (first, last)
    )
    dates = np.arange(np.datetime64(first), np.datetime64(last))
    total = np.zeros(days)
    for supply in supplies:
        total += supply.calendar.factors(dates)
    return total if total[:seen].sum() > 0 else np.ones(days)


def _unsure(recent: Sequence[Record[b.Fed]], today: dt.date, seen: int) -> float:
    """Spread of the mean use, as a power of e: from week to week, and never below what a few
    weeks can tell of the next ones."""
    least = book()["ledger.bran.level"].value
    weeks = [0.0] * max(seen // _WEEK, 1)
    for layer in recent:
        back = (today - layer.day).days // _WEEK
        if back < len(weeks):
            weeks[back] += layer.body.bran_g or 0.0
    mean = float(np.mean(weeks))
    if len(weeks) < 2 or not mean:
        return 2 * least
    return max(least, float(np.std(weeks, ddof=1)) / mean / math.sqrt(len(weeks)))


def stocked(place: PlaceState, site: Site | None, today: dt.date) -> tuple[Stocked, ...]:
    """What may go on layers until when, batches on their way too; a weak lot with how many times
    the bran it asks for that new bran would."""
    layers, fresh = _layers(place, site, today), fresh_g_per_kg(site)
    days = _seen_days(layers, today)
    there = [
        Stocked(
            s.lot.id, s.lot.left_kg, s.used_until,
            layers.times(s.today.advised_g_per_kg, fresh, days),
        )
        for s in in_store(place, site, today)
        if s.usable
    ]  # fmt: skip
    far = today + dt.timedelta(days=_AHEAD_DAYS)
    coming = [
        Stocked(lot.id, lot.mixed.body.mass_kg, far)
        for lot in under_way(place)
        if lot.mixed is not None
    ]
    return (*there, *coming)


def ahead(place: PlaceState, site: Site | None, today: dt.date) -> Outlook | None:
    """Stock against demand; None where nothing is used. Batches on their way count as stock."""
    found = fresh_demand(place, site, today)
    if found is None:
        return None
    return outlook(stocked(place, site, today), found.daily_kg, today, _lead(place, site))


def _lead(place: PlaceState, site: Site | None) -> int:
    if makes(place):
        return lead(way_of(place, site))
    return int(book()["ledger.due.bran_lead"].value)


def pace(place: PlaceState, site: Site | None, today: dt.date) -> Pace | None:
    """Until when bran lasts by what layers ask for and by what they were given; None where they
    had enough in all, or where no lot may be used."""
    lot, layers = _lot_in_use(place, today), _layers(place, site, today)
    told = ahead(place, site, today)
    if lot is None or told is None:
        return None
    dose = lot.today.advised_g_per_kg
    short = [pair for one in layers.each if is_short(*(pair := (one[1], _asked_g(*one, dose))))]
    if not short or not is_short(layers.given_kg, layers.asked_kg(dose)):
        return None
    given = _demand(place, site, today, None)
    as_given = [Stocked(s.lot, s.mass_kg, s.good_until) for s in stocked(place, site, today)]
    until = None if given is None else outlook(as_given, given.daily_kg, today, 0).runs_out
    return Pace(lot.lot.id, *short[-1], until, told.runs_out)


def order_kg(place: PlaceState, site: Site | None, today: dt.date) -> float:
    """What one order of bran is to bring."""
    found = fresh_demand(place, site, today)
    days = int(book()["ledger.due.bran_stock"].value)
    return 0.0 if found is None else max(round(found.over(days), 1), _LEAST_ORDER_KG)


def good_kg(place: PlaceState, site: Site | None, today: dt.date) -> float:
    """Bran in store that may go on a layer."""
    found = (s.lot.left_kg for s in in_store(place, site, today) if s.usable)
    return math.fsum(max(kg, 0.0) for kg in found)


def _lot_in_use(place: PlaceState, today: dt.date) -> Standing | None:
    turns = (turn for vessel in place.vessels for turn in vessel.turns if turn.layers)
    newest = max((t.layers[-1] for t in turns), key=lambda r: (r.at, r.entry), default=None)
    return in_use(place, None if newest is None else newest.body.lot, today)[0]
