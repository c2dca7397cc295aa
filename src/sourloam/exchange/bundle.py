"""A whole place as it travels: facts, entries, photos."""

from __future__ import annotations

import zoneinfo
from collections.abc import Callable, Iterable, Mapping
from dataclasses import asdict, dataclass, field
from typing import Any

from sourloam.ledger import Entry
from sourloam.ledger.fields import read_id
from sourloam.site.wording import one_line, shown

FORMAT, VERSION = "sourloam place", 1
MOST_ENTRIES = 1_000_000
_LONGEST_NAME = 80
_MOST_TOLD = 20
Photos = Mapping[str, Callable[[], bytes]]


class ExchangeError(ValueError):
    """What came is not what it should be; ``lines`` say one thing each: where, what, what is right.

    As text it is one line, the first with the number of the others.
    """

    def __init__(self, lines: Iterable[str]) -> None:
        every = [one_line(line, 400) for line in lines]
        self.lines = tuple(every[:_MOST_TOLD])
        self.number = len(every)
        more = f" (and {self.number - 1} more)" if self.number > 1 else ""
        super().__init__(f"{self.lines[0]}{more}")


def refuse(line: str) -> ExchangeError:
    """The trouble told by one line."""
    return ExchangeError([line])


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
        raise refuse(f"place: found {shown(raw)}; write an object with id and name")
    known = PlaceFacts("x", "x").as_json()
    for key in raw:
        if key not in known:
            raise refuse(f"place: {shown(key)}: unknown key; known: {', '.join(known)}")
    given = {key: value for key, value in raw.items() if value not in (None, "")}
    for key, value in given.items():
        if not isinstance(value, str):
            raise refuse(f"place: {key}: found {shown(value)}; write text")
    try:
        facts = PlaceFacts(**{"id": "", "name": "", **given})
        read_id(facts.id)
        zoneinfo.ZoneInfo(facts.zone)
    except (ValueError, OSError, zoneinfo.ZoneInfoNotFoundError) as error:
        what = "id" if not isinstance(error, zoneinfo.ZoneInfoNotFoundError) else "zone"
        raise refuse(f"place: {what}: {error}") from None
    if not 0 < len(facts.name) <= _LONGEST_NAME or not facts.name.isprintable():
        raise refuse(f"place: name: found {shown(facts.name)}; write 1 to {_LONGEST_NAME} letters")
    if facts.units not in ("metric", "us"):
        raise refuse(f"place: units: found {shown(facts.units)}; write metric or us")
    if len(facts.country) > 2 or len(facts.language) > 8:
        raise refuse("place: write country in two letters, language such as en or es")
    return facts


def check_version(form: object, version: object) -> None:
    """ExchangeError for another format, or for one that a newer Sourloam wrote."""
    if form != FORMAT:
        raise refuse(f"format: found {shown(form)}; a place's file says {FORMAT}")
    if str(version) != str(VERSION):
        raise refuse(f"version: found {shown(version)}; this Sourloam reads version {VERSION}")


def check_entries(place: PlaceFacts, found: list[tuple[str, Entry]]) -> tuple[Entry, ...]:
    """Entries of one place, each id once; ``found`` pairs each with where it stands."""
    lines, seen = [], set()
    for where, entry in found:
        if entry.place != place.id:
            lines.append(f"{where}: place: found {shown(entry.place)}; this is {place.id}")
        elif entry.id in seen:
            lines.append(f"{where}: id: {entry.id} stands twice")
        seen.add(entry.id)
    if lines:
        raise ExchangeError(lines)
    return tuple(entry for _where, entry in found)
