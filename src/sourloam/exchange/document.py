"""A place as one JSON document."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from typing import Any

from sourloam.exchange.bundle import (
    FORMAT,
    MOST_ENTRIES,
    VERSION,
    Bundle,
    ExchangeError,
    PlaceFacts,
    check_entries,
    check_version,
    read_facts,
    refuse,
)
from sourloam.ledger import Entry, EntryError, parse_entry
from sourloam.site.wording import shown

_KEYS = ("format", "version", "place", "entries")


def as_document(bundle: Bundle) -> dict[str, Any]:
    """The place as plain JSON; photos stay behind."""
    return {
        "format": FORMAT,
        "version": VERSION,
        "place": bundle.place.as_json(),
        "entries": [entry.as_json() for entry in bundle.entries],
    }


def place_json(bundle: Bundle) -> bytes:
    """The JSON file of a place; its photos stay behind."""
    text = json.dumps(as_document(bundle), ensure_ascii=False, indent=1, allow_nan=False)
    return (text + "\n").encode("utf-8")


def read_document(data: bytes, loose: bool = False) -> Bundle:
    """The place in a JSON file; ExchangeError where it isn't one.

    ``loose`` takes bare entries too, a list or under the key ``entries``: a log without facts.
    """
    raw = _decoded(data)
    if loose and (isinstance(raw, list) or (isinstance(raw, dict) and "format" not in raw)):
        return _bare(raw if isinstance(raw, list) else raw.get("entries"))
    if not isinstance(raw, dict):
        raise refuse(f"found {shown(raw)}; write an object with {', '.join(_KEYS)}")
    check_version(raw.get("format"), raw.get("version"))
    for key in raw:
        if key not in _KEYS:
            raise refuse(f"{shown(key)}: unknown key; known: {', '.join(_KEYS)}")
    place = read_facts(raw.get("place"))
    return Bundle(place, check_entries(place, _entries(raw.get("entries"))))


def _decoded(data: bytes) -> Any:
    def never(word: str) -> Any:
        raise ValueError(f"{word} is no number")

    try:
        return json.loads(data.decode("utf-8-sig"), parse_constant=never)
    except UnicodeDecodeError:
        raise refuse("not text in UTF-8") from None
    except (ValueError, RecursionError) as error:
        raise refuse(f"no JSON: {error}") from None


def _bare(raw: object) -> Bundle:
    found = _entries(raw)
    if not found:
        raise refuse("write a list of entries, or an object with the key entries")
    named = sorted({entry.place for _where, entry in found})
    if len(named) > 1:
        raise refuse(f"entries of {len(named)} places ({named[0]}, {named[1]}); give one")
    place = PlaceFacts(named[0], named[0])
    return Bundle(place, check_entries(place, found))


def _entries(raw: object) -> list[tuple[str, Entry]]:
    if not isinstance(raw, list):
        raise refuse("write a list of entries, or an object with the key entries")
    if len(raw) > MOST_ENTRIES:
        raise refuse(f"entries: more than {MOST_ENTRIES}")
    return parsed((f"entry {number}", one) for number, one in enumerate(raw, start=1))


def parsed(found: Iterable[tuple[str, Mapping[str, Any]]]) -> list[tuple[str, Entry]]:
    """Checked entries with where they stand; ExchangeError with a line for each that is none."""
    entries, lines = [], []
    for where, raw in found:
        try:
            entries.append((where, parse_entry(raw)))
        except EntryError as error:
            lines.append(f"{where}: {error}")
    if lines:
        raise ExchangeError(lines)
    return entries
