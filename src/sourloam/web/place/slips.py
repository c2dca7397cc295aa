"""What is due, as slips of paper: what, why, and what one tap writes down."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from sourloam.ledger import KINDS
from sourloam.ledger.bodies import Amount
from sourloam.ledger.lot_dose import short_of
from sourloam.ledger.state import PlaceState
from sourloam.ledger.work import Due
from sourloam.web import wording as w
from sourloam.web.addresses import address
from sourloam.web.log.telling import amount_said

_ICONS = {
    "recall": "bran_recalled",
    "feed": "fed",
    "drain": "drained",
    "check": "looked",
    "set_aside": "set_aside",
    "wash": "washed",
    "bury": "buried",
    "plant": "planted",
    "bran": "bran_ordered",
}

# Tables, not calls: a page has hundreds of slips, and each translated word costs.
_WORK: w.Words = {
    "feed": gettext_lazy("Feed %(name)s"),
    "drain": gettext_lazy("Drain %(name)s"),
    "check": gettext_lazy("Look at %(name)s"),
    "judge": gettext_lazy("Judge %(name)s"),
    "decide": gettext_lazy("Decide what becomes of %(name)s"),
    "set_aside": gettext_lazy("Set %(name)s aside to rest"),
    "wash": gettext_lazy("Wash %(name)s"),
    "bury": gettext_lazy("Bury %(name)s"),
    "plant": gettext_lazy("Plant %(name)s"),
    "recall": gettext_lazy("Look at %(name)s: its bran was recalled"),
}
_BRAN_WORK: w.Words = {
    "bran_mixed": gettext_lazy("Mix the next batch of bran"),
    "bran_dried": gettext_lazy("Open bran %(name)s and dry it"),
    "bran_packed": gettext_lazy("Pack bran %(name)s"),
    "bran_tested": gettext_lazy("Test bran %(name)s"),
    "bran_discarded": gettext_lazy("Throw out bran %(name)s"),
}
_TAGS: w.Words = {
    "feed": gettext_lazy("feed"),
    "drain": gettext_lazy("drain"),
    "check": gettext_lazy("look"),
    "set_aside": gettext_lazy("set aside"),
    "wash": gettext_lazy("wash"),
    "bury": gettext_lazy("bury"),
    "plant": gettext_lazy("plant"),
    "bran": gettext_lazy("bran"),
    "recall": gettext_lazy("recalled"),
    "decide": gettext_lazy("decide"),
}

#: Work whose entry a person must measure or choose; a forecast must not become an observation.
_TO_BE_READ = ("drain", "bury")


#: Looks that are more than that, by the entry that they ask for.
_BY_KIND = {"judged": "judge", "emptied": "decide"}


@dataclass(frozen=True)
class MoreBran:
    """The same layer with the bran that its lot asks for: why, the button, JSON."""

    why: str
    done: str
    body: str


@dataclass(frozen=True)
class Slip:
    """One piece of work as a page shows it; ``body`` is JSON for "Done", empty if it asks more."""

    key: str
    place: str
    kind: str
    icon: str
    what: str
    why: str
    url: str
    open: str
    body: str
    done: str
    on: dt.date
    vessel: str
    also: tuple[Slip, ...] = ()  # what the same visit wants besides
    again: str = ""  # what one tap writes down once more
    more_bran: MoreBran | None = None  # where that has too little bran


Visit = tuple[Due, ...]


def visits(dues: Iterable[Due]) -> list[Visit]:
    """Work at one vessel of one urgency together: the weightiest leads.

    A look is left out where the same visit brings other work, unless it asks what was seen.
    """
    groups: dict[tuple[object, bool], list[Due]] = {}
    for due in dues:
        groups.setdefault((due.thing or due.key, is_soon(due)), []).append(due)
    made = []
    for some in groups.values():
        if len(some) > 1:
            some.sort(key=lambda due: _WEIGHT.index(_icon(due)))
        first, *rest = some
        made.append((first, *(due for due in rest if due.kind != "looked" or due.asks)))
    return made


def is_soon(due: Due) -> bool:
    """Not for today yet."""
    return due.urgency == "soon"


def slips(
    found: Iterable[Visit],
    place: str,
    units: str,
    state: PlaceState,
    kinds: Collection[str] = tuple(KINDS),
) -> list[Slip]:
    """A slip for each visit; without a button where the reader may not write its kind."""
    return [_slip(visit, place, units, state, kinds) for visit in found]


#: Which work of one visit leads.
_WEIGHT = (
    *("emptied", "bran_recalled", "bran_discarded", "drained", "judged", "buried", "set_aside"),
    *("fed", "washed", "planted", "bran_ordered", "looked"),
    *("bran_dried", "bran_packed", "bran_tested", "bran_mixed"),
)


def _slip(visit: Visit, place: str, units: str, state: PlaceState, kinds: Collection[str]) -> Slip:
    due, *rest = visit
    may = due.kind in kinds
    sort, thing = due.thing or ("", "")
    return Slip(
        key=slip_key(place, due),
        place=place,
        kind=due.kind,
        icon=_icon(due),
        what=what_said(due, units),
        why=told(due.why.msgid, due.why.data, units),
        url=_url(due, place, sort, thing),
        open=_open(due) if may else "",
        body="" if not may or due.asks or due.what in _TO_BE_READ else _json(due.body),
        done=_done(due),
        on=due.on,
        vessel=thing if sort == "vessel" else "",
        also=tuple(_slip((one,), place, units, state, kinds) for one in rest),
        again=_again(due, units, state) if may else "",
        more_bran=_more_bran(due, units, state) if may and not is_soon(due) else None,
    )


def _open(due: Due) -> str:
    """What leads to the form; a vessel likely to fail is never well by one tap."""
    return _("Write what you see") if due.kind == "looked" else _("Log it")


def slip_key(place: str, due: Due) -> str:
    """Tells a slip from all others of the reader."""
    return f"{place}:{due.key}"


def _again(due: Due, units: str, state: PlaceState) -> str:
    """The layer of last time: how much, and with how much bran."""
    if due.kind != "fed" or due.asks or "amount" not in due.body:
        return ""
    amount = amount_said(Amount.model_validate(due.body["amount"]), state, units)
    bran = due.body.get("bran_g")
    with_bran = _("bran %(amount)s") % {"amount": w.grams(bran, units)} if bran else ""
    return ", ".join(filter(None, (amount, with_bran)))


def _more_bran(due: Due, units: str, state: PlaceState) -> MoreBran | None:
    if due.kind != "fed" or due.asks or "amount" not in due.body:
        return None
    dose = short_of(state, due.body, due.on)
    if dose is None:
        return None
    grams = w.grams(dose.grams, units)
    return MoreBran(
        _too_little(dose.weak) % {"lot": dose.lot, "bran": grams},
        _("With %(bran)s") % {"bran": grams},
        _json({**due.body, "lot": dose.lot, "bran_g": dose.grams}),
    )


def _too_little(weak: bool) -> str:
    if weak:
        return _("Too little: bran %(lot)s has grown weak. Give about %(bran)s of it.")
    return _("Too little: give about %(bran)s of bran %(lot)s.")


def _icon(due: Due) -> str:
    if due.what == "bran" or (due.what == "check" and due.kind in _BY_KIND):
        return due.kind
    return _ICONS[due.what]


def told(msgid: str, data: Mapping[str, Any], units: str) -> str:
    """A sentence of the ledger, with dates and amounts as the reader writes them."""
    shown: dict[str, Any] = {}
    for key, value in data.items():
        if isinstance(value, dt.date):
            shown[key] = w.day(value)
        elif key.endswith("_ml") and isinstance(value, int | float):
            shown[key] = w.liquid(float(value), units)
        elif key.endswith("_kg") and isinstance(value, int | float):
            shown[key] = w.about_bran(float(value), units)
        elif key.endswith("_m") and isinstance(value, int | float):
            shown[key] = w.metres(float(value), units)
        else:
            shown[key] = value
    return _(msgid) % shown


def what_said(due: Due, units: str) -> str:
    """What to do, in a few words."""
    name = {"name": due.name}
    if due.what == "drain" and due.expected_ml:
        return _("Drain %(name)s, about %(amount)s") % {
            "amount": w.liquid(round(due.expected_ml, -1), units),
            **name,
        }
    if due.kind == "bran_ordered":
        return _("Get more bran, about %(mass)s") % {
            "mass": w.about_bran(due.body["mass_kg"], units)
        }
    if due.what == "bran":
        return str(_BRAN_WORK.get(due.kind, "")) % name
    return str(_WORK[_BY_KIND.get(due.kind, due.what) if due.what == "check" else due.what]) % name


def _done(due: Due) -> str:
    """What the thumb's button says."""
    if due.what == "feed":
        return _("Same again")
    return _("All well") if due.kind == "looked" else _("Done")


def tag(due: Due) -> str:
    """The one word on a vessel's paper tag."""
    decides = due.what == "check" and due.kind == "emptied"
    return str(_TAGS["decide" if decides else due.what])


def _url(due: Due, place: str, sort: str, thing: str) -> str:
    if sort == "vessel":
        return address("vessel", place, thing) + f"#log-{due.kind}"
    if sort == "bed":
        return address("beds", place) + f"#log-{due.kind}-{thing}"
    if sort == "lot":
        return address("lot", place, thing) + f"#log-{due.kind}"
    return address("lots", place) + f"#log-{due.kind}"


def _json(body: Mapping[str, Any]) -> str:
    return json.dumps(dict(body), sort_keys=True)


def now(found: Iterable[Visit]) -> list[Visit]:
    """What is for today or late."""
    return [visit for visit in found if not is_soon(visit[0])]


OPEN, FOLDED = 12, 28  # slips that lie open, and those under the fold


@dataclass(frozen=True)
class ToDo:
    """What is for today: the first dozen open, some more under a fold, the others only counted;
    ``fewer`` is what the fold says as its slips are done one by one, JSON."""

    open: list[Slip]
    folded: list[Slip]
    fold: str = ""
    fewer: str = ""
    beyond: str = ""


def to_do(
    found: Iterable[Visit],
    place: str,
    units: str,
    state: PlaceState,
    most: int = OPEN,
    folded: int = FOLDED,
) -> ToDo:
    """What is for today or late, in the order of its weight; at most so many open, and under the
    fold."""
    today = now(found)
    made = slips(today[: most + folded], place, units, state)
    hidden, beyond = len(today) - most, len(today) - most - folded
    folds = [_more(hidden - done) for done in range(min(max(hidden, 0), folded) + 1)]
    said = ngettext(
        "And %(n)d more: it stands on the shelf with its tag.",
        "And %(n)d more: they stand on the shelf with their tags.",
        beyond,
    ) % {"n": beyond}
    return ToDo(made[:most], made[most:], folds[0], json.dumps(folds), said if beyond > 0 else "")


def _more(many: int) -> str:
    return ngettext("%(n)d more", "%(n)d more", many) % {"n": many}


def later(found: Iterable[Visit], most: int = 60) -> list[Visit]:
    """What is to come, the nearest first."""
    ahead = sorted((visit for visit in found if is_soon(visit[0])), key=lambda v: v[0].on)
    return ahead[:most]


def by_day(found: Iterable[Slip]) -> list[tuple[dt.date, list[Slip]]]:
    """Slips under their days."""
    return [(on, list(some)) for on, some in groupby(found, key=lambda slip: slip.on)]
