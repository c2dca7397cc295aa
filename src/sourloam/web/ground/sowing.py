"""When may one crop go into the ground here: a day, its range, a year by bed, and why."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby
from typing import Any

import numpy as np
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from numpy.typing import NDArray

from sourloam import drawing
from sourloam.evidence import Row, book
from sourloam.web import wording as w
from sourloam.web.ground.plantable import sown, suiting
from sourloam.web.ground.waits import Waits
from sourloam.web.house import Inside
from sourloam.web.log.telling import crop_word
from sourloam.web.pictures import shown

_YEAR_DAYS = 365
_MOST_BEDS = 24
_STATES = ("held", "resting", "ready")


@dataclass(frozen=True)
class Year:
    """The coming year of one crop: whether each day suits, and the first day that does where it
    wants the least and the most of soil and season; None for never."""

    days: list[bool]
    ends: tuple[int | None, int | None]


def choices() -> list[tuple[str, str]]:
    """Crops that can be asked for, by their names."""
    return sorted(((crop, crop_word(crop)) for crop in sown()), key=lambda one: one[1].casefold())


def page(inside: Inside, crop: str) -> dict[str, Any]:
    """Everything that the template needs; the question alone for a crop that is none."""
    asked: dict[str, Any] = {"crops": choices(), "crop": crop}
    waits = Waits(inside)
    if crop not in dict(asked["crops"]):
        return asked | {"headline": _("What do you want to sow?")}
    said = _said(waits, crop)
    if waits.ground is None:
        text = _("Nobody has described this place yet; set-up does that.")
        return asked | {"headline": said, "answer": text}
    year = _year(waits, crop)
    return asked | {
        "headline": said,
        "answer": _answer(inside, waits, year),
        "range": _range(year, waits),
        "drawing": _drawn(inside, waits, year, crop),
        "states": [(state, word) for state, word in zip(_STATES, _words(), strict=True)],
        "beds": list(_beds(inside, waits, year)),
        "how": _how(inside, waits, crop),
    }


def headline(inside: Inside, crop: str) -> str:
    """When that crop may be sown at a place, in one line."""
    return _said(Waits(inside), crop)


def _said(waits: Waits, crop: str) -> str:
    name = {"crop": _large(crop_word(crop))}
    if waits.ground is None:
        return _("%(crop)s: not known yet") % name
    year = _year(waits, crop)
    if not any(year.days):
        return _("%(crop)s: the soil here is too cold for it all year") % name
    if year.days[0]:
        return _("%(crop)s: you may sow now") % name
    return _("%(crop)s: sow from %(day)s") % {**name, "day": w.day(_first(year, waits))}


def _warmth(crop: str) -> Row:
    return book()[f"crops.{crop}.soil_temperature_min"]


def _growing(crop: str) -> Row:
    return book()[f"crops.{crop}.days_to_harvest"]


def _words() -> tuple[str, str, str]:
    return _("soil too cold, or the season too short"), _("a trench still works"), _("sow")


def _large(text: str) -> str:
    return text[:1].upper() + text[1:]


def _year(waits: Waits, crop: str) -> Year:
    assert waits.ground is not None  # asked only of a place that is described
    warmth, growing = _warmth(crop), _growing(crop)
    ground, today = waits.ground, waits.today
    days = suiting(ground, today, warmth.value, int(growing.value))
    corners = [
        _first_of(suiting(ground, today, least, int(many)))
        for least in (warmth.low, warmth.high)
        for many in (growing.low, growing.high)
    ]
    known = [at for at in corners if at is not None]
    last = None if len(known) < len(corners) else max(known)
    return Year([bool(day) for day in days], (min(known, default=None), last))


def _first_of(days: NDArray[np.bool_]) -> int | None:
    found = np.flatnonzero(days)
    return int(found[0]) if len(found) else None


def _first(year: Year, waits: Waits) -> dt.date:
    return waits.today + dt.timedelta(days=year.days.index(True))


def _range(year: Year, waits: Waits) -> str:
    """The first day if the crop bears colder soil or a shorter season, and if it bears less."""
    if not any(year.days) or year.days[0] or year.ends[0] == year.ends[1]:
        return ""
    low, high = (
        _("never") if at is None else w.day(waits.today + dt.timedelta(days=at)) for at in year.ends
    )
    return _("Range: %(low)s to %(high)s.") % {"low": low, "high": high}


def _answer(inside: Inside, waits: Waits, year: Year) -> str:
    """Where: every bed, or all but those with a trench at work."""
    if not any(year.days):
        return ""
    first = _first(year, waits)
    beds = inside.state.beds
    later = [bed for bed in beds if (_trench_until(bed, waits) or first) > first]
    if not beds:
        return _("No bed is laid out here yet; the day is that of the place's soil.")
    if not later:
        return _("In any bed: no trench is in the way by then.")
    names = ", ".join(bed.name for bed in later)
    return _("In any bed; on the trench of %(beds)s a little later, see below.") % {"beds": names}


def _trench_until(bed: Any, waits: Waits) -> dt.date | None:
    return max((day for _record, day in waits.working(bed)), default=None)


def _beds(inside: Inside, waits: Waits, year: Year) -> Iterator[dict[str, str]]:
    """For each bed the day for its trench too."""
    for bed in inside.state.beds[:_MOST_BEDS]:
        until = _trench_until(bed, waits)
        if until is None:
            continue
        at = next((n for n in range((until - waits.today).days, _YEAR_DAYS) if year.days[n]), None)
        if at is not None:
            day = w.day(waits.today + dt.timedelta(days=at))
            yield {"when": _("from %(day)s") % {"day": day}, "what": bed.name}


def _drawn(inside: Inside, waits: Waits, year: Year, crop: str) -> SafeString:
    beds = inside.state.beds[:_MOST_BEDS]
    named = [(bed.name, _trench_until(bed, waits)) for bed in beds] or [(_("any bed"), None)]
    strips = tuple(drawing.Strip(name, _spans(year, waits.today, until)) for name, until in named)
    months = (waits.today.replace(day=1) + dt.timedelta(days=31 * n) for n in range(1, 12, 2))
    ticks = tuple((float((m.replace(day=1) - waits.today).days), w.month(m)) for m in months)
    picture = drawing.SeasonPicture(
        float(_YEAR_DAYS),
        strips,
        ticks,
        title=_("The coming year for %(crop)s") % {"crop": crop_word(crop)},
        desc=_drawing_said(year, waits),
        wide=drawing.WIDE,
    )
    return shown(drawing.draw_season(picture))


def _drawing_said(year: Year, waits: Waits) -> str:
    """What the strips show, in words."""
    spans = [
        "{} – {}".format(*(w.day(waits.today + dt.timedelta(days=int(n))) for n in (a, b - 1)))
        for a, b, state in _spans(year, waits.today, None)
        if state == "ready"
    ]
    return _("Time to sow: %(spans)s.") % {"spans": ", ".join(spans) or _("none")}


def _spans(
    year: Year, today: dt.date, until: dt.date | None
) -> tuple[tuple[float, float, str], ...]:
    """Days of one bed: too cold, its trench at work, good."""
    busy = 0 if until is None else max(0, (until - today).days)
    states = [
        "resting" if n < busy else "ready" if ok else "held" for n, ok in enumerate(year.days)
    ]
    found, at = [], 0
    for state, some in groupby(states):
        many = len(list(some))
        found.append((float(at), float(at + many), state))
        at += many
    return tuple(found)


def _how(inside: Inside, waits: Waits, crop: str) -> list[str]:
    """The rule, its figures, and who says so."""
    units = inside.house.units
    row, days = _warmth(crop), round(_growing(crop).value)
    grows = ngettext("%(n)d day", "%(n)d days", days) % {"n": days}
    assert waits.ground is not None  # asked only of a place that is described
    now = float(waits.ground.soil_c[(waits.today - waits.ground.first).days % _YEAR_DAYS])
    lines = [
        _(
            "The first day on which the soil, in a year of mean weather, is as warm as the crop "
            "needs at least (%(least)s; %(low)s to %(high)s), and from which its growing time "
            "(%(days)s) lies in the warmer half of the year. Today such a year has %(now)s there."
        )
        % {
            "least": w.warmth(row.value, units),
            "low": w.warmth(row.low, units),
            "high": w.warmth(row.high, units),
            "days": grows,
            "now": w.warmth(now, units),
        },
        _(
            "The range is that of the warmth and the time it needs. Years differ by some weeks "
            "more: feel the soil."
        ),
        _("Light and variety still decide: look at the seed packet too."),
    ]
    lines += [f"{bed.name}: {said}" for bed in inside.state.beds if (said := waits.explained(bed))]
    told = "; ".join(filter(None, (w.word(w.STANDINGS, row.standing), book().citation(row))))
    return [*lines, _("Who says how warm: %(source)s.") % {"source": told}]
