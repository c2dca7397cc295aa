"""What may be planted when in a bed: trenches that still work, then the soil's warmth."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterator

import numpy as np
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from numpy.typing import NDArray

from sourloam import garden
from sourloam.evidence import book
from sourloam.ledger.opening import Opening
from sourloam.ledger.state import BedState
from sourloam.web import wording as w
from sourloam.web.ground.waits import Waits
from sourloam.web.log.telling import crop_word

_NAMED = 7  # crops told by name on one line
_YEAR_DAYS = 365
_NEAR_DAYS = 25  # days so near are told as one
Line = dict[str, str]


def on_trenches(bed: BedState, waits: Waits) -> list[Line]:
    """Days from which a bed's trenches that still work may be planted, the nearest first."""
    found = Counter((max(day, waits.today), record.day) for record, day in waits.working(bed))
    return [
        _line(day, _trenches_of(dug, many), waits) for (day, dug), many in sorted(found.items())
    ]


def _trenches_of(dug: dt.date, many: int) -> str:
    said = ngettext("on the trench of %(day)s", "on the %(n)d trenches of %(day)s", many)
    return said % {"day": w.day(dug), "n": many}


def season_said(waits: Waits) -> str:
    """Whether the soil lets anything in now, else from when and what; empty without a
    description."""
    found = next(iter(_by_day(waits)), None)
    if found is None:
        return ""
    day, crops = found
    told = {"day": w.day(day), "crops": _named(sorted(crops))}
    if day <= waits.today:
        return _("The soil is warm enough now for %(crops)s.") % told
    return _("The soil is too cold to sow until about %(day)s; then %(crops)s.") % told


def by_warmth(waits: Waits) -> list[Line]:
    """Crops by the first day on which the soil of any bed suits them, the nearest first."""
    return [_line(day, _named(sorted(crops)), waits) for day, crops in _by_day(waits)]


def _by_day(waits: Waits) -> Iterator[tuple[dt.date, list[str]]]:
    by_day: dict[dt.date, list[str]] = {}
    for crop, day in days_by_crop(waits):
        by_day.setdefault(day, []).append(crop_word(crop))
    return _together(by_day)


def _line(day: dt.date, what: str, waits: Waits) -> Line:
    return {"when": _from(day, waits.today), "what": what}


def _from(day: dt.date, today: dt.date) -> str:
    return _("now") if day <= today else _("from %(day)s") % {"day": w.day(day)}


def days_by_crop(waits: Waits) -> Iterator[tuple[str, dt.date]]:
    """Crops, each with the first day on which the soil suits it; none without a description."""
    if waits.ground is None:
        return
    for crop in sown():
        day = suits_from(waits.ground, crop, waits.today)
        if day is not None:
            yield crop, day


def _together(by_day: dict[dt.date, list[str]]) -> Iterator[tuple[dt.date, list[str]]]:
    """Days near each other as one: the last of them, on which all may go in."""
    found: list[tuple[dt.date, dt.date, list[str]]] = []
    for day, crops in sorted(by_day.items()):
        if found and (day - found[-1][0]).days < _NEAR_DAYS:
            first, _last, before = found.pop()
            found.append((first, day, before + crops))
        else:
            found.append((day, day, crops))
    return ((last, crops) for _first, last, crops in found)


def sown() -> list[str]:
    """Crops that are sown or set out for one harvest, not those that stand for years."""
    rows = book()
    return [c for c in garden.crop_names() if rows[f"crops.{c}.days_to_harvest"].value > 0]


def suits_from(ground: Opening, crop: str, today: dt.date) -> dt.date | None:
    """The first day from today on, in a mean year, on which the soil is as warm as the crop needs
    and its growing time lies in the warmer half of the year; None if there is none."""
    rows = book()
    least = rows[f"crops.{crop}.soil_temperature_min"].value
    growing = int(rows[f"crops.{crop}.days_to_harvest"].value)
    found = np.flatnonzero(suiting(ground, today, least, growing))
    return today + dt.timedelta(days=int(found[0])) if len(found) else None


def suiting(ground: Opening, today: dt.date, least_c: float, growing: int) -> NDArray[np.bool_]:
    """Whether each of the days of a mean year from today suits a crop that wants so warm a soil
    and grows for so many days.

    That it must grow in the warmer half keeps a mild November from counting as a spring: by our
    judgement.
    """
    year = ground.soil_c[:_YEAR_DAYS]
    mean, total = float(year.mean()), np.concatenate([[0.0], np.cumsum(np.tile(year, 3))])
    at = ((today - ground.first).days + np.arange(_YEAR_DAYS)) % _YEAR_DAYS
    while_it_grows = (total[at + growing] - total[at]) / growing
    return np.asarray((year[at] >= least_c) & (while_it_grows >= mean))


def _named(crops: list[str]) -> str:
    more = len(crops) - _NAMED
    if more <= 1:
        return ", ".join(crops)
    rest = ngettext("and %(n)d more", "and %(n)d more", more) % {"n": more}
    return f"{', '.join(crops[:_NAMED])} {rest}"
