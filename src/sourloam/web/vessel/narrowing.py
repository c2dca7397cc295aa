"""How a vessel's forecast narrowed, entry by entry: a drawing, and since when it looked ill."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from typing import Any

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from sourloam.drawing.funnel import FunnelPicture, FunnelRow, draw_funnel
from sourloam.evidence import book
from sourloam.forecast.reading import ROTTEN
from sourloam.ledger.foreseen import percent_of
from sourloam.ledger.state import VesselState
from sourloam.web import wording as w
from sourloam.web.pictures import shown
from sourloam.web.vessel.foresight import Foresight, Spread

_FEWEST = 3  # rows with a bar that show how something narrows
_TICKS = 4
_FAR_DAYS = 14  # the axis goes so far past the last end where a range has none


def rows_of(seen: Foresight, resting: bool) -> list[tuple[dt.date, Spread, float]]:
    """Day, the range foreseen on it and the chance of failing, the present last; of the day of
    being full, or of being sour where the vessel rests."""
    key = "finished_on" if resting else "full_on"
    told = [one for one in seen.raw.get("narrowing", ()) if isinstance(one, Mapping)]
    now = str(seen.raw.get("today", ""))
    found = []
    for raw in (*(one for one in told if str(one.get("day")) < now), {**seen.raw, "day": now}):
        chance, points = Foresight(raw).chance_of_failing, raw.get(key)
        if chance is not None and isinstance(points, Mapping) and raw["day"]:
            span = Spread(*(_date(points.get(at)) for at in ("low", "median", "high")))
            found.append((dt.date.fromisoformat(raw["day"][:10]), span, chance))
    return found


def _date(text: object) -> dt.date | None:
    return dt.date.fromisoformat(text[:10]) if isinstance(text, str) else None


def funnel(vessel: VesselState, seen: Foresight) -> SafeString | None:
    """The drawing; None where there are too few days to show."""
    resting = vessel.turn is not None and vessel.turn.set_aside is not None
    rows = rows_of(seen, resting)
    if sum(span.low is not None for _day, span, _chance in rows) < _FEWEST:
        return None
    ill = any(chance >= likely() for _day, _span, chance in rows)
    what = (
        _("The day of being sour, as foreseen entry by entry")
        if resting
        else _("The day of being full, as foreseen entry by entry")
    )
    picture = FunnelPicture(
        tuple(_row(day, span, chance, ill) for day, span, chance in rows),
        _ends([span for _day, span, _chance in rows]),
        _ticks([span for _day, span, _chance in rows]),
        what,
        desc=_said(rows),
        notes=_("fails") if ill else "",
    )
    key = _(
        "A row for a day of the log, the newest lowest: the bar holds eight runs of ten, the ring "
        "is their middle."
    )
    return shown(f'<h3>{what}</h3><p class="quiet">{key}</p>' + draw_funnel(picture))


def _told(chance: float) -> str:
    return w.share(percent_of(chance) / 100)


def likely() -> float:
    """The chance of failing from which a vessel is said to be likely to fail."""
    return book()["ledger.due.chance"].value


def since_when(vessel: VesselState, seen: Foresight) -> str:
    """Since when it is foreseen to fail, and since when anybody smelt it; empty where it is not."""
    turn = vessel.turn
    rows = rows_of(seen, turn is not None and turn.set_aside is not None)
    if turn is None or not rows or rows[-1][2] < likely():
        return ""
    well = [number for number, (_day, _span, chance) in enumerate(rows) if chance < likely()]
    if not well:
        return ""
    before, after = rows[well[-1]], rows[well[-1] + 1]
    text = _("On %(before)s the chance was %(low)s, on %(after)s %(high)s.") % {
        "before": w.day(before[0]),
        "low": _told(before[2]),
        "after": w.day(after[0]),
        "high": _told(after[2]),
    }
    smelt = [look.day for look in turn.looks if ROTTEN & set(look.body.signs)]
    if not smelt:
        return f"{text} " + _("Nobody has written down a rotten smell so far.")
    first = _("A rotten smell was first written down on %(day)s.") % {"day": w.day(min(smelt))}
    return f"{text} {first}"


def _row(day: dt.date, span: Spread, chance: float, ill: bool) -> FunnelRow:
    low, middle, high = (
        None if one is None else float(one.toordinal())
        for one in (span.low, span.middle, span.high)
    )
    note = _told(chance) if ill else ""
    return FunnelRow(w.short_day(day), low, middle, high, note)


def _ends(spans: Sequence[Spread]) -> tuple[float, float]:
    known = [d.toordinal() for s in spans for d in (s.low, s.middle, s.high) if d is not None]
    open_ended = any(s.high is None for s in spans)
    return float(min(known)), float(max(known) + (_FAR_DAYS if open_ended else 1))


def _ticks(spans: Sequence[Spread]) -> tuple[tuple[float, str], ...]:
    first, last = _ends(spans)
    step = max(1, round((last - first) / _TICKS))
    days = range(int(first), int(last) + 1, step)
    return tuple((float(day), w.short_day(dt.date.fromordinal(day))) for day in days)


def _said(rows: Sequence[tuple[dt.date, Spread, float]]) -> str:
    """The first and the last row in words."""

    def days(span: Spread) -> Any:
        if span.low is None or span.high is None:
            return None
        return (span.high - span.low).days

    first, last = days(rows[0][1]), days(rows[-1][1])
    if first is None or last is None:
        return ""
    said = ngettext(
        "The range was %(first)d days wide at first and is %(last)d day wide now.",
        "The range was %(first)d days wide at first and is %(last)d days wide now.",
        last,
    )
    return said % {"first": first, "last": last}
