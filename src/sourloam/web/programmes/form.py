"""Reading what the forms of a programme send: one clear line where it can't be."""

from __future__ import annotations

import datetime as dt
import math
from typing import Any

from django.http import HttpRequest
from django.utils.translation import gettext as _

from sourloam.logbook.refusals import Refused

_FLOATS = ("kg", "contamination_kg", "hours", "km")
_WHOLE = ("vessels", "clean", "people")
_TEXTS = ("note", "answer")
_LB = 0.45359237
_POLE, _ROUND = 90.0, 180.0


def number(text: str, name: str, low: float, high: float) -> float:
    """A number with a point or a comma; Refused (422) where it is none or out of bounds."""
    try:
        value = float(text.strip().replace(",", "."))
    except ValueError:
        value = math.nan
    if not low <= value <= high:
        raise Refused(
            _("%(what)s: write a number from %(low)g to %(high)g")
            % {"what": name, "low": low, "high": high},
            422,
        )
    return value


def deed_body(request: HttpRequest, us: bool) -> dict[str, Any]:
    """The fields of a line of the log; masses in pounds where the reader has those."""
    body: dict[str, Any] = {}
    for key in _FLOATS:
        text = request.POST.get(key, "").strip()
        if text:
            value = number(text, key.removesuffix("_kg"), 0, 1e5)
            body[key] = value * _LB if us and key.endswith("kg") else value
    for key in _WHOLE:
        text = request.POST.get(key, "").strip()
        if text:
            body[key] = round(number(text, key, 0, 1e5))
    for key in _TEXTS:
        text = request.POST.get(key, "").strip()
        if text:
            body[key] = text
    return body


def day(request: HttpRequest) -> dt.date | None:
    """The day that a line is of; None where none was given."""
    text = request.POST.get("day", "").strip()
    if not text:
        return None
    try:
        return dt.date.fromisoformat(text)
    except ValueError:
        raise Refused(_("Day: write one such as 2026-03-01"), 422) from None


def whereabouts(request: HttpRequest) -> dict[str, Any]:
    """Where a place lies, its hours, how it is found; what is left empty is not known."""
    post = request.POST
    north, east = post.get("latitude", "").strip(), post.get("longitude", "").strip()
    if bool(north) != bool(east):
        raise Refused(_("Give latitude and longitude, or neither."), 422)
    return {
        "latitude": number(north, _("Latitude"), -_POLE, _POLE) if north else None,
        "longitude": number(east, _("Longitude"), -_ROUND, _ROUND) if east else None,
        "opens": clock(post.get("opens", ""), _("Opens")),
        "closes": clock(post.get("closes", ""), _("Closes")),
        "how": " ".join(post.get("how", "").split())[:200],
    }


def clock(text: str, name: str) -> dt.time | None:
    """A time of day, None where nothing was written."""
    if not text.strip():
        return None
    try:
        return dt.time.fromisoformat(text.strip())
    except ValueError:
        raise Refused(_("%(what)s: write a time such as 08:30") % {"what": name}, 422) from None


def programme(request: HttpRequest, us: bool) -> dict[str, Any]:
    """Name, hub, van and hours of a programme."""
    post, mass = request.POST, _LB if us else 1.0
    found = whereabouts(request)
    starts, ends = found["opens"], found["closes"]
    if starts is None or ends is None:
        raise Refused(_("Say when the round starts and ends."), 422)
    return {
        "name": post.get("name", ""),
        "hub": " ".join(post.get("hub", "").split())[:80],
        "latitude": found["latitude"],
        "longitude": found["longitude"],
        "starts": starts,
        "ends": ends,
        "room": round(number(post.get("room", ""), _("Room for vessels"), 1, 2000)),
        "payload_kg": number(post.get("payload", ""), _("What it may carry"), 1, 50000) * mass,
        "bran_kg": number(post.get("bran", ""), _("Bran at the hub"), 0, 50000) * mass,
        "round_days": round(number(post.get("round_days", ""), _("Days between rounds"), 1, 90)),
    }


def shown_mass(kg: float, us: bool) -> str:
    """A mass as its field shows it."""
    return f"{kg / _LB if us else kg:.4g}"


def mass_unit(us: bool) -> str:
    """The unit of a field with a mass."""
    return "lb" if us else "kg"


__all__ = [
    "clock",
    "day",
    "deed_body",
    "mass_unit",
    "number",
    "programme",
    "shown_mass",
    "whereabouts",
]
