"""What is due, as slips of paper: what, why, and what one tap writes down."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from itertools import groupby
from typing import Any

from django.urls import reverse
from django.utils.translation import gettext as _

from sourloam.ledger.work import Due
from sourloam.web import wording as w

_ICONS = {
    "feed": "fed",
    "drain": "drained",
    "check": "looked",
    "set_aside": "set_aside",
    "wash": "washed",
    "bury": "buried",
    "plant": "planted",
    "bran": "bran_ordered",
}


#: Work whose entry a person must measure or choose; a forecast must not become an observation.
_TO_BE_READ = ("drain", "bury")


@dataclass(frozen=True)
class Slip:
    """One piece of work as a page shows it; ``body`` is JSON for "Done", empty if it asks more."""

    key: str
    place: str
    kind: str
    icon: str
    what: str
    why: str
    late: bool
    url: str
    open: str
    body: str
    done: str
    on: dt.date
    soon: bool
    tag: str
    vessel: str
    also: tuple[tuple[str, str], ...] = ()


def slips(dues: Iterable[Due], place: str, units: str) -> list[Slip]:
    """Slips of a place, in the order in which the ledger put them."""
    return [_slip(due, place, units) for due in dues]


def gathered(found: Iterable[Slip]) -> list[Slip]:
    """One slip for each vessel and urgency: the weightiest work leads, the rest stands below it.

    A look is left out where the same visit brings other work.
    """
    groups: dict[tuple[str, bool], list[Slip]] = {}
    for slip in found:
        groups.setdefault((slip.vessel or slip.key, slip.soon), []).append(slip)
    made = []
    for some in groups.values():
        first, *rest = sorted(some, key=lambda s: _WEIGHT.index(s.icon))
        also = tuple((s.what, s.url) for s in rest if s.icon != "looked" or s.kind != "looked")
        made.append(replace(first, also=also))
    return made


#: Which work of one visit leads.
_WEIGHT = (
    *("drained", "judged", "buried", "set_aside"),
    *("fed", "washed", "planted", "bran_ordered", "looked"),
)


def _slip(due: Due, place: str, units: str) -> Slip:
    sort, thing = due.thing or ("", "")
    late = due.urgency == "overdue"
    return Slip(
        key=f"{place}:{due.key}",
        place=place,
        kind=due.kind,
        icon="judged" if due.kind == "judged" else _ICONS.get(due.what, "noted"),
        what=_what(due, units),
        why=told(due.why.msgid, due.why.data, units),
        late=late,
        url=_url(due, place, sort, thing),
        open=_("Log it"),
        body="" if due.asks or due.what in _TO_BE_READ else _json(due.body),
        done=_done(due),
        on=due.on,
        soon=due.urgency == "soon",
        tag=_tag(due.what),
        vessel=thing if sort == "vessel" else "",
    )


def told(msgid: str, data: Mapping[str, Any], units: str) -> str:
    """A sentence of the ledger, with dates and amounts as the reader writes them."""
    shown: dict[str, Any] = {}
    for key, value in data.items():
        if isinstance(value, dt.date):
            shown[key] = w.day(value)
        elif key.endswith("_ml") and isinstance(value, int | float):
            shown[key] = w.liquid(float(value), units)
        elif key.endswith("_kg") and isinstance(value, int | float):
            shown[key] = w.kg(float(value), units)
        else:
            shown[key] = value
    return _(msgid) % shown


def _what(due: Due, units: str) -> str:
    name = {"name": due.name}
    if due.what == "drain" and due.expected_ml:
        return _("Drain %(name)s, about %(amount)s") % {
            "amount": w.liquid(round(due.expected_ml, -1), units),
            **name,
        }
    sayings = {
        "feed": _("Feed %(name)s"),
        "drain": _("Drain %(name)s"),
        "check": _("Judge %(name)s") if due.kind == "judged" else _("Look at %(name)s"),
        "set_aside": _("Set %(name)s aside to rest"),
        "wash": _("Wash %(name)s"),
        "bury": _("Bury %(name)s"),
        "plant": _("Plant %(name)s"),
        "bran": _("Get more bran"),
    }
    return sayings[due.what] % name


def _done(due: Due) -> str:
    """What the thumb's button says."""
    if due.what == "feed":
        return _("Same again")
    return _("All well") if due.kind == "looked" else _("Done")


def _tag(what: str) -> str:
    return {
        "feed": _("feed"),
        "drain": _("drain"),
        "check": _("look"),
        "set_aside": _("set aside"),
        "wash": _("wash"),
        "bury": _("bury"),
        "plant": _("plant"),
        "bran": _("bran"),
    }[what]


def _url(due: Due, place: str, sort: str, thing: str) -> str:
    if sort == "vessel":
        return reverse("web:vessel", args=[place, thing]) + f"#log-{due.kind}"
    if sort == "bed":
        return reverse("web:beds", args=[place]) + f"#log-{due.kind}-{thing}"
    return reverse("web:shelf", args=[place])


def _json(body: Mapping[str, Any]) -> str:
    return json.dumps(dict(body), sort_keys=True)


def now(found: Iterable[Slip]) -> list[Slip]:
    """What is for today or late."""
    return [slip for slip in found if not slip.soon]


def later(found: Iterable[Slip]) -> list[tuple[dt.date, list[Slip]]]:
    """What is to come, day by day."""
    ahead = sorted((slip for slip in found if slip.soon), key=lambda s: s.on)
    return [(on, list(some)) for on, some in groupby(ahead, key=lambda s: s.on)]


def tag_of(vessel: str, found: Iterable[Slip]) -> Slip | None:
    """The first piece of work of one vessel: what its paper tag says."""
    return next((slip for slip in found if slip.vessel == vessel), None)
