"""Bran and measures: what came, what went, how long it lasts; how much one bowlful is."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from sourloam.evidence import book
from sourloam.ledger import bodies as b
from sourloam.ledger.state import PlaceState, Record
from sourloam.web import wording as w
from sourloam.web.fields import LogForm
from sourloam.web.forms import Asking, store_form, units_of
from sourloam.web.forms.making import CORRECTED, NEW_MEASURE
from sourloam.web.house import Inside
from sourloam.web.slips import slips, visits
from sourloam.web.telling import said

_LINES = 20
_LEAST_DAYS = 7  # a habit is not read from fewer
_FAR_DAYS = 3650


@dataclass(frozen=True)
class BranStock:
    """Bran of a place: came in, went on layers, left (below 0 where some was not written down)."""

    came_kg: float
    used_kg: float
    a_day_kg: float
    until: dt.date | None

    @property
    def left_kg(self) -> float:
        """What must still be there."""
        return self.came_kg - self.used_kg

    @property
    def share(self) -> float:
        """Share that is left of all that came in."""
        return min(1.0, max(0.0, self.left_kg / self.came_kg)) if self.came_kg else 0.0


def stock(state: PlaceState, today: dt.date) -> BranStock:
    """The stock, with the use of the last four weeks."""
    habit = dt.timedelta(days=book()["ledger.due.habit"].value)
    recent = [r for r in state.each_layer() if today - habit < r.day <= today]
    came = sum(r.body.mass_kg for r in state.stores.bran_in)
    used = state.bran_used_g / 1000
    if not recent:
        return BranStock(came, used, 0.0, None)
    since = max((today - min(r.day for r in recent)).days, _LEAST_DAYS)
    a_day = sum(r.body.bran_g or 0.0 for r in recent) / 1000 / since
    until = None
    if a_day > 0 and came > 0:
        days = min(max(came - used, 0.0) / a_day, _FAR_DAYS)
        until = today + dt.timedelta(days=int(days))
    return BranStock(came, used, a_day, until)


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
        "bran": [_line(inside, r, signs) for r in came[:_LINES]],
        "measures": [_line(inside, r, signs) for r in _newest(state)],
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
        return _("Bran and measures")
    if found.left_kg <= 0:
        return _("By the log no bran is left")
    left = {"left": w.kg(round(found.left_kg, 2), units)}
    if found.until is None:
        return _("About %(left)s of bran is left") % left
    return _("About %(left)s of bran is left, until %(day)s") % {**left, "day": w.day(found.until)}


def _facts(found: BranStock, units: str) -> list[dict[str, str]]:
    facts = [
        {"of": _("Came in"), "middle": w.kg(round(found.came_kg, 2), units), "range": ""},
        {"of": _("Went on layers"), "middle": w.kg(round(found.used_kg, 2), units), "range": ""},
    ]
    if found.a_day_kg:
        week = w.grams(round(7000 * found.a_day_kg, -1), units)
        facts.append(
            {"of": _("Used in a week of late"), "middle": week, "range": _("from the layers")}
        )
    return facts


def _line(inside: Inside, record: Record[Any], signs: w.Words) -> dict[str, Any]:
    house = inside.house
    return {
        "id": str(record.entry),
        "what": w.label(record.kind),
        "said": said(record.kind, record.body, inside.state, house.units, signs),
        "at": record.at.astimezone(house.zone),
        "by": record.by or "",
        "corrected": record.corrects is not None,
        "may_strike": house.may(record.kind),
        "may_correct": house.may(record.kind) and record.kind in CORRECTED,
    }
