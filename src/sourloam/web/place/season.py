"""The year of a place's vessels as strips: what was, from the log, and what is foreseen."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import islice

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from sourloam import drawing
from sourloam.ledger.opening import Opening, opening
from sourloam.ledger.state import Turn, VesselState
from sourloam.web import heard
from sourloam.web import wording as w
from sourloam.web.house import Inside
from sourloam.web.pictures import shown
from sourloam.web.vessel.foresight import Foresight

_BACK_DAYS, _AHEAD_DAYS = 230, 95
_NEAR_DAYS = 10
_MOST_STRIPS = 24
Span = tuple[dt.date, dt.date, str]


def season(inside: Inside, around: tuple[dt.date, dt.date] | None = None) -> SafeString | None:
    """The drawing; None for a place where nothing was ever filled. ``around`` two days: the weeks
    about them, with both marked."""
    today = inside.house.today
    first, last = today - dt.timedelta(_BACK_DAYS), today + dt.timedelta(_AHEAD_DAYS)
    if around is not None:
        first, last = today - dt.timedelta(_NEAR_DAYS), around[1] + dt.timedelta(2 * _NEAR_DAYS)
    site = inside.state.site()
    ground = opening(site, first, (last - first).days) if site else None
    strips = tuple(islice(_strips(inside, ground, first), _MOST_STRIPS))
    if not strips:
        return None
    marked = around or _months(first, last)
    return shown(drawing.draw_season(_picture(strips, first, last, today, marked)))


def _strips(inside: Inside, ground: Opening | None, first: dt.date) -> Iterator[drawing.Strip]:
    """A strip for every vessel of which the window shows anything."""
    for vessel in inside.state.vessels:
        if vessel.retired is not None:
            continue
        late = replace(vessel, turns=tuple(t for t in vessel.turns if _reaches(t, first)))
        seen = inside.foreseen.get(vessel.id)
        found = _shown(spans(late, seen, ground, inside.house.today), first)
        if found:
            shown_ = tuple((_days(a, first), _days(b, first), state) for a, b, state in found)
            yield drawing.Strip(vessel.name, shown_)


def _reaches(turn: Turn, first: dt.date) -> bool:
    return turn.ended is None or turn.ended.day > first


def _picture(
    strips: tuple[drawing.Strip, ...],
    first: dt.date,
    last: dt.date,
    today: dt.date,
    marked: Iterable[dt.date],
) -> drawing.SeasonPicture:
    near = (last - first).days < _BACK_DAYS
    named = w.short_day if near else w.month
    return drawing.SeasonPicture(
        float((last - first).days),
        strips,
        tuple((_days(day, first), named(day)) for day in marked),
        title=_("The vessels' year"),
        desc=_said(strips, first, last, today),
        today=_days(today, first),
        wide=drawing.WIDE,
    )


def _said(strips: tuple[drawing.Strip, ...], first: dt.date, last: dt.date, today: dt.date) -> str:
    """Where each vessel stands and until when, for who hears the drawing."""
    now, end = _days(today, first), _days(last, first)

    def day(at: float) -> str:
        return w.short_day(first + dt.timedelta(days=at))

    lines = (heard.strip(one, now, end, day) for one in strips)
    how = _("Strips from the log up to today, from the forecast beyond.")
    return " ".join([how, *(f"{line}." for line in lines if line)])


def _months(first: dt.date, last: dt.date) -> Iterator[dt.date]:
    """Firsts of every other month."""
    day = first.replace(day=1)
    while day < last:
        if day >= first and day.month % 2:
            yield day
        day = (day + dt.timedelta(days=32)).replace(day=1)


def _days(day: dt.date, first: dt.date) -> float:
    return float((day - first).days)


def _shown(found: list[Span], first: dt.date) -> list[Span]:
    """The spans that reach into the window; the drawing cuts them at its edges."""
    return [(a, b, state) for a, b, state in found if a < b and b > first]


def spans(
    vessel: VesselState, seen: Foresight | None, ground: Opening | None, today: dt.date
) -> list[Span]:
    """Days on which a vessel was, is and will be filling, resting, ready, held or failed."""
    found: list[Span] = []
    for turn in vessel.turns:
        ahead = seen if turn is vessel.turns[-1] and turn.ended is None else None
        found += _of_turn(turn, ahead, ground, today)
    return found


def _of_turn(
    turn: Turn, seen: Foresight | None, ground: Opening | None, today: dt.date
) -> list[Span]:
    far = today + dt.timedelta(days=_AHEAD_DAYS)
    end = turn.ended.day if turn.ended is not None else far
    closed = turn.set_aside.day if turn.set_aside else _full(seen, today, end, turn)
    found: list[Span] = [(turn.began.day, closed, "filling")]
    verdicts = [r for r in turn.judgements if r.day <= end]
    judged = verdicts[-1] if verdicts else None
    if judged is not None and judged.body.verdict == "failed":
        return [*found, (closed, judged.day, "resting"), (judged.day, end, "failed")]
    ready = judged.day if judged is not None else seen.finished_on if seen else None
    done = min(max(ready, closed), end) if ready is not None else end
    found.append((closed, done, "resting"))
    return [*found, *_waiting(done, end, ground)]


def _full(seen: Foresight | None, today: dt.date, end: dt.date, turn: Turn) -> dt.date:
    """The day on which a vessel that is not closed is full: foreseen, else its end or today."""
    if turn.ended is not None:
        return end
    full = seen.full_on if seen else None
    return max(full, today) if full is not None else today


def _waiting(start: dt.date, end: dt.date, ground: Opening | None) -> Iterator[Span]:
    """Ready while the ground is open, held while it is not."""
    at, day = start, start
    while day < end:
        state = _state(ground, day)
        day += dt.timedelta(days=1)
        if day >= end or _state(ground, day) != state:
            yield at, day, state
            at = day


def _state(ground: Opening | None, day: dt.date) -> str:
    return "ready" if ground is None or ground.is_open(day) else "held"
