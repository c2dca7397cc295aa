"""Scraps by month, drawn and as rows to copy."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import Any

from django.utils.translation import gettext as _

from sourloam.drawing.columns import Column, ColumnsPicture, draw_columns
from sourloam.web import wording as w
from sourloam.web.pictures import shown
from sourloam.web.programmes import form as programme_form
from sourloam.web.programmes.house import Yard

_WIDE = 356.0  # what a phone leaves beside its margins


def month_word(month: dt.date) -> str:
    """Such as Dec 2026."""
    return f"{w.month(month)} {month.year}"


def without_gaps(months: Sequence[tuple[dt.date, float]]) -> list[tuple[dt.date, float]]:
    """Every month from the first to the last; nothing where nothing was logged."""
    known = dict(months)
    found: list[tuple[dt.date, float]] = []
    month, last = min(known, default=dt.date.max), max(known, default=dt.date.min)
    while month <= last:
        found.append((month, known.get(month, 0.0)))
        month = (month + dt.timedelta(days=32)).replace(day=1)
    return found


def months_page(yard: Yard, by_month: Sequence[tuple[dt.date, float]]) -> dict[str, Any]:
    """The drawing, what it says in a sentence, and its rows."""
    months = without_gaps(by_month)
    rows = [{"month": month_word(month), "kg": w.kg(kg, yard.units)} for month, kg in months]
    if not months:
        return {"rows": rows}
    most, kg = max(months, key=lambda row: row[1])
    said = _("Most in %(month)s: %(kg)s.") % {
        "month": month_word(most),
        "kg": w.kg(kg, yard.units),
    }
    picture = _picture(yard, months)
    drawing = shown(draw_columns(picture, _WIDE))
    return {"rows": rows, "said": said, "picture": picture, "drawing": drawing}


def _picture(yard: Yard, months: Sequence[tuple[dt.date, float]]) -> ColumnsPicture:
    us = yard.units == "us"
    first = months[0][0]
    told = (
        Column(
            w.month(month),
            str(month.year) if month == first or month.month == 1 else "",
            float(programme_form.shown_mass(kg, us)),
        )
        for month, kg in months
    )
    desc = "; ".join(f"{month_word(month)}: {w.kg(kg, yard.units)}" for month, kg in months)
    unit = programme_form.mass_unit(us)
    return ColumnsPicture(tuple(told), unit, _("Scraps by month"), desc)
