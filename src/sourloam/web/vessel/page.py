"""A vessel's page: the answer, the drawing, what to log, what is to come, the log, cautions."""

from __future__ import annotations

import datetime as dt
import math
from typing import Any

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from sourloam import drawing
from sourloam.evidence import book
from sourloam.ledger import bodies as b
from sourloam.ledger.lot_demand import good_kg, times_usual
from sourloam.ledger.state import Record, Turn, VesselState
from sourloam.ledger.supersession import Oddity
from sourloam.web import wording as w
from sourloam.web.fields import LogForm
from sourloam.web.forms import Asking, units_of, vessel_forms
from sourloam.web.forms.making import CORRECTED
from sourloam.web.ground.digging import to_dig, with_picture
from sourloam.web.house import House, Inside
from sourloam.web.log.lines import log_line
from sourloam.web.log.telling import said
from sourloam.web.pictures import legend, picture_of, shown
from sourloam.web.place.slips import now, slips, visits
from sourloam.web.rescue.signs import TICKED
from sourloam.web.vessel import foretold
from sourloam.web.vessel.at_risk import is_at_risk, remedy
from sourloam.web.vessel.forecast_part import charts, facts, how
from sourloam.web.vessel.foresight import Foresight, Spread
from sourloam.web.vessel.narrowing import since_when
from sourloam.web.vessel.strips import drawn_said

_PUTRID_ABOVE = "triage.remedy.doubt_ph"
_LOG_SHOWN = 12
_LOG_PAGE = 100  # lines of one page of the log


def page(
    inside: Inside,
    vessel: VesselState,
    last: Record[b.Fed] | None,
    signs: w.Words,
    log_page: int = 0,
) -> dict[str, Any]:
    """Everything that the template needs; ``log_page`` 0 shows the log's newest lines alone."""
    house, seen = inside.house, inside.foreseen.get(vessel.id)
    stage = inside.stage(vessel)
    picture = picture_of(vessel, stage, inside.state, seen)
    mine = now(visits(due for due in inside.dues if due.thing == ("vessel", vessel.id)))
    return {
        "vessel": vessel,
        "stage": stage,
        "headline": headline(vessel, stage, seen, house.today),
        "answer": answer(vessel, stage, seen, house),
        "drawing": shown(drawing.draw_vessel(picture)),
        "legend": legend(picture) if picture.layers and stage != "failed" else [],
        "drawn": drawn_said(vessel, seen, house.today) if stage != "failed" else [],
        "notes": notes(vessel, stage, seen, house),
        "lots": lots_on(inside, vessel),
        "now": slips(mine, house.id, house.units, inside.state, house.kinds),
        "may_write": any(house.may(kind) for kind in ("fed", "looked")),
        "forms": _forms(inside, vessel, last, stage, signs),
        "facts": _facts(inside, seen, stage) if seen else [],
        "charts": charts(vessel, seen, house.today, house.units) if seen else [],
        "how": how(seen) if seen else [],
        "waiting_forecast": "" if seen or vessel.turn is None else _("The forecast is being made."),
        **_log_part(inside, vessel, signs, log_page),
    }


def _facts(inside: Inside, seen: Foresight, stage: str) -> list[dict[str, str]]:
    """What is foreseen; of bran, with the dose that layers ask for and what is left of it."""
    house, state = inside.house, inside.state
    asks = (state, state.site(), house.today)
    left = good_kg(*asks) if state.lots else math.inf
    return facts(seen, house.units, house.today, stage, times_usual(*asks), left)


def lots_on(inside: Inside, vessel: VesselState) -> list[dict[str, str]]:
    """Lots of bran on the layers of this filling, the newest first, each with its page."""
    turn = vessel.turn
    names = [layer.body.lot for layer in reversed(turn.layers) if layer.body.lot] if turn else []
    recalled = {lot.id for lot in inside.state.lots if lot.recalled is not None}
    return [
        {
            "name": name,
            "url": reverse("web:lot", args=[inside.house.id, name]),
            "said": _("recalled") if name in recalled else "",
        }
        for name in dict.fromkeys(names)
    ]


def _forms(
    inside: Inside, vessel: VesselState, last: Record[b.Fed] | None, stage: str, signs: w.Words
) -> list[LogForm]:
    turn, due = vessel.turn, to_dig(inside, vessel=vessel.id)
    ask = Asking(
        inside.state,
        units_of(inside.house.units),
        vessel=vessel,
        last=turn.last_fed if turn and turn.last_fed else last,
        beds=[(bed.id, bed.name) for bed in inside.state.beds],
        signs=[(key, str(signs[key])) for key in TICKED],
        spot={} if due is None else due.body,
    )
    return with_picture(vessel_forms(ask, stage, inside.house.kinds), inside, due)


def headline(vessel: VesselState, stage: str, seen: Foresight | None, today: dt.date) -> str:
    """What a vessel is, or the day that matters next, in one line."""
    name = {"name": vessel.name}
    if is_at_risk(stage, seen):
        return _("%(name)s is likely to fail") % name
    keys = {"filling": "full_on", "resting": "finished_on"}
    day = seen.day(keys[stage]) if seen and stage in keys else None
    if day is not None:
        said = _foreseen(stage, day.middle < today)
        return said % {**name, "day": w.day(day.middle)}
    return {
        "filling": _("%(name)s is filling"),
        "resting": _("%(name)s is resting"),
        "ready": _("%(name)s is ready to bury"),
        "held": _("%(name)s is ready and keeps: the ground is shut"),
        "failed": _("%(name)s failed to sour"),
        "dirty": _("%(name)s wants washing"),
    }.get(stage, _("%(name)s is empty and clean")) % name


def _foreseen(stage: str, past: bool) -> str:
    """The day of being full, or of being sour and steady."""
    if stage == "filling":
        return (
            _("%(name)s: full since about %(day)s") if past else _("%(name)s: full about %(day)s")
        )
    if past:
        return _("%(name)s: sour and steady since about %(day)s")
    return _("%(name)s: sour and steady about %(day)s")


def answer(vessel: VesselState, stage: str, seen: Foresight | None, house: House) -> str:
    """What it is, and what comes next, in one sentence."""
    turn = vessel.turn
    if turn is None:
        return (
            _("Emptied; wash it before the next layer.")
            if stage == "dirty"
            else _("Empty and clean. The first layer can go in.")
        )
    if stage == "failed":
        return _("It did not sour. Decide what becomes of it.")
    if stage in ("filling", "resting"):
        return _at_work(turn, stage, seen, house)
    if stage == "held":
        return _("The ferment is ready, but the ground does not take it yet. It keeps.")
    return _("The ferment is ready to bury.")


def _at_work(turn: Turn, stage: str, seen: Foresight | None, house: House) -> str:
    """What helps where it is likely to fail, else the range of the headline's day."""
    at_risk = is_at_risk(stage, seen)
    day = None if at_risk else seen
    said = _filling(turn, day, house.today) if stage == "filling" else _resting(turn, day)
    return f"{remedy(seen, house.units)} {said}" if seen is not None and at_risk else said


def _filling(turn: Turn, seen: Foresight | None, today: dt.date) -> str:
    days = max(0, (today - turn.began.day).days)
    since = ngettext("Filling for %(n)d day.", "Filling for %(n)d days.", days) % {"n": days}
    full = seen.day("full_on") if seen else None
    if full is None:
        return since
    return f"{since} {_range(full)}".strip()


def _resting(turn: Turn, seen: Foresight | None) -> str:
    since = turn.set_aside.day if turn.set_aside else turn.began.day
    said_since = _("Resting since %(day)s.") % {"day": w.day(since)}
    done = seen.day("finished_on") if seen else None
    if done is None:
        return said_since
    return f"{said_since} {_range(done)}".strip()


def _range(found: Spread) -> str:
    """Between which days the headline's day lies; nothing where both are one."""
    if found.low is None or found.high is None or found.low == found.high:
        return ""
    ends = {"low": w.short_day(found.low), "high": w.short_day(found.high)}
    return _("Range: %(low)s – %(high)s.") % ends


def span_said(found: Spread) -> str:
    """A foreseen day with its range behind it."""
    middle = w.day(found.middle)
    if found.low is None or found.high is None:
        return middle
    if found.low == found.high:
        return middle
    return f"{middle} ({w.short_day(found.low)} – {w.short_day(found.high)})"


def notes(
    vessel: VesselState, stage: str, seen: Foresight | None, house: House
) -> list[dict[str, Any]]:
    """What is foreseen to fail and why, what looks odd, what is in dispute, what wants care."""
    found: list[dict[str, Any]] = []
    if stage == "failed":
        title = _("What to do, in this order")
        found.append({"sort": "bad", "title": title, "steps": _steps_of_failed()})
    if seen is not None and vessel.turn is not None and stage in ("filling", "resting", "failed"):
        since = since_when(vessel, seen)
        title = _("What was foreseen") if stage == "failed" else _("Likely to fail")
        found += [
            {"sort": "bad", "title": title, "text": f"{text} {since}".strip()}
            for text in foretold.why(seen, house.units)
        ]
    if stage == "held":
        text = _("A closed vessel may stand for months. Leave the lid shut and let frost pass.")
        found.append({"sort": "cold", "title": "", "text": text})
    if vessel.conflicts:
        text = _("Two people corrected the same entry. Both are shown; the later one counts.")
        found.append({"sort": "bad", "title": _("Two versions"), "text": text})
    if seen is not None and vessel.turn is not None:
        found += [
            {"sort": "", "title": _("Other than foreseen"), "text": text}
            for text in foretold.surprises(seen, house.today)[:2]
        ]
    return found + [_odd(odd, vessel, house) for odd in vessel.oddities[-3:]]


def _steps_of_failed() -> list[str]:
    doubt = w.number(book()[_PUTRID_ABOVE].value)
    return [
        _(
            "Ask “Is this normal?”: it tells whether bran and sugar and a second rest are worth "
            "trying, once, with bran of a good lot."
        ),
        _(
            "If not, empty it. A putrid batch above pH %(ph)s is thrown away, with gloves on; it "
            "is never buried near food."
        )
        % {"ph": doubt},
        _("Wash it before the next layer."),
    ]


def _odd(odd: Oddity, vessel: VesselState, house: House) -> dict[str, Any]:
    """What looks odd, on which day, and the way to the entry that may be mended."""
    at = next((r for r in vessel.log if r.entry == odd.entry), None)
    day = odd.at.astimezone(house.zone).date()
    mend = at is not None and house.may(at.kind) and at.kind in CORRECTED
    return {
        "sort": "",
        "title": _("Looks odd"),
        "text": f"{w.day(day)}: {w.told(odd.sentence)}",
        "mend": reverse("web:correct", args=[house.id, odd.entry]) if mend else "",
    }


def _log_part(inside: Inside, vessel: VesselState, signs: w.Words, number: int) -> dict[str, Any]:
    """A page of the log, and what lies before and after it."""
    many = len(vessel.log)
    number = min(number, max(1, math.ceil(many / _LOG_PAGE)))
    first = max(0, number - 1) * _LOG_PAGE
    lines = log_lines(inside, vessel, signs, _LOG_PAGE if number else _LOG_SHOWN, first)
    last = first + len(lines)
    span = {"first": first + 1, "last": w.grouped(last), "n": w.grouped(many)}
    return {
        "log": lines,
        "log_span": _("%(first)s to %(last)s of %(n)s, the newest first") % span if number else "",
        "log_newer": number - 1 if number > 1 else 0,
        "log_older": number + 1 if last < many else 0,
    }


def log_lines(
    inside: Inside, vessel: VesselState, signs: w.Words, most: int, first: int = 0
) -> list[dict[str, Any]]:
    """So many lines of the log, newest first, from line ``first``."""
    disputed: dict[Any, list[str]] = {}
    for conflict in vessel.conflicts:
        counts, *others = conflict.versions
        disputed[counts.id] = [
            said(o.kind, o.body, inside.state, inside.house.units, signs) or w.label(o.kind)
            for o in others
        ]
    newest = vessel.log[::-1][first : first + most]
    return [_line(inside, r, signs, disputed.get(r.entry)) for r in newest]


def _line(
    inside: Inside, record: Record[b.Body], signs: w.Words, others: list[str] | None
) -> dict[str, Any]:
    photo = getattr(record.body, "photo", None)
    return log_line(inside, record, signs) | {
        "conflict": others is not None,
        "others": others or [],
        "photo": reverse("web:photo", args=[inside.house.id, photo]) if photo else "",
    }
