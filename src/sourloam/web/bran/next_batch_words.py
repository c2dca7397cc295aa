"""The next batch of bran in words: how much, what to weigh, what it costs, how long it keeps."""

from __future__ import annotations

import datetime as dt
from typing import Any

import numpy as np
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop, ngettext

from sourloam.bran.contract import Answer, Weighed
from sourloam.evidence import book
from sourloam.ledger.lot_demand import Demand
from sourloam.ledger.lot_standing import Standing, Way
from sourloam.numerics import Range
from sourloam.web import wording as w
from sourloam.web.bran import lot_words as lw
from sourloam.web.bran.next_batch import NextBatch, Wanted

_GRAMS = 1000.0
_WATER = gettext_noop("water")


def headline(
    found: NextBatch, stock: tuple[Standing, ...], today: dt.date, units: str,
    order_kg: float | None = None,
) -> str:  # fmt: skip
    """What a coordinator asks first; ``order_kg`` where bran is ordered rather than made here."""
    if found.wanted is None:
        return _("Bran in store") if stock else _("No bran in store")
    if found.runs_out is None:
        return _("There is bran for a year: nothing to make")
    if found.start_by is not None and (found.start_by - today).days > 6:
        later = _("Nothing to make this week; mix the next batch by %(day)s")
        if order_kg is not None:
            later = _("Nothing to order this week; order the next bran by %(day)s")
        return later % {"day": w.day(found.start_by)}
    if order_kg is None:
        mass = w.about_bran(found.wanted.kg, units)
        return _("Make %(mass)s of bran this week") % {"mass": mass}
    mass = w.about_bran(order_kg, units)
    return _("Order %(mass)s of bran this week, or make it") % {"mass": mass}


def title(found: NextBatch, units: str) -> str:
    """Over the recipe; where nothing tells how much is needed, it is one for a kilogram."""
    if found.wanted is not None or found.answer is None:
        return _("The next batch")
    return _("A batch of %(mass)s") % {"mass": w.bran(found.answer.wanted_kg, units)}


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
        "middle": w.about_bran(wanted.kg, units),
        "range": w.about_bran_range(wanted.low, wanted.high, units),
    }


def _cost(answer: Answer) -> dict[str, str]:
    total, each = answer.cost.total, answer.cost.per_kg
    if total is None or each is None:
        return {
            "of": _("Cost"),
            "middle": "–",
            "range": _("say your prices under “How we make it”"),
        }
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
        "of": _("Then strong enough until about"),
        "middle": w.day(answer.best_before),
        "range": _span_of(packed, answer.good_for),
    }


def _span_of(packed: dt.date, days: Range) -> str:
    """Between which days it stops being strong enough; never a day before it is ready."""
    if (days.low or 0) < 1:
        return _("perhaps never, perhaps until %(day)s") % {"day": _day(packed, days.high)}
    return f"{_day(packed, days.low)} – {_day(packed, days.high)}"


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
    return "" if mass.median is None else w.about_bran(_in_kg(mass, mass.median), units)


def _in_kg(mass: Range, value: float) -> float:
    return value if mass.unit == "kg" else value / _GRAMS


def _span(mass: Range, units: str) -> str:
    if mass.low is None or mass.high is None or mass.low == mass.high:
        return ""
    return w.about_bran_range(_in_kg(mass, mass.low), _in_kg(mass, mass.high), units)


def _cups(thing: Weighed) -> str:
    if thing.cups is None or thing.cups.median is None:
        return ""
    return _("%(n)s level cups") % {"n": w.number(thing.cups.median, 2)}


def keeping(answer: Answer, way: Way, units: str, wanted: Wanted | None = None) -> list[str]:
    """How long it stays strong where it is kept and in the cold; and that a batch is made for
    longer than that where it is so."""
    lines = _keeping(answer, way, units)
    if wanted is not None and (answer.good_for.median or 0) < wanted.days:
        lines.append(
            _(
                "It is made for %(days)d days, which is longer than it is likely to stay strong: "
                "keep it in the cold, and test it before you rely on it."
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
    dry = _(
        "Kept dry at %(store)s it stays strong enough for %(weeks)s; in a refrigerator for "
        "%(cool)s."
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
    if activity > refuse:
        return _(
            "This air is too damp: the bran would stay so moist that moulds can grow. Finish it "
            "with gentle warmth, or do not pack it."
        )
    if activity > warn:
        return _(
            "This air leaves the bran a little moist: too dry for moulds, but its living cells die "
            "fast. Finish it with gentle warmth, or beside a drying agent."
        )
    return ""


def _weeks(days: Range) -> str:
    low, middle, high = (round((x or 0.0) / 7) for x in (days.low, days.median, days.high))
    said = ngettext("%(n)d week (%(low)d – %(high)d)", "%(n)d weeks (%(low)d – %(high)d)", middle)
    return said % {"n": middle, "low": low, "high": high}


def how(found: NextBatch, asked: Demand | None, way: Way, units: str) -> list[str]:
    """How the figures came about, and what moves them most."""
    lines = []
    if asked is not None:
        lines.append(
            _(
                "The demand is what your layers of the last %(days)d days took, or the usual dose "
                "where they had too little, carried on with the closed days and seasons of the "
                "set-up; how unsure that is gives its range. What is still good then is taken "
                "off, each lot by the dose that it needs, and more is made where bran weakens."
            )
            % {"days": asked.seen_days}
        )
    answer = found.answer
    if answer is None:
        return lines
    lines += _dry_how(answer)
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


def _dry_how(answer: Answer) -> list[str]:
    """How dry this air makes it, in the exact term."""
    if answer.drying is None or answer.drying.activity.median is None:
        return []
    refuse, warn = (book()[f"bran_keeping.activity.{n}"].value for n in ("refuse", "warn"))
    said = {
        "activity": w.number(answer.drying.activity.median, 2),
        "warn": w.number(warn, 2),
        "refuse": w.number(refuse, 2),
    }
    text = _(
        "This air dries it to a water activity of %(activity)s (0 is bone dry, 1 is wet). Above "
        "%(warn)s cells die fast, above %(refuse)s moulds can grow."
    )
    return [text % said]
