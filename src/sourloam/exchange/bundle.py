"""A whole place as it travels: facts, entries, photos."""

from __future__ import annotations

import zoneinfo
from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass, field
from typing import Any

from sourloam.exchange.trouble import ExchangeError, Trouble, Where, plain, refuse
from sourloam.ledger import Entry
from sourloam.ledger.fields import read_id
from sourloam.ledger.sentences import Sentence
from sourloam.ledger.sentences import gettext_noop as _
from sourloam.site.wording import shown

FORMAT, VERSION = "sourloam place", 1
MOST_ENTRIES = 1_000_000
_LONGEST_NAME = 80
_UNKNOWN = _("unknown key; known: %(known)s")
_PLACE = plain("place")
Photos = Mapping[str, Callable[[], bytes]]


@dataclass(frozen=True)
class PlaceFacts:
    """What a logbook keeps of a place besides its entries."""

    id: str
    name: str
    zone: str = "UTC"
    units: str = "metric"
    language: str = "en"
    country: str = ""

    def as_json(self) -> dict[str, Any]:
        """Plain JSON."""
        return asdict(self)


@dataclass(frozen=True)
class Bundle:
    """A place. ``photos`` by SHA-256, each read when it is asked for; empty in a JSON file."""

    place: PlaceFacts
    entries: tuple[Entry, ...]
    photos: Photos = field(default_factory=dict)


def read_facts(raw: object) -> PlaceFacts:
    """The facts in decoded JSON or in a table's row; ExchangeError where one can't be."""
    if not isinstance(raw, Mapping):
        right = _("found %(found)s; write an object with id and name")
        raise refuse(right, _PLACE, found=shown(raw))
    known = PlaceFacts("x", "x").as_json()
    for key in raw:
        if key not in known:
            raise refuse(_UNKNOWN, _PLACE, plain(shown(key)), known=", ".join(known))
    given = {key: value for key, value in raw.items() if value not in (None, "")}
    for key, value in given.items():
        if not isinstance(value, str):
            raise refuse(_("found %(found)s; write text"), _PLACE, plain(key), found=shown(value))
    return _checked(PlaceFacts(**{"id": "", "name": "", **given}))


def _checked(facts: PlaceFacts) -> PlaceFacts:
    try:
        read_id(facts.id)
    except ValueError:
        right = _("found %(found)s; write small letters, digits, hyphens")
        raise refuse(right, _PLACE, plain("id"), found=shown(facts.id)) from None
    try:
        zoneinfo.ZoneInfo(facts.zone)
    except (ValueError, OSError, zoneinfo.ZoneInfoNotFoundError):
        right = _("found %(found)s; write a time zone such as Europe/Dublin")
        raise refuse(right, _PLACE, plain("zone"), found=shown(facts.zone)) from None
    if not 0 < len(facts.name) <= _LONGEST_NAME or not facts.name.isprintable():
        right = _("found %(found)s; write 1 to %(most)d letters")
        raise refuse(right, _PLACE, plain("name"), found=shown(facts.name), most=_LONGEST_NAME)
    if facts.units not in ("metric", "us"):
        right = _("found %(found)s; write metric or us")
        raise refuse(right, _PLACE, plain("units"), found=shown(facts.units))
    if len(facts.country) > 2 or len(facts.language) > 8:
        raise refuse(_("write country in two letters, language such as en or es"), _PLACE)
    return facts


def check_version(form: object, version: object) -> None:
    """ExchangeError for another format, or for one that a newer Sourloam wrote."""
    if form != FORMAT:
        right = _("found %(found)s; a place's file says %(right)s")
        raise refuse(right, plain("format"), found=shown(form), right=FORMAT)
    if str(version) != str(VERSION):
        right = _("found %(found)s; this Sourloam reads version %(right)d")
        raise refuse(right, plain("version"), found=shown(version), right=VERSION)


def check_entries(place: PlaceFacts, found: list[tuple[Where, Entry]]) -> tuple[Entry, ...]:
    """Entries of one place, each id once; ``found`` pairs each with where it stands."""
    wrong, seen = [], set()
    for where, entry in found:
        if entry.place != place.id:
            other = _("found %(found)s; this is %(place)s")
            said = Sentence.of(other, found=shown(entry.place), place=place.id)
            wrong.append(Trouble(said, (*where, _PLACE)))
        elif entry.id in seen:
            said = Sentence.of(_("%(id)s stands twice"), id=str(entry.id))
            wrong.append(Trouble(said, (*where, plain("id"))))
        seen.add(entry.id)
    if wrong:
        raise ExchangeError(wrong)
    return tuple(entry for _where, entry in found)
