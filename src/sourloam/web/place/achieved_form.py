"""What is asked of a place's achievement: a time, where the bin goes, one's own prices."""

from __future__ import annotations

import calendar
import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from pydantic import ValidationError

from sourloam.logbook.achieving import Question

Words = Mapping[str, str | Promise]
TIMES: Words = {
    "all": gettext_lazy("since the log began"),
    "year": gettext_lazy("the last twelve months"),
    "this": gettext_lazy("this calendar year"),
    "before": gettext_lazy("the calendar year before"),
    "own": gettext_lazy("from … to …"),
}
HORIZONS: Words = {"100": gettext_lazy("100 years"), "20": gettext_lazy("20 years")}
REPORTS: Words = {
    "ar6": gettext_lazy("IPCC, sixth report"),
    "ar5": gettext_lazy("IPCC, fifth report"),
}
BINS: Words = {
    "landfill": gettext_lazy("a landfill"),
    "incinerator": gettext_lazy("an incinerator"),
}
LANDFILLS: Words = {
    "managed": gettext_lazy("managed and covered"),
    "semi_aerobic": gettext_lazy("managed, half aired"),
    "deep": gettext_lazy("an open dump, deep or wet"),
    "shallow": gettext_lazy("an open dump, shallow"),
    "unknown": gettext_lazy("not known"),
}
WELLS: Words = {
    "unknown": gettext_lazy("not known"),
    "none": gettext_lazy("no gas wells"),
    "wells": gettext_lazy("gas wells"),
}
PRICES: Words = {
    "bin_per_tonne": gettext_lazy("A tonne in the bin, if you pay by weight"),
    "collections_avoided": gettext_lazy("Collections you really could cancel"),
    "per_collection": gettext_lazy("What one collection costs"),
    "bran_per_kg": gettext_lazy("A kilogram of inoculated bran"),
    "vessels": gettext_lazy("All vessels together"),
    "vessels_last_years": gettext_lazy("Years that they last"),
    "hours": gettext_lazy("Paid hours spent on it"),
    "wage_per_hour": gettext_lazy("What an hour costs"),
    "water_per_m3": gettext_lazy("A cubic metre of water"),
    "nitrogen_per_kg": gettext_lazy(
        "A kilogram of fertiliser nitrogen, if you would have bought it"
    ),
    "driving_per_km": gettext_lazy("A kilometre of your own driving"),
}
WAYS: Words = {
    "haul_km": gettext_lazy("The lorry's way, km"),
    "driven_km": gettext_lazy("Driven for the scraps' sake in that time, km"),
}
_LONGEST = 24


class Wrong(ValueError):
    """What was filled in wrongly, in one line for people."""


@dataclass(frozen=True)
class Choice:
    """One choice of a list."""

    value: str
    word: str
    chosen: bool


@dataclass(frozen=True)
class Field:
    """A number or a word to write."""

    name: str
    word: str
    value: str


def question(given: Mapping[str, str], today: dt.date) -> Question:
    """What is asked; Wrong in one line for what can't be."""
    first, last = _period(given, today)
    local: dict[str, Any] = {
        "bin": {k: given[k] for k in ("to", "landfill", "wells") if given.get(k)},
        "prices": _prices(given),
    }
    if given.get("haul_km", "").strip():
        local["bin"]["haul_km"] = _number(given, "haul_km")
    if given.get("driven_km", "").strip():
        local["driven_km"] = _number(given, "driven_km")
    try:
        return Question.model_validate(
            {
                "first": first,
                "last": last,
                "report": given.get("report") or "ar6",
                "years": int(given.get("years") or 100),
                "local": local,
            }
        )
    except (ValidationError, ValueError) as error:
        raise Wrong(_said(error)) from None


def _said(error: Exception) -> str:
    where = str(error.errors()[0]["loc"][-1]) if isinstance(error, ValidationError) else "years"
    words = {**PRICES, **WAYS}
    if where in words:
        return _("%(field)s: write a number from 0 up, such as 12.5.") % {"field": words[where]}
    return _("That choice is not one of those offered: %(field)s.") % {"field": where}


def _period(given: Mapping[str, str], today: dt.date) -> tuple[dt.date | None, dt.date | None]:
    time = given.get("time") or "all"
    if time == "year":
        day = min(today.day, calendar.monthrange(today.year - 1, today.month)[1])
        return today.replace(year=today.year - 1, day=day) + dt.timedelta(days=1), today
    if time == "this":
        return dt.date(today.year, 1, 1), dt.date(today.year, 12, 31)
    if time == "before":
        return dt.date(today.year - 1, 1, 1), dt.date(today.year - 1, 12, 31)
    if time != "own":
        return None, None
    first, last = (_date(given.get(key, "")) for key in ("first", "last"))
    if first and last and first > last:
        raise Wrong(_("The first day comes after the last; write them the other way round."))
    return first, last


def _date(text: str) -> dt.date | None:
    try:
        return dt.date.fromisoformat(text) if text else None
    except ValueError:
        raise Wrong(_("A day is written like 2026-03-31.")) from None


def _prices(given: Mapping[str, str]) -> dict[str, Any] | None:
    found: dict[str, Any] = {k: _number(given, k) for k in PRICES if given.get(k, "").strip()}
    if not found:
        return None
    return found | {"currency": given.get("currency", "").strip()[:12] or "¤"}


def _number(given: Mapping[str, str], key: str) -> float:
    """A number with a point or a comma."""
    try:
        return float(given[key].strip()[:_LONGEST].replace(",", "."))
    except ValueError:
        word = {**PRICES, **WAYS}[key]
        said = _("%(field)s: write a number from 0 up, such as 12.5.") % {"field": word}
        raise Wrong(said) from None


def shown(given: Mapping[str, str]) -> dict[str, Any]:
    """The form as it was filled in."""
    lists = {
        "time": (TIMES, "all"),
        "years": (HORIZONS, "100"),
        "report": (REPORTS, "ar6"),
        "to": (BINS, "landfill"),
        "landfill": (LANDFILLS, "managed"),
        "wells": (WELLS, "unknown"),
    }
    choices = {
        name: [Choice(v, str(word), v == (given.get(name) or usual)) for v, word in words.items()]
        for name, (words, usual) in lists.items()
    }
    return {
        "choices": choices,
        "first": given.get("first", ""),
        "last": given.get("last", ""),
        "currency": given.get("currency", ""),
        "prices": list(_fields(PRICES, given)),
        "ways": list(_fields(WAYS, given)),
        "open_more": any(given.get(k, "").strip() for k in (*PRICES, *WAYS)),
    }


def _fields(words: Words, given: Mapping[str, str]) -> Iterator[Field]:
    for name, word in words.items():
        yield Field(name, str(word), given.get(name, "")[:_LONGEST])
