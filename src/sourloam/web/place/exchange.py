"""What the page of a sheet of weighings shows before anything is written down."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from sourloam.exchange import Choice, ExchangeError, Row, Trouble, Weighings
from sourloam.web import wording as w
from sourloam.web.house import Inside
from sourloam.web.log import refusing
from sourloam.web.log.telling import said
from sourloam.web.rescue.signs import signs

_MOST_LINES = 200
_YES_NO = {"1": True, "0": False}


def trouble(error: ExchangeError | None, units: str = "metric") -> list[str]:
    """Lines of what is wrong with a file, in the reader's words and units."""
    if error is None:
        return []
    left = error.number - len(error.lines)
    more = [ngettext("and %(n)d line more", "and %(n)d lines more", left) % {"n": left}]
    return [*(_told(one, units) for one in error.troubles), *(more if left > 0 else [])]


def _told(one: Trouble, units: str) -> str:
    """What no page asks for, such as a lost id, is told as the reader of files says it."""
    said = w.told(one.said)
    if one.entry is not None:
        said = refusing.line(one.entry, units)
        said += "" if one.entry.fault else f" ({one.entry})"
    return ": ".join((*map(w.told, one.where), said))


def choice(posted: Mapping[str, str]) -> Choice:
    """What the person said of the sheet; what can't be is as if it was not said."""
    unit = posted.get("unit", "")
    return Choice(
        day_first=_YES_NO.get(posted.get("day_first", "")),
        comma=_YES_NO.get(posted.get("comma", "")),
        unit=unit if unit in ("kg", "lb", "g", "oz", "bowl") else None,
        vessel=posted.get("vessel") or None,
        measure=posted.get("measure") or None,
    )


def preview(inside: Inside, found: Weighings, chosen: Choice) -> dict[str, Any]:
    """Everything that the template needs."""
    good, bad = len(found.good), len(found.bad)
    if found.asks:
        headline = _("One thing first")
    elif bad:
        headline = ngettext("%(n)d line can't come in", "%(n)d lines can't come in", bad)
    else:
        headline = ngettext("%(n)d layer would come in", "%(n)d layers would come in", good)
    kept = {
        "day_first": _flag(chosen.day_first),
        "comma": _flag(chosen.comma),
        "unit": chosen.unit or "",
        "vessel": chosen.vessel or "",
        "measure": chosen.measure or "",
    }
    return {
        "headline": headline % {"n": bad or good} if "%" in headline else headline,
        "asks": [_question(ask, inside) for ask in found.asks],
        "kept": [(k, v) for k, v in kept.items() if v and k not in found.asks],
        "bad": [_bad(row) for row in found.bad[:_MOST_LINES]] if not found.asks else [],
        "good": _good(inside, found)[:_MOST_LINES],
        "columns": [(_role(role), words) for role, words in found.columns.items()],
        "may_take": bool(good) and not bad,
    }


def _flag(value: bool | None) -> str:
    return "" if value is None else str(int(value))


def _bad(row: Row) -> dict[str, Any]:
    assert row.problem is not None
    return {"number": row.number, "said": row.said, "why": w.told(row.problem)}


def _good(inside: Inside, found: Weighings) -> list[dict[str, Any]]:
    names = {v.id: v.name for v in inside.state.vessels}
    return [
        {
            "day": entry.at.astimezone(inside.house.zone).date(),
            "vessel": names[dict(entry.things)["vessel"]],
            "said": said("fed", entry.body, inside.state, inside.house.units, signs()),
        }
        for entry in found.good
    ]


def _role(role: str) -> str:
    return {
        "date": _("day"),
        "time": _("time"),
        "vessel": _("vessel"),
        "amount": _("how much"),
        "unit": _("unit"),
        "kind": _("mix"),
        "bran": _("bran"),
        "note": _("note"),
    }[role]


def _question(ask: str, inside: Inside) -> dict[str, Any]:
    """One question with its answers."""
    vessels = [(v.id, v.name) for v in inside.state.vessels if v.retired is None]
    measures = [(r.body.measure, r.body.name) for r in inside.state.stores.measures]
    asked: dict[str, tuple[str, list[tuple[str, str]]]] = {
        "day_first": (
            _("03/04/2026 in this sheet is"),
            [("1", _("3 April")), ("0", _("4 March"))],
        ),
        "comma": (
            _("1,500 in this sheet is"),
            [("1", _("one and a half")), ("0", _("fifteen hundred"))],
        ),
        "unit": (
            _("The amounts are in"),
            [
                ("kg", _("kilograms")),
                ("lb", _("pounds")),
                ("g", _("grams")),
                ("oz", _("ounces")),
                ("bowl", _("bowls")),
            ],
        ),
        "vessel": (_("Lines without a vessel went into"), vessels),
        "measure": (_("A bowl is"), measures),
    }
    word, choices = asked[ask]
    return {"name": ask, "word": word, "choices": choices}
