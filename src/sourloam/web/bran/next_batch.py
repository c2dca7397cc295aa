"""The next batch of bran: how much, of what, at what cost, ready when, good until when."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal, cast

import numpy as np
from django.utils.translation import gettext as _

from sourloam import bran
from sourloam.bran.answer import usual_dose
from sourloam.bran.contract import Answer
from sourloam.bran.lots import Stocked
from sourloam.bran.making import Batch
from sourloam.bran.steps import Setting
from sourloam.bran.supplying import lasting_days, weakening
from sourloam.evidence import Parameters, book
from sourloam.ledger import fold
from sourloam.ledger.lot_demand import Demand, ahead, fresh_demand, stocked
from sourloam.ledger.lot_standing import Way, lead, way_of
from sourloam.ledger.state import PlaceState
from sourloam.site import Site
from sourloam.web import wording as w

_MEMBERS, _SEED = 100, 1
_LEAST_KG, _MOST_KG = 0.1, 2000.0
_PRICES = {
    "carrier_price": "carrier",
    "sweet_price": "sugar",
    "inoculum_price": "inoculum",
    "energy_price": "energy",
    "bag_price": "bag",
}


@dataclass(frozen=True)
class Wanted:
    """How much the next batch is to give: kg by the middle of the demand, and its range."""

    kg: float
    low: float
    high: float
    days: int
    first: dt.date


@dataclass(frozen=True)
class NextBatch:
    """What the page shows of it; ``fault`` says why none can be reckoned."""

    answer: Answer | None = None
    wanted: Wanted | None = None
    start_by: dt.date | None = None
    runs_out: dt.date | None = None
    fault: str = ""


@lru_cache(maxsize=1)
def _drawn() -> Parameters:
    return bran.draw(book(), _MEMBERS, np.random.default_rng(_SEED))


def _case(way: Way, kg: float) -> bran.Case:
    drying = cast(Literal["air", "fan", "sun", "oven", "none"], way.drying)
    return bran.Case(
        bran.Wish(kg, bran.Mixture({way.carrier: 1.0}), way.sweet, way.inoculum),
        room_c=way.room_c,
        drying=bran.Drying(drying, way.room_c, way.humidity),
        store_c=way.store_c,
    )


@lru_cache(maxsize=64)
def _made(way: Way, kg: float) -> Batch:
    return bran.make_batch(_case(way, kg), _drawn())


def ready() -> None:
    """Make a batch once: that loads the compiled model before a page wants it."""
    _made(way_of(fold(()), None), 1.0)


@lru_cache(maxsize=128)
def _answered(
    way: Way, kg: float, start: dt.date, system: str, prices: tuple[tuple[str, float], ...],
    own_dose: float | None,
) -> Answer:  # fmt: skip
    box = None if way.container_l is None else way.container_l / 1000
    measures = (
        ("us_cup", "us_tablespoon") if system == "us" else ("metric_cup", "metric_tablespoon")
    )
    setting = Setting(start, system, box)
    return bran.answer(
        _made(way, kg), setting, dict(prices), _SEED, measures=measures, own_dose=own_dose
    )


def next_batch(place: PlaceState, site: Site | None, today: dt.date, units: str) -> NextBatch:
    """The batch that this place would mix today."""
    wanted_of = fresh_demand(place, site, today)
    way = way_of(place, site)
    own = None if site is None else site.bran.dose
    story = ahead(place, site, today)
    start_by = story.start_by if story else None
    runs_out = story.runs_out if story else None
    try:
        if wanted_of is None:
            answer = _answered(way, 1.0, today, units, _prices(place), own)
            return NextBatch(answer, None, start_by, runs_out)
        stock = stocked(place, site, today)
        wanted = _wanted(_made(way, 1.0), way, wanted_of, stock, today, own, runs_out)
        kg = round(wanted.kg, 1)
        answer = _answered(way, kg, today, units, _prices(place), own)
    except ValueError as error:
        return NextBatch(None, None, start_by, runs_out, _told(str(error), way, units))
    return NextBatch(answer, wanted, start_by, runs_out)


def _told(fault: str, way: Way, units: str) -> str:
    """Why bran can't be made so, in the reader's words."""
    if "dry" in fault:
        return _(
            "The air is too damp to dry bran this way: dry it in a vented cabinet, or in drier "
            "air, and say so under “How we make it”."
        )
    return _(
        "At %(room)s bran can't be soured: between 12 and 40 °C it can. Give it another room."
    ) % {"room": w.warmth(way.room_c, units)}


def _prices(place: PlaceState) -> tuple[tuple[str, float], ...]:
    if not place.stores.bran_ways:
        return ()
    said = place.stores.bran_ways[-1].body
    found = [(name, getattr(said, field)) for field, name in _PRICES.items()]
    return tuple((name, price) for name, price in found if price is not None)


def _wanted(
    made: Batch, way: Way, asked: Demand, stock: Sequence[Stocked], today: dt.date,
    own: float | None, runs_out: dt.date | None,
) -> Wanted:  # fmt: skip
    """What the weeks ask for in which such a batch is good, less what will be left by then."""
    days = lasting_days(made)
    before = lead(way)
    first = today + dt.timedelta(days=before)
    until_then = asked.over(before)
    then = sum(lot.worth_kg for lot in stock if lot.good_until >= first)
    over = max(then - until_then, 0.0)
    whole = asked.over(before + days) - until_then
    more = weakening(made, days, usual_dose(own))
    if (whole - over) * more < _LEAST_KG:  # what is there lasts longer: the batch after that
        over, first = 0.0, max(first, runs_out or first)
    parts = ((whole * part - over) * more for part in (asked.low, 1.0, asked.high))
    low, kg, high = (min(max(part, _LEAST_KG), _MOST_KG) for part in parts)
    return Wanted(_about(kg), low, high, days, first)


def _about(kg: float) -> float:
    """To two digits: the demand is not known better, and a batch is followed through its life only
    once for amounts that are told alike."""
    return float(f"{kg:.2g}")
