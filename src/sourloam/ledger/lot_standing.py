"""What a place's lots of bran are worth today, and how bran is made and kept there."""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from sourloam import bran
from sourloam.bran.drying import METHODS, Drying
from sourloam.bran.kept import Ageing, Kept, LotToday
from sourloam.bran.souring import usual_days
from sourloam.bran.supplying import lead_days
from sourloam.bran.trials import EVIDENCE as TRIALS
from sourloam.bran.trials import Trial, verdict
from sourloam.evidence import Parameters, book
from sourloam.ledger import bran_bodies
from sourloam.ledger.lots import LotState, WarnedOf
from sourloam.ledger.state import PlaceState, Record
from sourloam.site import Site

_MEMBERS, _SEED = 300, 1  # method: draws behind a lot's strength
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
        return None if self.passed is not None and self.passed >= found.day else found

    @property
    def passed(self) -> dt.date | None:
        """The last day on which a test of its living cells passed here."""
        trials = ((r.day, trial_of(r, self.first)) for r in self.lot.tests)
        good = (d for d, t in trials if t.kind != "slurry" and verdict(t, _central()) == "pass")
        return max(good, default=None)


@dataclass(frozen=True)
class Facts:
    """What a maker tells of a lot to whoever gets of it."""

    strength: float | None
    age_days: int | None
    moisture: float | None
    carrier: str


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
    ids = book().ids(*bran.EVIDENCE, *TRIALS)
    return book().central(ids)


def makes(place: PlaceState) -> bool:
    """Whether bran is made here rather than bought."""
    return any(lot.made_here for lot in place.lots)


def under_way(place: PlaceState) -> tuple[LotState, ...]:
    """Batches that are souring or drying."""
    return tuple(lot for lot in place.lots if lot.stage in ("souring", "dried"))
