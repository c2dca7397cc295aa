"""Data in and out: a place as JSON, as tables in a zip, and weighings from a spreadsheet.

``Bundle`` is a whole place: its facts, every entry, its photos. ``place_json`` and
``write_archive`` write one, ``read_bundle`` reads either back; ``read_log`` reads the log of one
place for whoever computes from it. ``read_sheet`` and ``weighings`` turn a spreadsheet of
weighings into entries, row by row. Nothing here knows a database or a page.
"""

from sourloam.exchange.archive import write_archive
from sourloam.exchange.bundle import Bundle, PlaceFacts
from sourloam.exchange.document import place_json
from sourloam.exchange.logs import Log, read_bundle, read_log
from sourloam.exchange.schema import place_schema
from sourloam.exchange.sheet import Sheet, read_sheet
from sourloam.exchange.trouble import ExchangeError, Trouble
from sourloam.exchange.weighings import Choice, Row, Weighings, weighings

__all__ = [
    "Bundle",
    "Choice",
    "ExchangeError",
    "Log",
    "PlaceFacts",
    "Row",
    "Sheet",
    "Trouble",
    "Weighings",
    "place_json",
    "place_schema",
    "read_bundle",
    "read_log",
    "read_sheet",
    "weighings",
    "write_archive",
]
