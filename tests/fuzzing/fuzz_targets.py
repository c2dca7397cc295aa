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

from strategies.ledger_entries import PLACE, SITE

ROOT = Path(__file__).parents[2]
NOW = "2026-05-01T10:00:00+00:00"
ENTRY = {
    "id": "6f1c2f0e-0000-4000-8000-000000000001",
    "place": PLACE,
    "kind": "fed",
    "at": NOW,
    "written_at": NOW,
    "body": {"vessel": "pail-1", "amount": {"mass_kg": 1.2}, "kinds": "household", "bran_g": 20},
}
SHEET = b"date;vessel;kg;bran g\n2026-05-01;Blue pail;1,2;20\n02/05/2026 18:30;Blue pail;0,8;15\n"
WEATHER = b"date,tmin_c,tmax_c\n2024-01-01,1.0,8.2\n2024-01-02,,7\n2024-01-03,-2,5\n"
FORM = b"vessel=pail-1&amount-way=mass_kg%3An1&amount-n=1.2&bran_g%3An1=20&signs%3Alist=sour_smell"
QUERY = b"body=pail&a.warmth=19&b.warmth=9&days=40&moves=1"
TODAY = dt.date(2026, 5, 1)
ROWS = b'["id"]\n'


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
    from sourloam.web.posted import raw_entry

    sent = QueryDict(data[:4000].decode("latin-1"), encoding="utf-8")
    return _told(lambda: raw_entry(sent, PLACE, "fed", dt.UTC), EntryError)


def play_address(data):
    from sourloam.web.try_it_settings import read_trial

    sent = QueryDict(data[:4000].decode("latin-1"), encoding="utf-8")
    return _told(lambda: read_trial(sent), ValueError)


def set_up_form(data):
    from sourloam.web.wishes import read_wishes

    sent = QueryDict(data[:4000].decode("latin-1"), encoding="utf-8")
    return _told(lambda: read_wishes(sent, TODAY), ValueError)


def achieved_form(data):
    from sourloam.web.achieved_form import Wrong, question

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


@cache
def bundle_of_a_place():
    from sourloam.exchange import Bundle, PlaceFacts
    from sourloam.ledger import parse_entry

    return Bundle(PlaceFacts(PLACE, "Flat at Alder Row"), (parse_entry(ENTRY),))


@cache
def tables_of_a_place():
    from sourloam.exchange.tables import tables

    return tables(bundle_of_a_place())


@cache
def sound(name):
    """Sound inputs of a target, to be broken."""
    makers = {
        "site_file": lambda: [p.read_bytes() for p in sorted((ROOT / "examples").glob("*.toml"))],
        "entry": lambda: [json.dumps(ENTRY).encode(), json.dumps(_described()).encode()],
        "place_json": lambda: [_json_of_a_place()],
        "place_zip": lambda: [_zip_of_a_place()],
        "place_table": lambda: [tables_of_a_place()["fed.csv"]],
        "weighing_sheet": lambda: [SHEET],
        "weather": lambda: [WEATHER],
        "quantity": lambda: [b"1.5 kg", b"2 1/2 us gal", b"20 g/kg", b"68 F", b"76 %"],
        "posted_form": lambda: [FORM],
        "play_address": lambda: [QUERY],
        "set_up_form": lambda: [b"people=3&source=people&area=12&garden=1&climate=mild-oceanic"],
        "achieved_form": lambda: [b"since=2026-01-01&until=2026-04-01&years=20&bin_price=0.2"],
        "photo": lambda: [_picture(form) for form in ("JPEG", "PNG", "WEBP")],
        "manifest": lambda: [_manifest()],
        "backup": lambda: [_backup()],
    }
    return makers[name]()


def _described():
    return ENTRY | {"kind": "place_described", "body": {"site": SITE}}


def _json_of_a_place():
    from sourloam.exchange import place_json

    return place_json(bundle_of_a_place())


def _zip_of_a_place():
    from sourloam.exchange import write_archive

    made = io.BytesIO()
    write_archive(bundle_of_a_place(), made)
    return made.getvalue()


def _picture(form):
    from PIL import Image

    made = io.BytesIO()
    Image.linear_gradient("L").resize((24, 16)).convert("RGB").save(made, form)
    return made.getvalue()


def _manifest():
    said = {
        "format": "sourloam backup",
        "version": 1,
        "made_at": NOW,
        "sourloam": "0.1.0",
        "migration": "0001_initial",
        "places": [{"id": PLACE, "entries": 1, "last_hash": "a" * 64}],
        "parts": {"rows/logbook.entry.jsonl": {"size": len(ROWS), "sha256": "a" * 64, "rows": 1}},
        "photos_missing": [],
    }
    return json.dumps(said).encode()


def _backup():
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("manifest.json", _manifest())
        packed.writestr("rows/logbook.entry.jsonl", ROWS)
    return made.getvalue()


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
