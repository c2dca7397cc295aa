"""Nobody at home for some days: what wants doing before, what can wait, what goes on meanwhile."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from sourloam.evidence import book
from sourloam.ledger.due import due
from sourloam.ledger.state import VesselState
from sourloam.ledger.work import Due
from sourloam.web import wording as w
from sourloam.web.house import Inside
from sourloam.web.place.season import season
from sourloam.web.place.slips import Slip, slips, visits
from sourloam.web.vessel.foresight import Foresight
from sourloam.web.vessel.page import span_said

LONGEST = 120  # days that can be asked about
_USUAL_DAYS = 7
_BEFORE = ("recall", "drain", "set_aside")
_BEFORE_KINDS = ("bran_dried", "bran_packed", "bran_discarded")


class Wrong(ValueError):
    """Days that can't be."""


@dataclass(frozen=True)
class Away:
    """First and last day on which nobody is there."""

    first: dt.date
    last: dt.date

    @property
    def days(self) -> int:
        """How many."""
        return (self.last - self.first).days + 1


def read(asked: Mapping[str, str], today: dt.date) -> Away:
    """The days of a form; next week if it names none; Wrong with one line for what can't be."""
    monday = today + dt.timedelta(days=7 - today.weekday())
    first = _day(asked.get("first", ""), monday)
    last = _day(asked.get("last", ""), first + dt.timedelta(days=_USUAL_DAYS - 1))
    if not today <= first:
        raise Wrong(_("The first day away has passed; choose today or a later one."))
    if last < first:
        raise Wrong(_("The last day away is before the first; put the earlier day first."))
    if (last - today).days > LONGEST:
        line = _("That is too far ahead; choose days within the coming %(n)d.")
        raise Wrong(line % {"n": LONGEST})
    return Away(first, last)


def _day(typed: str, usual: dt.date) -> dt.date:
    if not typed:
        return usual
    try:
        return dt.date.fromisoformat(typed)
    except ValueError:
        line = _("“%(found)s” is no day; write it such as 2026-12-24.")
        raise Wrong(line % {"found": typed[:20]}) from None


def page(inside: Inside, away: Away) -> dict[str, Any]:
    """Everything that the template needs."""
    before, later = _parted(inside, away)
    house = inside.house
    return {
        "away": away,
        "headline": _headline(before),
        "answer": _answer(inside, away),
        "drawing": season(inside, around=(away.first, away.last)),
        "before": _slips(before, inside),
        "later": _slips(later, inside),
        "meanwhile": [_meanwhile(v, inside, away) for v in inside.state.vessels if v.turn],
        "noted": any(span == (away.first, away.last) for span in _noted(inside)),
        "may_note": house.may("place_described") and inside.state.site() is not None,
        "how": _how(),
    }


def _slips(found: list[Due], inside: Inside) -> list[Slip]:
    return slips(visits(found), inside.house.id, inside.house.units, inside.state)


def _noted(inside: Inside) -> Iterator[tuple[object, object]]:
    site = inside.state.site()
    yield from ((span.start, span.end) for span in site.closed) if site else ()


def _parted(inside: Inside, away: Away) -> tuple[list[Due], list[Due]]:
    """Work that falls due until the return: what can't wait, and what can.

    A feed falls away: there are no scraps.
    """
    today = inside.house.today
    ahead = (away.last - today).days
    found = due(inside.state, inside.foreseen, None, today, ahead)
    risky = {one.thing for one in found if one.what == "check" and "percent" in one.why.data}
    before: list[Due] = []
    later: list[Due] = []
    for one in found:
        if one.what == "feed":
            continue
        runs_out = one.kind == "bran_ordered" and one.on <= away.last
        now = one.what in _BEFORE or one.kind in _BEFORE_KINDS or one.thing in risky or runs_out
        (before if now else later).append(replace(one, urgency="today"))
    return before, later


def _headline(before: list[Due]) -> str:
    number = len(visits(before))
    if not number:
        return _("Go: all of it can wait")
    said = ngettext(
        "%(n)d thing to do before you go, the rest can wait",
        "%(n)d things to do before you go, the rest can wait",
        number,
    )
    return said % {"n": number}


def _answer(inside: Inside, away: Away) -> str:
    days = {"first": w.week_day(away.first), "last": w.week_day(away.last)}
    said = _("Away from %(first)s to %(last)s.") % days
    if any(v.turn for v in inside.state.vessels):
        said += " " + _("Press the last layer, dust it with bran, shut the lid: it can wait.")
    return said


def _meanwhile(vessel: VesselState, inside: Inside, away: Away) -> dict[str, str]:
    """What one vessel does while nobody is there."""
    seen = inside.foreseen.get(vessel.id)
    stage = inside.stage(vessel)
    keeps = _("It is ready, and keeps while the lid is shut.")
    said = {
        "filling": _(
            "It stays as full as it is and goes on souring; the day on which it is full moves on "
            "by as long as nobody feeds it."
        ),
        "resting": _finished(seen, away),
        "ready": keeps,
        "held": keeps,
        "failed": _("It failed to sour and will not mend by itself: better decide before you go."),
    }.get(stage, "")
    return {
        "name": vessel.name,
        "url": reverse("web:vessel", args=[inside.house.id, vessel.id]),
        "state": w.word(w.STAGES, stage),
        "said": f"{said} {_liquid(seen, away, inside.house.units)}".strip(),
    }


def _finished(seen: Foresight | None, away: Away) -> str:
    found = seen.day("finished_on") if seen else None
    if found is None:
        return _("It goes on resting; longer does no harm.")
    day = {"day": span_said(found)}
    if found.middle < away.first:
        return _("Sour and steady before you go, about %(day)s; then it keeps.") % day
    if found.middle <= away.last:
        return _("It gets sour and steady meanwhile, about %(day)s; then it keeps.") % day
    return _("It goes on resting, and is sour and steady about %(day)s.") % day


def _liquid(seen: Foresight | None, away: Away, units: str) -> str:
    """Liquid let go in those days, as foreseen with its range; silence where too little is."""
    band = seen.raw.get("liquid_ml") if seen else None
    if not isinstance(band, Mapping):
        return ""
    first, last = away.first.isoformat(), away.last.isoformat()
    meant = [n for n, day in enumerate(band.get("days", ())) if first <= day[:10] <= last]
    low, middle, high = (sum(band[key][n] for n in meant) for key in ("low", "median", "high"))
    if middle < book()["planning.drain.worth"].value:
        return ""
    return _("About %(middle)s of liquid gathers meanwhile (%(range)s).") % {
        "middle": w.liquid(round(middle, -1), units),
        "range": w.liquid_range(low, high, units, middle),
    }


def _how() -> list[str]:
    return [
        _(
            "Before you go: liquid that would stand under the grid, a vessel that is full and "
            "still open, bran that lies damp, and whatever is likely to fail. All else has no day "
            "by which it must be done."
        ),
        _(
            "Days come from each vessel's forecast (its own page tells how); a range holds eight "
            "of ten runs. The liquid is reckoned with feeding as usual: without it rather less "
            "comes."
        ),
        _(
            "That days without feeding do a shut vessel no harm is common practice without a "
            "source: we know of no published trial."
        ),
    ]


def noted(document: Mapping[str, Any], away: Away) -> dict[str, Any]:
    """The place's description with those days as closed."""
    span = {"from": away.first.isoformat(), "to": away.last.isoformat(), "name": _("away")}
    return {**document, "closed": [*document.get("closed", ()), span]}
