"""What a drawing tells to who hears it: the answer, not what the drawing looks like."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from django.utils.translation import gettext as _

from sourloam import drawing
from sourloam.web import wording as w

Words = Callable[[float], str]


def ph(value: float) -> str:
    """As finely as a forecast knows it."""
    return w.number(value, 2)


def nth_day(day: float) -> str:
    """A day that is counted."""
    return _("day %(n)d") % {"n": day}


def band(picture: drawing.BandPicture, day: Words, value: Words) -> drawing.BandPicture:
    """The band with its value where it stands, half way on and at its end, each with its range."""
    said = "; ".join(
        _("%(day)s: %(middle)s (%(low)s – %(high)s)")
        % {
            "day": day(picture.days[n]),
            "middle": value(picture.middle[n]),
            "low": value(picture.low[n]),
            "high": value(picture.high[n]),
        }
        for n in _told(picture)
    )
    limit = [picture.limit[1]] if picture.limit and picture.limit[1] else []
    return replace(picture, desc=". ".join([*filter(None, [picture.desc]), said, *limit]) + ".")


def _told(picture: drawing.BandPicture) -> list[int]:
    """Places of the values that are told, in their order."""
    last = len(picture.days) - 1
    at = picture.today[0] if picture.today is not None else picture.days[0]
    now = next((n for n, day in enumerate(picture.days) if day >= at), last)
    return sorted({now, (now + last) // 2, last})


def strip(strip: drawing.Strip, today: float, last: float, day: Words) -> str:
    """How a vessel stands today and what comes next; empty where nothing is known of today."""
    ahead = [span for span in strip.spans if span[1] > today]
    if not ahead or ahead[0][0] > today:
        return ""
    now = {"name": strip.name, "state": w.word(w.STAGES, ahead[0][2]), "day": day(ahead[0][1])}
    if ahead[0][1] >= last:
        return _("%(name)s: %(state)s") % now
    if len(ahead) == 1:
        return _("%(name)s: %(state)s until %(day)s") % now
    now["next"] = w.word(w.STAGES, ahead[1][2])
    return _("%(name)s: %(state)s until %(day)s, then %(next)s") % now
