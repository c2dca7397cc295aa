"""Bran left, and bowls: what came, what went, how long it lasts; how much one bowlful is."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from sourloam.evidence import book
from sourloam.ledger import bodies as b
from sourloam.ledger.lot_demand import Pace, ahead, demand, good_kg, pace
from sourloam.ledger.state import PlaceState, Record
from sourloam.site import Site
from sourloam.web import wording as w
from sourloam.web.bran.lot_words import pace_said
from sourloam.web.bran.lots import sack
from sourloam.web.fields import LogForm
from sourloam.web.forms import Asking, store_form, units_of
from sourloam.web.forms.making import NEW_MEASURE
from sourloam.web.house import Inside
from sourloam.web.log.lines import log_line
from sourloam.web.place.slips import slips, visits

_Week = tuple[float, float, float]
_LINES = 20
_LEAST_DAYS = 7  # a habit is not read from fewer
_LEAST_KG = 0.005  # less is not told apart


@dataclass(frozen=True)
class BranStock:
    """Bran of a place: came in or was made, went on layers, was handed or thrown out, is left
    (below 0 where some was not written down); ``good_kg`` is what may still go on a layer."""

    came_kg: float
    used_kg: float
    out_kg: float
    left_kg: float
    good_kg: float
    a_day_kg: float
    until: dt.date | None
    week_kg: _Week | None
    pace: Pace | None


def stock(state: PlaceState, today: dt.date) -> BranStock:
    """The stock, with the use of the last four weeks, lot by lot as the list of work counts it."""
    habit = dt.timedelta(days=book()["ledger.due.habit"].value - 1)
    recent = [r for r in state.layers_since(today - habit) if r.day <= today]
    site = state.site()
    a_day = 0.0
    if recent:
        since = max((today - min(r.day for r in recent)).days, _LEAST_DAYS)
        a_day = sum(r.body.bran_g or 0.0 for r in recent) / 1000 / since
    story = ahead(state, site, today) if state.lots else None
    return BranStock(
        came_kg=sum(lot.in_kg for lot in state.lots),
        used_kg=state.bran_used_g / 1000,
        out_kg=sum(lot.out_kg for lot in state.lots),
        left_kg=state.bran_left_kg,
        good_kg=good_kg(state, site, today),
        a_day_kg=a_day,
        until=None if story is None else story.runs_out,
        week_kg=_week(state, site, today),
        pace=pace(state, site, today),
    )


def _week(state: PlaceState, site: Site | None, today: dt.date) -> _Week | None:
    """What the layers of the coming week ask for: low, middle, high."""
    found = demand(state, site, today)
    if found is None:
        return None
    kg = found.over(7)
    return kg * found.low, kg, kg * found.high


def page(inside: Inside, signs: w.Words) -> dict[str, Any]:
    """Everything that the template needs."""
    house, state = inside.house, inside.state
    found = stock(state, house.today)
    ask = Asking(state, units_of(house.units))
    due = visits(d for d in inside.dues if d.what == "bran")
    kept = (*state.stores.bran_in, *state.stores.bran_ordered)
    came = sorted(kept, key=lambda r: (r.at, r.entry), reverse=True)
    return {
        "headline": _headline(found, house.units),
        "answer": pace_said(found.pace, house.units),
        "facts": _facts(found, house.units) if found.came_kg else [],
        "how": _how(found) if found.came_kg else [],
        "sacks": [
            sack(inside, lot, state.site()) for lot in state.lots if lot.left_kg >= _LEAST_KG
        ],
        "low": found.came_kg > 0 and found.left_kg < 0,
        "due": slips(due, house.id, house.units, state),
        "bran": [log_line(inside, r, signs) for r in came[:_LINES]],
        "measures": [log_line(inside, r, signs) for r in _newest(state)],
        "bran_forms": [_form(kind, ask) for kind in ("bran_received", "bran_ordered")],
        "measure_form": _form("measure_set", ask, NEW_MEASURE),
        "may_bran": house.may("bran_received"),
        "may_measure": house.may("measure_set"),
    }


def _form(kind: str, ask: Asking, hidden: tuple[tuple[str, str], ...] = ()) -> LogForm:
    return store_form(kind, ask, hidden)


def _newest(state: PlaceState) -> list[Record[b.MeasureSet]]:
    """Each measure as it was last said."""
    newest: dict[str, Record[b.MeasureSet]] = {}
    for record in state.stores.measures:
        newest.setdefault(record.body.measure, record)
    return list(newest.values())


def _headline(found: BranStock, units: str) -> str:
    if not found.came_kg:
        return _("No bran is written down yet")
    if found.left_kg <= 0:
        return _("By the log no bran is left")
    if found.good_kg < _LEAST_KG:
        return _("No bran in store may be used any more")
    left = {"left": w.about_bran(found.good_kg, units)}
    if found.until is None:
        return _("About %(left)s of bran may be used") % left
    return _("About %(left)s of bran may be used; it lasts until %(day)s") % {
        **left,
        "day": w.day(found.until),
    }


def _how(found: BranStock) -> list[str]:
    """How what is left and until when were reckoned, and what moves that day most."""
    days = book()["ledger.due.habit"].value
    lines = [
        _(
            "What is left is what came in or was made, less what went on layers and was handed or "
            "thrown out, lot by lot. A lot that is too weak, failed its test or was recalled is "
            "not counted."
        ),
        _(
            "How long it lasts goes by the layers of the last %(days)d days: each counts with the "
            "bran it was given, or, where that was too little, with what its lot needs by its "
            "strength today."
        )
        % {"days": round(days)},
    ]
    if found.until is not None:
        lines.append(
            _(
                "What moves that day most: how many layers you lay, how strong the bran still is "
                "(test it), and bowls of bran that nobody weighed."
            )
        )
    return lines


def _facts(found: BranStock, units: str) -> list[dict[str, str]]:
    rows = [(_("Came in or made"), found.came_kg, ""), (_("Went on layers"), found.used_kg, "")]
    if found.out_kg:
        rows.append((_("Handed or thrown out"), found.out_kg, ""))
    weak = found.left_kg - found.good_kg
    if weak >= _LEAST_KG:
        rows.append((_("Old bran in store"), weak, _("too weak, failed or recalled")))
    facts = [
        {"of": of, "middle": w.about_bran(kg, units), "range": range_} for of, kg, range_ in rows
    ]
    if found.a_day_kg:
        week = w.grams(round(7000 * found.a_day_kg, -1), units)
        facts.append(
            {"of": _("Used in a week of late"), "middle": week, "range": _("from the layers")}
        )
    if found.week_kg is not None:
        low, middle, high = found.week_kg
        facts.append(
            {
                "of": _("The coming week needs"),
                "middle": w.about_bran(middle, units),
                "range": w.about_bran_range(low, high, units),
            }
        )
    return facts
