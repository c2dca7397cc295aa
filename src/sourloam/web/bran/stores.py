"""Bran left, and bowls: what came, what went, how long it lasts; how much one bowlful is."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from sourloam.evidence import book
from sourloam.ledger import bodies as b
from sourloam.ledger.lot_standing import ahead, in_store
from sourloam.ledger.state import PlaceState, Record
from sourloam.web import wording as w
from sourloam.web.fields import LogForm
from sourloam.web.forms import Asking, store_form, units_of
from sourloam.web.forms.making import NEW_MEASURE
from sourloam.web.house import Inside
from sourloam.web.log.lines import log_line
from sourloam.web.place.slips import slips, visits

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

    @property
    def share(self) -> float:
        """Share that is left of all that came in."""
        return min(1.0, max(0.0, self.left_kg / self.came_kg)) if self.came_kg else 0.0


def stock(state: PlaceState, today: dt.date) -> BranStock:
    """The stock, with the use of the last four weeks, lot by lot as the list of work counts it."""
    habit = dt.timedelta(days=book()["ledger.due.habit"].value - 1)
    recent = [r for r in state.layers_since(today - habit) if r.day <= today]
    site = state.site()
    good = sum(max(s.lot.left_kg, 0.0) for s in in_store(state, site, today) if s.usable)
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
        good_kg=good,
        a_day_kg=a_day,
        until=None if story is None else story.runs_out,
    )


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
        "facts": _facts(found, house.units) if found.came_kg else [],
        "share": round(found.share, 3),
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
        return _("Bran left, and bowls")
    if found.left_kg <= 0:
        return _("By the log no bran is left")
    if found.good_kg < _LEAST_KG:
        return _("No bran in store may be used any more")
    left = {"left": w.kg(round(found.good_kg, 2), units)}
    if found.until is None:
        return _("About %(left)s of good bran is left") % left
    return _("About %(left)s of good bran is left, until %(day)s") % {
        **left,
        "day": w.day(found.until),
    }


def _facts(found: BranStock, units: str) -> list[dict[str, str]]:
    rows = [(_("Came in or made"), found.came_kg, ""), (_("Went on layers"), found.used_kg, "")]
    if found.out_kg:
        rows.append((_("Handed or thrown out"), found.out_kg, ""))
    weak = found.left_kg - found.good_kg
    if weak >= _LEAST_KG:
        rows.append((_("Old bran in store"), weak, _("too weak, failed or recalled")))
    facts = [
        {"of": of, "middle": w.kg(round(kg, 2), units), "range": range_} for of, kg, range_ in rows
    ]
    if found.a_day_kg:
        week = w.grams(round(7000 * found.a_day_kg, -1), units)
        facts.append(
            {"of": _("Used in a week of late"), "middle": week, "range": _("from the layers")}
        )
    return facts
