"""What a place's lots are worth today, its stock against its demand, when to mix the next batch."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sourloam import bran
from sourloam.bran.drying import METHODS, Drying
from sourloam.bran.kept import Ageing, Kept, LotToday
from sourloam.bran.lots import Outlook, Stocked, outlook
from sourloam.bran.souring import usual_days
from sourloam.bran.supplying import lead_days
from sourloam.bran.trials import EVIDENCE as TRIALS
from sourloam.bran.trials import Trial, verdict
from sourloam.evidence import Parameters, book
from sourloam.ledger import bodies as b
from sourloam.ledger import bran_bodies
from sourloam.ledger.lots import LotState, WarnedOf
from sourloam.ledger.state import PlaceState, Record
from sourloam.site import Site
from sourloam.site.conversion import to_supplies

_MEMBERS, _SEED = 300, 1  # method: draws behind a lot's strength
_AHEAD_DAYS = 366
_WEEK = 7
_TINY = 1e-9
_Z = 1.28  # method: 10 and 90 % points of a normal spread
_USUAL_HUMIDITY = 0.5  # method: between a heated room and a shed; what is asked for first
_DRIEST, _DAMPEST = 0.05, 0.95  # method: air that the model of drying takes
_POWERS = (3.0, 11.0)  # method: strengths that an entry takes
_WARMTH = (-10.0, 45.0)  # method: warmth of a store that the model is asked for


@dataclass(frozen=True)
class Standing:
    """A lot in store with what it is worth today."""

    lot: LotState
    store_c: float
    age_days: int
    today: LotToday
    first: dt.date

    @property
    def best_before(self) -> dt.date:
        """The last day on which it is as likely strong enough as not."""
        return self.day(self.today.good_days.median)

    @property
    def used_until(self) -> dt.date:
        """The last day on which one of ten such lots is still strong enough: after it, none is
        counted as stock."""
        return self.day(self.today.good_days.high)

    def day(self, days: float | None) -> dt.date:
        """A number of days after it came in, as a date."""
        return self.first + dt.timedelta(days=int(days or 0))

    @property
    def usable(self) -> bool:
        """Whether it may go on a layer."""
        good = self.today.advised_g_per_kg is not None and self.lot.recalled is None
        return good and self.warned is None

    @property
    def warned(self) -> WarnedOf | None:
        """What bars it from layers although nobody here found it: a recall elsewhere, or a failed
        test there until one of living cells has passed here since."""
        found = self.lot.warned
        if found is None or found.recalled:
            return found
        trials = [trial_of(r, self.first) for r in self.lot.tests if r.day >= found.day]
        passed = (t.kind != "slurry" and verdict(t, _central()) == "pass" for t in trials)
        return None if any(passed) else found


@dataclass(frozen=True)
class Facts:
    """What a maker tells of a lot to whoever gets of it."""

    strength: float | None
    age_days: int | None
    moisture: float | None
    carrier: str


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
class Way:
    """How bran is made and kept at a place; what nobody said is what is usual."""

    carrier: str
    drying: str
    humidity: float
    inoculum: str
    sweet: str
    room_c: float
    store_c: float
    container_l: float | None


def way_of(place: PlaceState, site: Site | None) -> Way:
    """The place's own way as it last said it."""
    said = place.stores.bran_ways[-1].body if place.stores.bran_ways else bran_bodies.BranWaySet()
    humidity = _USUAL_HUMIDITY if said.humidity is None else said.humidity
    usual = book()["bran_keeping.usual_store"].value
    room = usual if site is None or site.room.temperature_c is None else site.room.temperature_c
    return Way(
        carrier="wheat_bran" if site is None else site.bran.carrier,
        drying=said.drying or METHODS[0],
        humidity=min(max(humidity, _DRIEST), _DAMPEST),
        inoculum=said.inoculum or "bought",
        sweet=said.sweet or "molasses",
        room_c=room,
        store_c=room if said.store_c is None else said.store_c,
        container_l=said.container_l,
    )


def standing(
    lot: LotState, place: PlaceState, site: Site | None, today: dt.date
) -> Standing | None:
    """What a lot is worth on a day; None while it is being made."""
    first = lot.aged_from
    if first is None:
        return None
    kept = _kept(lot, way_of(place, site), first)
    age = max((today - first).days, 0)
    own = None if site is None else site.bran.dose
    return Standing(lot, kept.store_c, age, _today(kept, age, own), first)


def warnings_of(
    place: PlaceState, site: Site | None, name: str, today: dt.date
) -> tuple[WarnedOf, ...]:
    """Of which lots a place warns others who have of them: recalled, or failed by its tests."""
    found = []
    for lot in place.lots:
        if lot.recalled is not None:
            found.append(WarnedOf(lot.id, name, lot.recalled.day, recalled=True))
        elif lot.tests:
            worth = standing(lot, place, site, today)
            if worth is not None and worth.today.condemned:
                found.append(WarnedOf(lot.id, name, lot.tests[-1].day, recalled=False))
    return tuple(found)


def _kept(lot: LotState, way: Way, first: dt.date) -> Kept:
    stated = _said(lot, "strength")
    own = next((r.body.store_c for r in reversed(lot.packed) if r.body.store_c is not None), None)
    carrier = lot.mixed.body.carrier if lot.mixed is not None else None
    moisture = _said(lot, "moisture") if lot.dried is None else lot.dried.body.moisture
    return Kept(
        carrier=carrier or _said(lot, "carrier") or way.carrier,
        store_c=min(max(way.store_c if own is None else own, _WARMTH[0]), _WARMTH[1]),
        bought=not lot.made_here and _said(lot, "age_days") is None,
        moist=_moist(lot, moisture, way),
        moisture=moisture,
        stated=stated,
        tests=tuple(trial_of(r, first) for r in lot.tests),
    )


def _said(lot: LotState, what: str) -> Any:
    """What was last said of a fact when it came in, None where nobody said it."""
    said = (getattr(r.body, what) for r in reversed(lot.came))
    return next((one for one in said if one is not None), None)


def _moist(lot: LotState, moisture: float | None, way: Way) -> bool:
    """Whether it was never dried: by how wet it came, else by how bran is made here."""
    if lot.bought:
        return moisture is not None and moisture >= book()["bran_making.moisture_least"].value
    return way.drying == "none" and lot.dried is None


def handed_on(lot: LotState, place: PlaceState, site: Site | None, today: dt.date) -> Facts | None:
    """What its maker knows of a lot, for whoever gets of it: strength when packed if a test told
    it, age, moisture and carrier; None while it is being made."""
    first = lot.aged_from
    if first is None:
        return None
    way = way_of(place, site)
    kept = _kept(lot, way, first)
    tested = bool(kept.tests) or kept.stated is not None
    strength = _today(kept, 0, None).strength.median if tested else None
    return Facts(
        strength=None if strength is None else min(max(strength, _POWERS[0]), _POWERS[1]),
        age_days=max((today - first).days, 0) if lot.made_here or not kept.bought else None,
        moisture=kept.moisture,
        carrier=kept.carrier,
    )


def trial_of(record: Record[bran_bodies.BranTested], first: dt.date) -> Trial:
    """A test in the bran room's terms."""
    body = record.body
    usual = book()["bran_tests.drop.at"].value
    limits = [book()[f"bran_tests.drop.{n}"].value for n in ("coldest", "hottest")]
    warm = usual if body.temperature_c is None else body.temperature_c
    return Trial(
        body.test,
        math.inf if body.result is None else body.result,
        day=float(max((record.day - first).days, 0)),
        temperature_c=min(max(warm, limits[0]), limits[1]),
    )


@lru_cache(maxsize=1)
def _drawn() -> Parameters:
    return bran.draw_kept(book(), _MEMBERS, np.random.default_rng(_SEED))


@lru_cache(maxsize=400)
def _ageing(kept: Kept) -> Ageing:
    return bran.ageing(kept, _drawn())


@lru_cache(maxsize=2000)
def _today(kept: Kept, age: int, own_dose: float | None) -> LotToday:
    return bran.today(_ageing(kept), age, own_dose)


def in_store(place: PlaceState, site: Site | None, today: dt.date) -> tuple[Standing, ...]:
    """Lots of which something is left, the first to grow old first."""
    found = (standing(lot, place, site, today) for lot in place.lots if lot.stage == "store")
    return tuple(sorted((s for s in found if s is not None), key=lambda s: s.used_until))


def demand(place: PlaceState, site: Site | None, today: dt.date) -> Demand | None:
    """What layers of the last weeks took, carried on with the site's weeks, seasons and closed
    days, and what was handed out of late; None where neither was."""
    habit = int(book()["ledger.due.habit"].value)
    since = today - dt.timedelta(days=habit - 1)
    recent = [r for r in place.layers_since(since) if r.day <= today]
    used = math.fsum(r.body.bran_g or 0.0 for r in recent) / 1000
    given = _handed_a_day(place, today)
    if not used and not given:
        return None
    seen = max((today - min((r.day for r in recent), default=today)).days, _WEEK)
    shape = _shape(site, today, seen)
    base = used / max(float(shape[:seen].sum()), _TINY)
    daily = tuple(float(base * factor) + given for factor in shape[seen:])
    off = _unsure(recent, today, seen)
    return Demand(daily, math.exp(-_Z * off), math.exp(_Z * off), seen)


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


def lead(way: Way) -> int:
    """Days from mixing a batch until it may be used."""
    return _lead(way.carrier, way.drying, way.room_c, way.humidity)


def closed_days(way: Way) -> int:
    """Days that practice keeps a batch closed at this warmth."""
    return usual_days(way.room_c, _central())


@lru_cache(maxsize=100)
def _lead(carrier: str, drying: str, room_c: float, humidity: float) -> int:
    how = Drying(drying, room_c, humidity)
    try:
        return lead_days(carrier, room_c, how, _central())
    except ValueError:  # too cold, too hot or too damp to make it here
        return int(book()["ledger.due.bran_lead"].value)


@lru_cache(maxsize=1)
def _central() -> Parameters:
    """Central values for the lead time and for what a test says."""
    ids = dict.fromkeys(key for prefix in (*bran.EVIDENCE, *TRIALS) for key in book().ids(prefix))
    return book().central(ids)


def ahead(place: PlaceState, site: Site | None, today: dt.date) -> Outlook | None:
    """Stock against demand; None where nothing is used. Batches on their way count as stock."""
    found = demand(place, site, today)
    if found is None:
        return None
    days = lead(way_of(place, site)) if makes(place) else int(book()["ledger.due.bran_lead"].value)
    stock = [
        Stocked(s.lot.id, s.lot.left_kg, s.used_until)
        for s in in_store(place, site, today)
        if s.usable
    ]
    stock += [
        Stocked(lot.id, lot.mixed.body.mass_kg, today + dt.timedelta(days=_AHEAD_DAYS))
        for lot in under_way(place)
        if lot.mixed is not None
    ]
    return outlook(stock, found.daily_kg, today, days)


def makes(place: PlaceState) -> bool:
    """Whether bran is made here rather than bought."""
    return any(lot.made_here for lot in place.lots)


def under_way(place: PlaceState) -> tuple[LotState, ...]:
    """Batches that are souring or drying."""
    return tuple(lot for lot in place.lots if lot.stage in ("souring", "dried"))
