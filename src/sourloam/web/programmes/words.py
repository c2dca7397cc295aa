"""Words and short sayings that the pages of a programme share."""

from __future__ import annotations

import datetime as dt

from django.urls import reverse
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from sourloam.ledger.sentences import Sentence
from sourloam.programme import (
    PlaceFacts,
    Risk,
    Three,
    rule,
)
from sourloam.web import wording as w
from sourloam.web.programmes.house import Yard

KINDS: w.Words = {
    "home": gettext_lazy("home"),
    "school": gettext_lazy("school"),
    "cafe": gettext_lazy("café"),
    "garden": gettext_lazy("garden"),
    "other": gettext_lazy("other"),
}
ROLES: w.Words = {
    "coordinator": gettext_lazy("coordinator: everything"),
    "helper": gettext_lazy("helper: rounds and log"),
    "reader": gettext_lazy("reader: looks on"),
    "place": gettext_lazy("a place of their own comes in"),
}
LEFT_OUT: w.Words = {
    "nowhere_on_the_map": gettext_lazy("nobody said where it lies"),
    "too_far_down": gettext_lazy("more pressing ones come first"),
    "no_room_or_time": gettext_lazy("no room or no time left"),
}
REASONS: w.Words = {
    "failed": gettext_lazy("a failed vessel"),
    "nowhere": gettext_lazy("nowhere to put scraps"),
    "failing": gettext_lazy("likely to fail"),
    "stopped": gettext_lazy("fell silent"),
    "bran": gettext_lazy("bran runs out"),
    "undrained": gettext_lazy("not drained"),
}


def in_hundred(chance: Three) -> str:
    """A chance in words with its range."""
    low, middle, high = (min(max(round(100 * share), 1), 99) for share in chance)
    if low == middle == high:
        return _("about %(m)d in 100") % {"m": middle}
    return _("about %(m)d in 100 (%(l)d – %(h)d)") % {"m": middle, "l": low, "h": high}


def told(sentence: Sentence, units: str) -> str:
    """A sentence with its quantities and dates written out."""
    data = {
        key: w.day(value) if isinstance(value, dt.date) else value
        for key, value in sentence.shown(units).items()
    }
    return _(sentence.msgid) % data


def within(risk: Risk) -> str:
    """Its chance, and the time for which it holds where that is a time of ours: a sentence that
    stands behind another."""
    said = in_hundred(risk.chance) if risk.chance else ""
    if risk.what in ("nowhere", "bran"):
        said = _("%(chance)s within %(days)d days") % {
            "chance": said,
            "days": int(rule("programme.risk.ahead")),
        }
    return capfirst(f"{said}.") if said else ""


def two_digits(value: float) -> float:
    """So exact as anybody can vouch for."""
    return float(f"{value:.2g}")


def days(number: int) -> str:
    """A number of days."""
    return ngettext("%(n)d day", "%(n)d days", number) % {"n": number}


def area(three: Three, units: str) -> str:
    """Bed or floor with its range, in the reader's units."""
    return w.area(*three, units)


def place_url(yard: Yard, place: PlaceFacts) -> str:
    """The page of a place in its programme."""
    return reverse("web:programme_place", args=[yard.id, place.id])
