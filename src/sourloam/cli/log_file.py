"""The one way in which every verb reads the log of a place from a file."""

from __future__ import annotations

import json as json_text
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sourloam.cli.trouble import Refusal

if TYPE_CHECKING:
    from sourloam.ledger import Entry

_MOST_BYTES = 200_000_000
_MOST_ENTRIES = 1_000_000


def text_of(path: Path) -> str:
    """What a file says; Refusal in one line where it can't be read."""
    try:
        if path.stat().st_size > _MOST_BYTES:
            raise Refusal(f"{path}: larger than {_MOST_BYTES // 1_000_000} MB")
        return path.read_text(encoding="utf-8")
    except UnicodeDecodeError:
        raise Refusal(f"{path}: not text in UTF-8") from None
    except OSError as error:
        raise Refusal(f"{path}: can't be read: {error.strerror or error}") from None


def entries_of(path: Path) -> list[Entry]:
    """The entries of one place; Refusal in one line for anything wrong with them."""
    from sourloam.ledger import EntryError, parse_entry

    entries = []
    for number, raw in enumerate(_listed(path), start=1):
        try:
            entries.append(parse_entry(raw))
        except EntryError as error:
            raise Refusal(f"{path}: entry {number}: {error}") from None
    named = sorted({entry.place for entry in entries})
    if len(named) > 1:
        raise Refusal(f"{path}: entries of {len(named)} places ({named[0]}, {named[1]}); give one")
    return entries


def _listed(path: Path) -> list[Any]:
    try:
        found = json_text.loads(text_of(path))
    except (json_text.JSONDecodeError, RecursionError) as error:
        raise Refusal(f"{path}: no JSON: {error}") from None
    if isinstance(found, dict):
        found = found.get("entries")
    if not isinstance(found, list) or not found:
        raise Refusal(f"{path}: write a list of entries, or an object with the key entries")
    if len(found) > _MOST_ENTRIES:
        raise Refusal(f"{path}: more than {_MOST_ENTRIES} entries")
    return found
