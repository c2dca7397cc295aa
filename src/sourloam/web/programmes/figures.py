"""Figures for those who pay, and what an exchange of vessels takes."""

from __future__ import annotations

import csv
import datetime as dt
import io
from collections.abc import Iterable, Mapping, Sequence
from typing import Any
from urllib.parse import urlencode

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from sourloam.programme import (
    Figures,
    Fleet,
    Period,
    Stayed,
    Three,
)
from sourloam.web import wording as w
from sourloam.web.programmes import words as pw
from sourloam.web.programmes.house import Yard
from sourloam.web.programmes.months import month_word

FILL_DAYS, REST_DAYS = 28.0, 14.0  # where what is asked of an exchange begins
_LISTED_YEARS = 20


def period_of(asked: Mapping[str, str]) -> Period:
    """The months that were asked for; what can't be read is left open."""
    return Period(_month(asked.get("from", "")), _month(asked.get("to", "")))


def _month(text: str) -> dt.date | None:
    try:
        return dt.date.fromisoformat(f"{text}-01")
    except ValueError:
        return None


def period_part(
    yard: Yard, period: Period, months: Sequence[dt.date], stays: Iterable[dt.date]
) -> dict[str, Any]:
    """The form on the period, what it says in words, and where the table to take away lies."""
    first = min([*months, *(day.replace(day=1) for day in stays)], default=yard.today)
    last = yard.today.replace(day=1)
    first = max(first.replace(day=1), last.replace(year=last.year - _LISTED_YEARS))
    every = []
    while first <= last:
        every.append((f"{first:%Y-%m}", month_word(first)))
        first = (first + dt.timedelta(days=32)).replace(day=1)
    start, end = (
        "" if month is None else f"{month:%Y-%m}" for month in (period.first, period.last)
    )
    given = {key: value for key, value in (("from", start), ("to", end)) if value}
    words = {
        "first": month_word(period.first) if period.first else "",
        "last": month_word(period.last) if period.last else "",
    }
    said = _("everything up to today")
    if start and end:
        said = _("%(first)s to %(last)s") % words
    elif start:
        said = _("from %(first)s on") % words
    elif end:
        said = _("up to %(last)s") % words
    return {
        "said": said,
        "whole": period.whole,
        "months": every,
        "from": start,
        "to": end,
        "table": "?" + urlencode({**given, "table": "csv"}),
        "query": "?" + urlencode(given) if given else "",
        "letter": "?" + urlencode({**given, "paper": "letter"}),
    }


def as_table(rows: Sequence[Mapping[str, str]], months: Sequence[Mapping[str, str]]) -> str:
    """The same figures as CSV, as the page words them."""
    out = io.StringIO(newline="")
    table = csv.writer(out)
    table.writerow((_("Figure"), _("Value"), _("Range"), _("How it is counted")))
    for one in rows:
        table.writerow((one["of"], one["figure"], one["range"], one["how"]))
    for month in months:
        table.writerow((_("Scraps of %(month)s") % month, month["kg"], "", ""))
    return out.getvalue()


def _stayed(found: Iterable[Stayed]) -> list[tuple[str, str, str, str]]:
    return [
        (
            _("still at it after %(n)d months") % {"n": one.after},
            w.share(one.active / one.places),
            _("%(n)d of %(of)d places") % {"n": one.active, "of": one.places},
            _("Places that joined so long ago, those that left among them, with scraps logged in "
              "that month or later."),
        )
        for one in found
    ]  # fmt: skip


def kept(yard: Yard, found: Figures) -> str:
    """The first figure as a sentence."""
    low, middle, high = found.kept_kg
    return _("%(kg)s of scraps went into vessels (%(range)s).") % {
        "kg": w.kg(middle, yard.units),
        "range": w.kg_range(low, high, yard.units),
    }


def figures_page(
    yard: Yard, found: Figures, stays: Iterable[Stayed], whole: bool
) -> list[dict[str, str]]:
    """Figures that those who pay ask for; how each is counted stands beside it. What is not told
    by day is left out unless the ``whole`` time is meant."""
    low, middle, high = found.kept_kg
    rows = [
        (
            _("scraps into vessels"), w.kg(middle, yard.units), w.kg_range(low, high, yard.units),
            _("As logged by the places; %(n)s of it was weighed, the rest counted by bowls or read "
              "in litres.") % {"n": w.share(found.weighed_share)},
        ),
        (
            _("weighed on rounds"), w.kg(found.fetched_kg, yard.units), _stray(yard, found),
            _("Contents of fetched vessels, contamination taken off (%(kg)s).")
            % {"kg": w.kg(found.contamination_kg, yard.units)},
        ),
        (
            _("places still at it"), f"{found.active[1]:.0f}",
            _ends(found.active),
            ngettext(
                "Of %(n)d place, by its silence. In one city %(share).0f of 100 vessels were "
                "still used when asked: here that would be %(m).0f.",
                "Of %(n)d places, by each one's silence. In one city %(share).0f of 100 vessels "
                "were still used when asked: here that would be %(m).0f.",
                found.places,
            )
            % {"n": found.places, "share": 100 * found.share_elsewhere,
               "m": found.share_elsewhere * found.places},
        ),
        *_stayed(stays),
        (
            _("vessels at places"), str(found.vessels), "",
            _("All that their logs describe today, free ones too; whose they are is not told."),
        ),
        *(_of_all_time(yard, found) if whole else _of_period(found)),
        (
            _("trainings"), str(found.trainings),
            ngettext("%(n)d person came", "%(n)d people came", found.trained)
            % {"n": found.trained},
            _("As written in the programme's log; who came twice counts twice."),
        ),
        (
            _("rounds and visits"), f"{found.rounds} + {found.visits}", "",
            _("As written in the programme's log; questions: %(q)d, complaints: %(c)d.")
            % {"q": found.questions, "c": found.complaints},
        ),
        (
            _("hours given"), w.number(found.hours, 3), "",
            _("Trainings, visits, rounds and other hours that were written down."),
        ),
    ]  # fmt: skip
    return [
        {"of": of, "figure": figure, "range": "" if range_ == figure else range_, "how": how}
        for of, figure, range_, how in rows
    ]


def _stray(yard: Yard, found: Figures) -> str:
    if not (found.fetched_kg or found.contamination_kg):
        return ""
    return _("%(kg)s did not belong") % {"kg": w.kg(found.contamination_kg, yard.units)}


def _ends(value: Three) -> str:
    """The ends of a range of whole numbers; one number where both are the same."""
    low, high = f"{value[0]:.0f}", f"{value[2]:.0f}"
    return low if low == high else f"{low} – {high}"


def _of_all_time(yard: Yard, found: Figures) -> list[tuple[str, str, str, str]]:
    ended = found.sound + found.failed
    return [
        (
            _("finished vessels"), str(ended), "",
            _("%(n)d of them failed or were thrown away.") % {"n": found.failed},
        ),
        (
            _("ferment buried"), w.kg(found.buried_kg, yard.units), "",
            _("By what was in the vessels that places buried themselves."),
        ),
    ]  # fmt: skip


def _of_period(found: Figures) -> list[tuple[str, str, str, str]]:
    if found.emptied is None:  # the days are not reckoned yet
        return []
    how = _("By the day on which they were emptied; which failed is told for all time only.")
    return [(_("emptied vessels"), str(found.emptied), "", how)]


def _hours(value: Three) -> str:
    """Hours of work; minutes where it is less than one."""
    if value[1] < 1:
        minutes = (60 * one for one in value)
        return _("%(m)s min (%(l)s – %(h)s)") % _each(minutes)
    return _("%(m)s h (%(l)s – %(h)s)") % _each(value)


def _each(value: Iterable[float]) -> dict[str, str]:
    return dict(zip("lmh", (w.number(v, 2) for v in value), strict=True))


def fleet_page(yard: Yard, found: Fleet) -> dict[str, str]:
    """What a running exchange of vessels takes."""

    def three(value: Three) -> str:
        middle, ends = f"{value[1]:.0f}", _ends(value)
        return middle if ends == middle else f"{middle} ({ends})"

    litres = found.water_l
    return {
        "vessels": three(found.vessels),
        "resting": three(found.resting),
        "floor": pw.area(found.floor_m2, yard.units),
        "weekly": w.number(found.weekly, 2),
        "water": f"{w.litres(litres[1], yard.units)} "
        f"({w.litres(litres[0], yard.units)} – {w.litres(litres[2], yard.units)})",
        "hours": _hours(found.hours),
        "at_home": str(found.at_home),
    }
