"""Everything that reads what somebody else wrote, as one function of bytes each.

A target returns the one line that it refuses with, or "" where it took the input; whatever else it
raises is a fault of ours. The tests here and ``tools/fuzz.py`` share these.
"""

import datetime as dt
import io
import json
import tempfile
import zipfile
from functools import cache
from pathlib import Path

from django.http import QueryDict
from fuzz_seeds import ENTRY, tables_of_a_place

from strategies.ledger_entries import PLACE

TODAY = dt.date(2026, 5, 1)


def site_file(data):
    from sourloam.site import SiteError
    from sourloam.site.reading import loads

    return _told(lambda: loads(data.decode("utf-8", "surrogateescape")), SiteError)


def entry(data):
    """One entry as a phone sends it, or what a broken one would."""
    from sourloam.ledger import EntryError, parse_entry

    try:
        raw = json.loads(data)
    except (ValueError, RecursionError):
        raw = data.decode("utf-8", "replace")
    return _told(lambda: parse_entry(raw), EntryError)


def place_json(data):
    from sourloam.exchange import ExchangeError, read_bundle

    return _told(lambda: read_bundle(data, loose=True), ExchangeError)


def place_zip(data):
    """A zip as it is, photos looked at too."""
    from sourloam.exchange import ExchangeError, read_bundle

    def read():
        bundle = read_bundle(data)
        for photo in bundle.photos.values():
            photo()

    return _told(read, ExchangeError)


def place_table(data):
    """A whole zip around one table that somebody changed."""
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as packed:
        for name, table in tables_of_a_place().items():
            packed.writestr(name, data if name == "fed.csv" else table)
    return place_zip(made.getvalue())


def weighing_sheet(data):
    from sourloam.exchange import ExchangeError, read_sheet, weighings

    def read():
        for row in weighings(read_sheet(data), PLACE, _state(), dt.UTC, TODAY).rows:
            assert row.problem is not None or row.entry is not None

    return _told(read, ExchangeError)


def weather(data):
    from sourloam.climate import ClimateError, read_csv

    return _told(lambda: read_csv(data.decode("utf-8", "replace")), ClimateError)


def quantity(data):
    """One quantity, read in each dimension; taken where one of them takes it."""
    from sourloam.units import UNITS, UnitError, parse

    text = data.decode("utf-8", "replace")
    return min(_told(lambda d=dimension: parse(text, d), UnitError) for dimension in UNITS)


def posted_form(data):
    from sourloam.ledger import EntryError
    from sourloam.web.log.posted import raw_entry

    sent = QueryDict(data[:4000].decode("latin-1"), encoding="utf-8")
    return _told(lambda: raw_entry(sent, PLACE, "fed", dt.UTC), EntryError)


def play_address(data):
    from sourloam.web.try_it.settings import read_trial

    sent = QueryDict(data[:4000].decode("latin-1"), encoding="utf-8")
    return _told(lambda: read_trial(sent), ValueError)


def set_up_form(data):
    from sourloam.web.setup.wishes import read_wishes

    sent = QueryDict(data[:4000].decode("latin-1"), encoding="utf-8")
    return _told(lambda: read_wishes(sent, TODAY), ValueError)


def achieved_form(data):
    from sourloam.web.place.achieved_form import Wrong, question

    sent = QueryDict(data[:4000].decode("latin-1"), encoding="utf-8")
    return _told(lambda: question(sent, TODAY), Wrong)


def photo(data):
    from sourloam.logbook.photos import drawn_anew
    from sourloam.logbook.refusals import Refused

    return _told(lambda: drawn_anew(data), Refused)


def manifest(data):
    from sourloam.safekeeping.form import read_manifest
    from sourloam.safekeeping.trouble import BackupError

    return _told(lambda: read_manifest(data), BackupError)


def backup(data):
    """A copy as it is opened before anything of it is taken in."""
    from sourloam.safekeeping.restoring import opened
    from sourloam.safekeeping.trouble import BackupError

    with tempfile.NamedTemporaryFile(suffix=".zip") as file:
        file.write(data)
        file.flush()

        def read():
            archive, _ = opened(Path(file.name))
            archive.close()

        return _told(read, BackupError)


def _told(read, *refusals):
    try:
        read()
    except refusals as refused:
        return str(refused)
    return ""


@cache
def _state():
    from sourloam.ledger import fold, parse_entry

    added = ENTRY | {
        "id": "6f1c2f0e-0000-4000-8000-000000000002",
        "kind": "vessel_added",
        "body": {"vessel": "pail-1", "name": "Blue pail", "spec": {"name": "p", "volume": "19 L"}},
    }
    return fold([parse_entry(added), parse_entry(ENTRY)])


#: Each target with how many inputs ``make test`` tries.
TARGETS = {
    site_file: 400,
    entry: 900,
    place_json: 500,
    place_zip: 300,
    place_table: 300,
    weighing_sheet: 500,
    weather: 300,
    quantity: 400,
    posted_form: 500,
    play_address: 300,
    set_up_form: 200,
    achieved_form: 300,
    photo: 300,
    manifest: 300,
    backup: 200,
}
