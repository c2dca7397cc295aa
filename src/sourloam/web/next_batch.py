"""The next batch of bran: how much, of what, at what cost, ready when, good until when."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Literal, cast

import numpy as np
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from sourloam import bran
from sourloam.bran.answer import usual_dose
from sourloam.bran.contract import Answer, Weighed
from sourloam.bran.making import Batch
from sourloam.bran.steps import Setting
from sourloam.bran.supplying import lasting_days, weakening
from sourloam.evidence import Parameters, book
from sourloam.ledger import fold
from sourloam.ledger.lot_standing import (
    Demand,
    Standing,
    Way,
    ahead,
    demand,
    in_store,
    lead,
    under_way,
    way_of,
)
from sourloam.ledger.state import PlaceState
from sourloam.numerics import Range
from sourloam.site import Site
from sourloam.web import lot_words as lw
from sourloam.web import wording as w

_MEMBERS, _SEED = 100, 1
_LEAST_KG, _MOST_KG = 0.1, 2000.0
_GRAMS = 1000.0
_PRICES = {
    "carrier_price": "carrier",
    "sweet_price": "sugar",
    "inoculum_price": "inoculum",
    "energy_price": "energy",
    "bag_price": "bag",
}
_WATER = gettext_noop("water")


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
    wanted_of = demand(place, site, today)
    way = way_of(place, site)
    own = None if site is None else site.bran.dose
    story = ahead(place, site, today)
    start_by = story.start_by if story else None
    runs_out = story.runs_out if story else None
    try:
        if wanted_of is None:
            answer = _answered(way, 1.0, today, units, _prices(place), own)
            return NextBatch(answer, None, start_by, runs_out)
        left = _left(place, site, today)
        wanted = _wanted(_made(way, 1.0), way, wanted_of, left, today, own, runs_out)
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


def _left(place: PlaceState, site: Site | None, today: dt.date) -> list[tuple[float, dt.date]]:
    """What may still be used, with the day until which."""
    found = [(s.lot.left_kg, s.used_until) for s in in_store(place, site, today) if s.usable]
    far = today + dt.timedelta(days=366)
    coming = [(lot.mixed.body.mass_kg, far) for lot in under_way(place) if lot.mixed is not None]
    return found + coming


def _wanted(
    made: Batch, way: Way, asked: Demand, left: list[tuple[float, dt.date]], today: dt.date,
    own: float | None, runs_out: dt.date | None,
) -> Wanted:  # fmt: skip
    """What the weeks ask for in which such a batch is good, less what will be left by then."""
    days = lasting_days(made)
    before = lead(way)
    first = today + dt.timedelta(days=before)
    until_then = asked.over(before)
    stock = sum(kg for kg, until in left if until >= first)
    over = max(stock - until_then, 0.0)
    whole = asked.over(before + days) - until_then
    more = weakening(made, days, usual_dose(own))
    if whole * more - over < _LEAST_KG:  # what is there lasts longer: the batch after that
        over, first = 0.0, max(first, runs_out or first)
    parts = (whole * part * more - over for part in (asked.low, 1.0, asked.high))
    low, kg, high = (min(max(part, _LEAST_KG), _MOST_KG) for part in parts)
    return Wanted(_about(kg), low, high, days, first)


def _about(kg: float) -> float:
    """To two digits: the demand is not known better, and a batch is followed through its life only
    once for amounts that are told alike."""
    return float(f"{kg:.2g}")


def headline(
    found: NextBatch, stock: tuple[Standing, ...], today: dt.date, units: str, making: bool = True
) -> str:
    """What a coordinator asks first; ``making``: bran is made here rather than ordered."""
    if found.wanted is None:
        return _("Bran in store") if stock else _("Bran")
    if found.runs_out is None:
        return _("There is bran for a year: nothing to make")
    mass = w.kg(round(found.wanted.kg, 1), units)
    if found.start_by is not None and (found.start_by - today).days > 6:
        later = _("Nothing to make this week; mix the next batch by %(day)s")
        if not making:
            later = _("Nothing to order this week; order the next bran by %(day)s")
        return later % {"day": w.day(found.start_by)}
    if making:
        return _("Make %(mass)s of bran this week") % {"mass": mass}
    return _("Order %(mass)s of bran this week, or make it") % {"mass": mass}


def facts(found: NextBatch, units: str) -> list[dict[str, str]]:
    """The figures, each with its range."""
    answer = found.answer
    if answer is None:
        return []
    rows = []
    if found.wanted is not None:
        rows.append(_how_much(found.wanted, units))
    rows += [_cost(answer), _ready(answer), _good(answer)]
    rows.append(
        {
            "of": _("Strong enough when packed"),
            "middle": lw.in_100(answer.ages[0].chance_good),
            "range": _("possible batches; a test tells"),
        }
    )
    return rows


def _how_much(wanted: Wanted, units: str) -> dict[str, str]:
    return {
        "of": _("To make, for %(days)d days from %(day)s")
        % {"days": wanted.days, "day": w.short_day(wanted.first)},
        "middle": w.kg(round(wanted.kg, 1), units),
        "range": w.kg_range(round(wanted.low, 1), round(wanted.high, 1), units),
    }


def _cost(answer: Answer) -> dict[str, str]:
    total, each = answer.cost.total, answer.cost.per_kg
    if total is None or each is None:
        return {"of": _("Cost"), "middle": "–", "range": _("give your prices below")}
    return {
        "of": _("Cost, in your money"),
        "middle": _money(total.median),
        "range": _("%(low)s – %(high)s; %(each)s a kg")
        % {"low": _money(total.low), "high": _money(total.high), "each": _money(each.median)},
    }


def _money(value: float | None) -> str:
    return w.with_comma(f"{value or 0:.2f}")


def _ready(answer: Answer) -> dict[str, str]:
    span = ""
    if answer.drying is not None and answer.drying.days.low is not None:
        closed = answer.steps[0].date + dt.timedelta(days=answer.souring.closed_days + 1)
        first = closed + dt.timedelta(days=int(np.ceil(answer.drying.days.low)))
        last = closed + dt.timedelta(days=int(np.ceil(answer.drying.days.high or 0)))
        span = f"{w.short_day(first)} – {w.short_day(last)}"
    return {"of": _("Ready, if mixed today"), "middle": w.day(answer.ready), "range": span}


def _good(answer: Answer) -> dict[str, str]:
    packed = answer.ready - dt.timedelta(days=1)
    return {
        "of": _("Good until, by the middle"),
        "middle": w.day(answer.best_before),
        "range": f"{_day(packed, answer.good_for.low)} – {_day(packed, answer.good_for.high)}",
    }


def _day(packed: dt.date, days: float | None) -> str:
    return w.short_day(packed + dt.timedelta(days=int(days or 0)))


def weigh(answer: Answer, units: str) -> list[dict[str, str]]:
    """What to weigh out."""
    return [
        {
            "what": _(thing.name),
            "mass": _amount(thing.mass, units),
            "range": _span(thing.mass, units),
            "cups": _cups(thing),
        }
        for thing in answer.weighed
    ]


def _amount(mass: Range, units: str) -> str:
    if mass.median is None:
        return ""
    grams = _in_grams(mass)
    return w.kg(mass.median, units) if grams is None else w.grams(grams * mass.median, units)


def _in_grams(mass: Range) -> float | None:
    """Grams in the range's unit where it is told in grams: below a kilogram; else None."""
    if mass.unit != "kg":
        return 1.0
    return _GRAMS if mass.median is not None and mass.median < 1 else None


def _span(mass: Range, units: str) -> str:
    if mass.low is None or mass.high is None or mass.low == mass.high:
        return ""
    grams = _in_grams(mass)
    if grams is None:
        return w.kg_range(mass.low, mass.high, units)
    return w.grams_range(grams * mass.low, grams * mass.high, units)


def _cups(thing: Weighed) -> str:
    if thing.cups is None or thing.cups.median is None:
        return ""
    return _("%(n)s level cups") % {"n": w.number(thing.cups.median, 2)}


def keeping(answer: Answer, way: Way, units: str, wanted: Wanted | None = None) -> list[str]:
    """What "good until" rests on: where it is kept, how dry, what the cold gives; and that a
    batch is made for longer than that where it is so."""
    lines = _keeping(answer, way, units)
    if wanted is not None and (answer.good_for.median or 0) < wanted.days:
        lines.append(
            _(
                "It is made for %(days)d days, longer than the middle of the forecast holds: keep "
                "it cold, and test it before you rely on it."
            )
            % {"days": wanted.days}
        )
    return lines


def _keeping(answer: Answer, way: Way, units: str) -> list[str]:
    said: dict[str, Any] = {
        "store": w.warmth(way.store_c, units),
        "weeks": _weeks(answer.good_for),
        "cool": _weeks(answer.good_for_cool),
    }
    if answer.drying is None:
        moist = _(
            "Kept moist, closed and sour at %(store)s it stays strong enough for %(weeks)s; in "
            "a refrigerator for %(cool)s."
        )
        return [moist % said]
    said["activity"] = w.number(answer.drying.activity.median or 0, 2)
    dry = _(
        "Kept at %(store)s and a water activity of %(activity)s it stays strong enough for "
        "%(weeks)s; in a refrigerator for %(cool)s."
    )
    doubt = _(
        "That it keeps a year is often said; no count of living cells supports it. After that "
        "day it is not spoilt: a test that passes counts for more than this forecast."
    )
    return [dry % said, doubt]


def dryness(answer: Answer) -> str:
    """A word where this air does not dry it enough."""
    if answer.drying is None or answer.drying.activity.median is None:
        return ""
    activity = answer.drying.activity.median
    refuse, warn = (book()[f"bran_keeping.activity.{n}"].value for n in ("refuse", "warn"))
    said = {"activity": w.number(activity, 2), "refuse": w.number(refuse, 2)}
    if activity > refuse:
        return (
            _(
                "This air is too damp: it dries bran to a water activity of %(activity)s only, and "
                "moulds can grow above %(refuse)s. Finish it with gentle warmth, or do not pack it."
            )
            % said
        )
    if activity > warn:
        return (
            _(
                "This air dries bran to a water activity of %(activity)s: safe from moulds, but "
                "its cells die fast. Finish it with gentle warmth, or beside a drying agent."
            )
            % said
        )
    return ""


def _weeks(days: Range) -> str:
    low, middle, high = (round((x or 0.0) / 7) for x in (days.low, days.median, days.high))
    return _("%(n)d weeks (%(low)d – %(high)d)") % {"n": middle, "low": low, "high": high}


def how(found: NextBatch, asked: Demand | None, way: Way, units: str) -> list[str]:
    """How the figures came about, and what moves them most."""
    lines = []
    if asked is not None:
        lines.append(
            _(
                "The demand is what your layers of the last %(days)d days took, carried on with "
                "the closed days and seasons of the set-up; how unsure that is gives its range. "
                "What is still good then is taken off, and more is made where bran weakens."
            )
            % {"days": asked.seen_days}
        )
    answer = found.answer
    if answer is None:
        return lines
    lines += [
        _(
            "The batch is followed through %(n)d possible courses of souring, drying and keeping "
            "at %(room)s: closed %(closed)d days, by practice and by the vessel's own model."
        )
        % {
            "n": answer.members,
            "room": w.warmth(way.room_c, units),
            "closed": answer.souring.closed_days,
        },
        _(
            "What moves it most: how many cells live after drying, how warm it is kept, how dry it "
            "is. Most of these values are our judgement; sourloam sources bran_keeping lists them."
        ),
    ]
    return lines
