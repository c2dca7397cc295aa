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
    PlaceFacts,
    check_entries,
    check_version,
    read_facts,
)
from sourloam.exchange.trouble import ExchangeError, Trouble, Where, at_entry, plain, refuse
from sourloam.ledger import Entry, EntryError, parse_entry
from sourloam.ledger.sentences import gettext_noop as _
from sourloam.site.wording import shown

_KEYS = ("format", "version", "place", "entries")
_LIST = _("write a list of entries, or an object with the key entries")


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
        right = _("found %(found)s; write an object with %(keys)s")
        raise refuse(right, found=shown(raw), keys=", ".join(_KEYS))
    check_version(raw.get("format"), raw.get("version"))
    for key in raw:
        if key not in _KEYS:
            unknown = _("unknown key; known: %(known)s")
            raise refuse(unknown, plain(shown(key)), known=", ".join(_KEYS))
    place = read_facts(raw.get("place"))
    return Bundle(place, check_entries(place, _entries(raw.get("entries"))))


def _decoded(data: bytes) -> Any:
    def never(word: str) -> Any:
        raise refuse(_("no JSON: %(found)s is no number"), found=word)

    try:
        return json.loads(data.decode("utf-8-sig"), parse_constant=never)
    except UnicodeDecodeError:
        raise refuse(_("not text in UTF-8")) from None
    except json.JSONDecodeError as error:
        broken = _("no JSON: it breaks off at line %(line)d, letter %(letter)d")
        raise refuse(broken, line=error.lineno, letter=error.colno) from None
    except ExchangeError:
        raise
    except ValueError:
        raise refuse(_("no JSON: a number has too many digits")) from None
    except RecursionError:
        raise refuse(_("no JSON: nested too deep")) from None


def _bare(raw: object) -> Bundle:
    found = _entries(raw)
    if not found:
        raise refuse(_LIST)
    named = sorted({entry.place for _where, entry in found})
    if len(named) > 1:
        many = _("entries of %(n)d places (%(one)s, %(other)s); give one")
        raise refuse(many, n=len(named), one=named[0], other=named[1])
    place = PlaceFacts(named[0], named[0])
    return Bundle(place, check_entries(place, found))


def _entries(raw: object) -> list[tuple[Where, Entry]]:
    if not isinstance(raw, list):
        raise refuse(_LIST)
    if len(raw) > MOST_ENTRIES:
        raise refuse(_("more than %(most)d entries"), most=MOST_ENTRIES)
    return parsed(((at_entry(number),), one) for number, one in enumerate(raw, start=1))


def parsed(found: Iterable[tuple[Where, Mapping[str, Any]]]) -> list[tuple[Where, Entry]]:
    """Checked entries with where they stand; ExchangeError with a line for each that is none."""
    entries, wrong = [], []
    for where, raw in found:
        try:
            entries.append((where, parse_entry(raw)))
        except EntryError as error:
            wrong.append(Trouble(plain(str(error)), where, error))
    if wrong:
        raise ExchangeError(wrong)
    return entries
