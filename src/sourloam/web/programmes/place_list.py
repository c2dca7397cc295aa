"""The list of a programme's places: all, those with something the matter, those of a name."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from sourloam.programme import Morning, PlaceFacts
from sourloam.web.finding.matching import matching
from sourloam.web.programmes.filters import FILTERS, held, said
from sourloam.web.programmes.house import Yard
from sourloam.web.programmes.place import place_row

_LISTED = 100
_LONGEST = 80


@dataclass(frozen=True)
class Asked:
    """Which list, which letters, from which place on."""

    show: str = ""
    name: str = ""
    first: int = 0


def asked_of(query: Mapping[str, str]) -> Asked:
    """What was asked for; what can't be read is left out."""
    show, first = query.get("show", ""), query.get("from", "")
    number = first.isascii() and first.isdigit() and len(first) < 7
    return Asked(
        show if show in FILTERS else "",
        " ".join(query.get("q", "").split())[:_LONGEST],
        int(first) if number else 0,
    )


def list_page(
    yard: Yard, reckoned: Morning, facts: Sequence[PlaceFacts], asked: Asked
) -> dict[str, Any]:
    """The places of a list, so many at a time, and what they have in common."""
    every = held(asked.show, reckoned, facts)
    found = matching(every, asked.name, lambda one: one.name, strict=True)
    first = min(asked.first, max(len(found) - 1, 0))
    until = first + _LISTED
    helped = {h.place.id: h for h in reckoned.help}
    risk = FILTERS[asked.show].risk if asked.show else ""
    return {
        "q": asked.name,
        "show": asked.show,
        "said": said(asked.show, found),
        "filters": _filters(yard, reckoned, facts, asked.show),
        "headline": ngettext("%(n)d place", "%(n)d places", len(found)) % {"n": len(found)},
        "nothing": _nothing(asked),
        "rows": [place_row(yard, one, helped, risk) for one in found[first:until]],
        "more": max(len(found) - until, 0),
        "next": _query(show=asked.show, q=asked.name, **{"from": str(until)}),
    }


def _nothing(asked: Asked) -> str:
    """What is said where the list is empty."""
    if asked.name:
        return _("No place here is called “%(asked)s”.") % {"asked": asked.name}
    return _("No place is on this list today.") if asked.show else ""


def _query(**asked: str) -> str:
    return "?" + urlencode({key: value for key, value in asked.items() if value})


def _filters(
    yard: Yard, reckoned: Morning, facts: Sequence[PlaceFacts], show: str
) -> list[dict[str, Any]]:
    """All places and each list that holds some, with their numbers."""
    words = {"": _("All"), **{name: str(one.word) for name, one in FILTERS.items()}}
    number = {name: len(held(name, reckoned, facts)) for name in words}
    url = reverse("web:programme_places", args=[yard.id])
    return [
        {
            "word": word,
            "number": number[name],
            "url": url + (_query(show=name) if name else ""),
            "here": name == show,
        }
        for name, word in words.items()
        if number[name] or name in ("", show)
    ]
