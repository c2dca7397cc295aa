"""The one reader of a place's log, for commands that compute from it and for bringing it in."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from zoneinfo import ZoneInfo

from sourloam.exchange.archive import read_archive
from sourloam.exchange.bundle import Bundle, PlaceFacts
from sourloam.exchange.document import read_document
from sourloam.exchange.trouble import refuse
from sourloam.ledger import Entry, PlaceState, fold
from sourloam.ledger.sentences import gettext_noop as _

_ZIP = b"PK"
MOST_BYTES = 200_000_000


@dataclass(frozen=True)
class Log:
    """A place's log, folded with days told in the place's own zone."""

    place: PlaceFacts
    entries: tuple[Entry, ...]
    state: PlaceState


def read_bundle(data: bytes, loose: bool = False) -> Bundle:
    """The place in a file's bytes, JSON or zip; ExchangeError where it is neither.

    ``loose`` takes bare entries as JSON too.
    """
    return read_archive(data) if data.startswith(_ZIP) else read_document(data, loose)


def read_log(path: Path) -> Log:
    """The log in a file: what ``sourloam export`` wrote, or bare entries as JSON.

    ExchangeError, whose text is one line, for anything else.
    """
    bundle = read_bundle(read_file(path), loose=True)
    return Log(bundle.place, bundle.entries, fold(bundle.entries, ZoneInfo(bundle.place.zone)))


def read_file(path: Path, most: int = MOST_BYTES) -> bytes:
    """The bytes of a file that is not too large; ExchangeError where it can't be read."""
    try:
        if path.stat().st_size > most:
            raise refuse(_("larger than %(most)d MB"), most=most // 1_000_000)
        return path.read_bytes()
    except OSError as error:
        why = _("can't be read: %(why)s")
        raise refuse(why, why=str(error.strerror or error)) from None
