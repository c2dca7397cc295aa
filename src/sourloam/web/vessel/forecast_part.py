"""What is to come of a vessel: days and amounts with their ranges, as words and as bands."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Mapping, Sequence
from functools import partial
from typing import Any

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from sourloam import drawing
from sourloam.evidence import book
from sourloam.ledger.foreseen import percent_of
from sourloam.ledger.state import VesselState
from sourloam.units import factor
from sourloam.web import heard
from sourloam.web import wording as w
from sourloam.web.pictures import shown
from sourloam.web.vessel import foretold
from sourloam.web.vessel.foresight import Foresight, Spread
from sourloam.web.vessel.narrowing import funnel

_HELD_BACK = "flora.clostridia.lactic_limit_ph"  # spoilage is held back below this pH
_LOWEST_PH = 3.0  # where the axis of a chart begins
_OF_DRAINING = ("next_drain_on", "next_drain_ml")
_MOST_LEVELS = 4
_FEW = 0.01  # a smaller chance is not told to the point


def facts(
    seen: Foresight,
    units: str,
    today: dt.date,
    stage: str = "",
    bran_times: float = 1.0,
    in_store_kg: float = math.inf,
) -> list[dict[str, str]]:
    """The foreseen days and amounts with their ranges; a failed vessel is drained no more,
    and its chance of failing is told no more. ``bran_times``: how many times the usual dose of
    bran its layers ask for; ``in_store_kg`` is told where that is too little."""
    if stage == "failed":
        seen = Foresight({k: v for k, v in seen.raw.items() if k not in _OF_DRAINING})
    found = []
    for key, of, past in (
        ("full_on", _("Full"), _("Full since about")),
        (
            "finished_on",
            _("Newest layer sour and steady"),
            _("Newest layer sour and steady since about"),
        ),
        ("next_drain_on", _("Next draining"), _("Next draining")),
    ):
        day = seen.day(key)
        if day is not None:
            said = past if day.middle < today else of
            ends = "" if day.low == day.high else _ends(day)
            if key == "finished_on" and stage == "filling":
                ends = " · ".join(filter(None, (ends, _closed_said(seen))))
            found.append({"of": said, "middle": w.day(day.middle), "range": ends})
    liquid = seen.number("next_drain_ml")
    if liquid is not None:
        ends = w.liquid_range(liquid.low, liquid.high, units, liquid.middle)
        middle = w.liquid(liquid.middle, units)
        found.append({"of": _("Liquid then"), "middle": middle, "range": ends})
    bran, full = seen.number("bran_left_kg"), seen.day("full_on")
    if bran is not None and full is not None and full.middle >= today and stage != "failed":
        low, mid, high = (bran_times * kg for kg in (bran.low, bran.middle, bran.high))
        ends = w.about_bran_range(low, high, units)
        if in_store_kg < mid:
            ends += " · " + _("in store: %(left)s") % {"left": w.about_bran(in_store_kg, units)}
        middle = w.about_bran(mid, units)
        found.append({"of": _("Bran until full"), "middle": middle, "range": ends})
    if seen.chance_of_failing is not None and stage != "failed":
        between = seen.number("chance_of_failing_range")
        told = [] if between is None else [_chance(between.low), _chance(between.high)]
        ends = " – ".join(told) if len(set(told)) > 1 else ""
        middle = _chance(seen.chance_of_failing)
        found.append({"of": _("Chance of failing"), "middle": middle, "range": ends})
    return found


def _chance(value: float) -> str:
    return w.share(percent_of(value) / 100) if value >= _FEW else _("less than 1 %")


def _ends(found: Spread) -> str:
    far = _("beyond the time foreseen")
    low = w.short_day(found.low) if found.low else far
    high = w.short_day(found.high) if found.high else far
    return f"{low} – {high}"


def charts(vessel: VesselState, seen: Foresight, today: dt.date, units: str) -> list[SafeString]:
    """How the forecast narrowed; bands of level and of liquid, where the summary holds them."""
    narrowed = funnel(vessel, seen)
    found = [] if narrowed is None else [narrowed]
    sour = _band(seen.raw.get("ph_newest"))
    closed = vessel.turn is not None and vessel.turn.set_aside is not None
    if sour is not None and (closed or foretold.why(seen, units)):
        found.append(_sourness(vessel, sour, today))
    level = _band(seen.raw.get("level"))
    if level is not None and not closed:
        marks = vessel.turn.marks if vessel.turn else ()
        marked = [(float(m.day.toordinal()), m.body.fraction) for m in marks]
        title = _("How full it will be, with the range of eight in ten")
        steps = ((0.0, ""), (0.5, _("half")), (1.0, _("full")))
        seen_there = (marked, _("as somebody marked it"))
        picture = _picture(level, title, steps, today, seen_there, limit=(1.0, ""))
        found.append(_chart(picture, w.share))
    liquid = _band(seen.raw.get("liquid_ml"))
    if liquid is not None:
        unit, levels = _liquid_levels(max(liquid[3]), units)
        title = _("Liquid let go each day, in %(unit)s") % {"unit": unit}
        picture = _picture(liquid, title, levels, today, liquid=True)
        found.append(_chart(picture, partial(w.liquid, units=units)))
    return found


def _liquid_levels(top_ml: float, units: str) -> tuple[str, tuple[tuple[float, str], ...]]:
    """The reader's unit for so much, and round amounts of it up to there, in mL, with words."""
    _figure, _gap, unit = w.liquid(top_ml, units).partition(" ")
    each_ml = 1e6 * factor(unit, "small_volume")
    top = top_ml / each_ml
    if top <= 0:
        return unit, ((0.0, "0"),)
    power = 10.0 ** math.floor(math.log10(top))
    step = next(s for s in (0.5 * power, power, 2 * power, 5 * power) if top / s <= _MOST_LEVELS)
    steps = range(math.floor(top / step + 1e-9) + 1)
    return unit, tuple((n * step * each_ml, w.number(n * step)) for n in steps)


def held_back_said(line: float) -> str:
    """What the line of safety in a chart of pH means."""
    return _("below pH %(ph)s spoilage is held back") % {"ph": w.number(line)}


def _sourness(vessel: VesselState, rows: _Rows, today: dt.date) -> SafeString:
    """The pH of the newest layer, with the strips that were read and the line of safety."""
    strips = vessel.turn.phs if vessel.turn else ()
    read = [(float(r.day.toordinal()), r.body.ph) for r in strips if r.body.of == "solid"]
    line = book()[_HELD_BACK].value
    title = _("pH of the newest layer, with the range of eight in ten")
    levels = ((4.0, "4"), (5.0, "5"), (6.0, "6"), (7.0, "7"))
    safe = (line, held_back_said(line))
    by_strip = (read, _("read from a strip"))
    picture = _picture(rows, title, levels, today, by_strip, limit=safe, floor=_LOWEST_PH)
    return _chart(picture, heard.ph)


_Rows = tuple[list[float], list[float], list[float], list[float]]


def _band(value: Any) -> _Rows | None:
    """Days and three rows from a summary's band; None if it holds none."""
    if not isinstance(value, Mapping) or len(value.get("days", ())) < 2:
        return None
    days = [float(dt.date.fromisoformat(d[:10]).toordinal()) for d in value["days"]]
    return days, list(value["low"]), list(value["median"]), list(value["high"])


def _picture(
    rows: _Rows,
    title: str,
    levels: tuple[tuple[float, str], ...],
    today: dt.date,
    seen: tuple[Sequence[tuple[float, float]], str] = ((), ""),
    limit: tuple[float, str] | None = None,
    liquid: bool = False,
    floor: float = 0.0,
) -> drawing.BandPicture:
    days, low, middle, high = rows
    step = max(1, round((days[-1] - days[0]) / 4))
    ticks = [
        (float(day), w.short_day(dt.date.fromordinal(day)))
        for day in range(int(days[0]), int(days[-1]) + 1, step)
    ]
    inside = [(d, v) for d, v in seen[0] if days[0] <= d <= days[-1]]
    at = float(today.toordinal())
    return drawing.BandPicture(
        tuple(days),
        tuple(low),
        tuple(middle),
        tuple(high),
        tuple(ticks),
        levels,
        title,
        seen=tuple(inside),
        seen_words=seen[1],
        limit=limit,
        today=(at, _("today")) if days[0] <= at <= days[-1] else None,
        liquid=liquid,
        floor=floor,
    )


def _chart(picture: drawing.BandPicture, said: heard.Words) -> SafeString:
    """The drawing under its title; ``said`` words a value for who hears it."""
    told = heard.band(picture, lambda day: w.short_day(dt.date.fromordinal(int(day))), said)
    return shown(f"<h3>{picture.title}</h3>" + drawing.draw_band(told))


def _closed_slow(seen: Foresight) -> dt.date | None:
    """The day on which one that fills too slowly is reckoned as closed; None where it is not."""
    began, full = seen.raw.get("began"), seen.raw.get("full_on")
    if not began or not isinstance(full, Mapping):
        return None
    longest = dt.timedelta(days=round(book()["planning.longest_fill"].value))
    closed = dt.date.fromisoformat(began) + longest
    day = seen.day("full_on")
    return closed if day is None or day.middle > closed else None


def _closed_said(seen: Foresight) -> str:
    """What the day of being sour is reckoned for, where that is not a full vessel."""
    slow = _closed_slow(seen)
    return "" if slow is None else _("if closed on %(day)s, full or not") % {"day": w.day(slow)}


def how(seen: Foresight) -> list[str]:
    """Where the forecast comes from."""
    members = seen.raw.get("members")
    text = _(
        "The model of a vessel is run many times, each time with other amounts, packing, warmth "
        "and bran; the runs that agree best with this vessel's log weigh most. The first figure "
        "is the middle of them, the range holds eight of ten."
    )
    found = [
        text,
        _(
            "It counts on the usual dose of bran of usual strength on every layer, not on the dose "
            "and the lot that were written down; strips and smells correct it. With weak bran, "
            "or too little, failing is likelier than it says, above all where it is cold."
        ),
    ]
    slow = _closed_slow(seen)
    if slow is not None:
        text = _(
            "It fills slowly: reckoned as closed on %(day)s, full or not, and sour from there."
        )
        found.append(text % {"day": w.day(slow)})
    moved = foretold.moved_by(seen)
    if moved:
        found.append(_("What moves the answer most: %(inputs)s.") % {"inputs": ", ".join(moved)})
    if members:
        found.append(_("Runs: %(n)d.") % {"n": members})
    return found
