"""The programme's own log, read: by kind, by words, a page at a time."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Any
from urllib.parse import urlencode

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from sourloam.logbook.models import ProgrammeEntry
from sourloam.programme import DEEDS
from sourloam.web import wording as w
from sourloam.web.programmes.house import Yard
from sourloam.web.programmes.place import entry

_PAGE = 60
_LONGEST = 80


def log_page(
    yard: Yard, rows: Sequence[ProgrammeEntry], asked: Mapping[str, str]
) -> dict[str, Any]:
    """Lines of one kind, or with these words, on the page that was asked for; newest first."""
    kind = asked.get("kind", "")
    words = " ".join(asked.get("q", "").split())[:_LONGEST]
    worded = [row for row in rows if _has(row, words.casefold().split())]
    found = [row for row in worded if kind in ("", row.kind)]
    pages = max(1, math.ceil(len(found) / _PAGE))
    number = min(max(_number(asked.get("page", "")), 1), pages)
    first = (number - 1) * _PAGE
    shown = found[first : first + _PAGE]
    span = {"first": first + 1, "last": first + len(shown), "n": w.grouped(len(found))}
    return {
        "none": not rows,
        "headline": _headline(len(rows)),
        "nothing": _("No line holds “%(words)s”.") % {"words": words} if words else "",
        "log": [entry(row, yard) for row in shown],
        "q": words,
        "kind": kind,
        "filters": _filters(Counter(row.kind for row in worded), kind, words),
        "span": _("%(first)s to %(last)s of %(n)s, the newest first") % span if pages > 1 else "",
        "newer": _query(kind, words, number - 1) if number > 1 else "",
        "older": _query(kind, words, number + 1) if number < pages else "",
    }


def _headline(number: int) -> str:
    if not number:
        return _("Nothing is in the log yet")
    return ngettext("%(n)d line in the log", "%(n)d lines in the log", number) % {"n": number}


def _has(row: ProgrammeEntry, words: Sequence[str]) -> bool:
    if not words:
        return True
    place = "" if row.place is None else row.place.name
    said = (row.body.get("note", ""), row.body.get("answer", ""), row.by, place)
    text = " ".join(said).casefold()
    return all(word in text for word in words)


def _filters(many: Mapping[str, int], kind: str, words: str) -> list[dict[str, Any]]:
    """A link for each kind that there is, all of them first."""
    every = sum(many.values())
    kinds = [(one, DEEDS[one].label) for one in DEEDS if many.get(one) or one == kind]
    return [
        {
            "word": _("All") if not one else _(label),
            "n": w.grouped(many.get(one, 0) if one else every),
            "url": _query(one, words),
            "chosen": one == kind,
        }
        for one, label in [("", ""), *kinds]
    ]


def _query(kind: str, words: str, number: int = 1) -> str:
    given = {"kind": kind, "q": words, "page": str(number) if number > 1 else ""}
    return "?" + urlencode({key: value for key, value in given.items() if value})


def _number(text: str) -> int:
    return int(text) if text.isascii() and text.isdigit() and len(text) < 9 else 1
