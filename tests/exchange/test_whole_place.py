"""A place that went out and came in is the same place."""

import io
import json
import zipfile
from dataclasses import replace
from zoneinfo import ZoneInfo

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sourloam.exchange import (
    Bundle,
    ExchangeError,
    PlaceFacts,
    place_json,
    place_schema,
    read_bundle,
    read_log,
    write_archive,
)
from sourloam.exchange.tables import read_tables, tables
from sourloam.ledger import fold, parse_entry
from sourloam.ledger.entries import canonical
from strategies.ledger_entries import PLACE, START, entry, fed, ledgers

modest = settings(derandomize=True, max_examples=50, deadline=None)
FACTS = PlaceFacts(PLACE, "Flat at 4 Alder Row", "Europe/Dublin", "us", "es", "IE")
DUBLIN = ZoneInfo("Europe/Dublin")


def bundle(entries, **photos):
    return Bundle(FACTS, tuple(entries), photos)


def zipped(made):
    kept = io.BytesIO()
    write_archive(made, kept)
    return kept.getvalue()


def stamped(entries, name):
    return [replace(e, received_at=e.written_at, by=name) for e in entries]


def same(entries, others):
    return sorted(map(canonical, entries)) == sorted(map(canonical, others))


whole = st.builds(
    lambda entries, name: stamped(entries, name),
    ledgers(),
    st.sampled_from(["keeper", "=SUM(A1)", "'quoted", "@home", None]),
)


@given(whole)
@modest
def test_what_went_out_as_json_comes_in_as_the_same_place(entries):
    back = read_bundle(place_json(bundle(entries)))
    assert back.place == FACTS
    assert same(back.entries, entries)
    assert fold(back.entries, DUBLIN) == fold(entries, DUBLIN)


@given(whole)
@modest
def test_what_went_out_as_tables_comes_in_as_the_same_place(entries):
    back = read_bundle(zipped(bundle(entries)))
    assert back.place == FACTS
    assert same(back.entries, entries)
    assert fold(back.entries, DUBLIN) == fold(entries, DUBLIN)


@given(whole)
@modest
def test_what_went_out_as_json_follows_the_written_schema(entries):
    document = json.loads(place_json(bundle(entries)))
    checker = jsonschema.Draft202012Validator(place_schema())
    assert not list(checker.iter_errors(document))


@given(st.text(max_size=30))
@modest
def test_no_text_of_a_table_is_taken_for_a_formula(note):
    made = tables(bundle([entry(1, "noted", {"note": note})]))
    cell = made["noted.csv"].decode("utf-8-sig").split("\r\n", 1)[1]
    assert all(not part.lstrip('"').startswith(tuple("=+-@\t")) for part in cell.split(","))
    assert same(read_tables(made).entries, [entry(1, "noted", {"note": note})])


def test_a_formula_in_a_name_is_disarmed_and_comes_back():
    evil = entry(1, "moved", {"vessel": "pail-1", "where": '=HYPERLINK("x")'})
    made = tables(bundle([evil]))
    assert "'=HYPERLINK" in made["moved.csv"].decode()
    assert read_tables(made).entries == (evil,)


def test_a_table_saved_again_by_a_spreadsheet_with_commas_for_decimals_is_read():
    made = tables(bundle([fed(1, mass_kg=1.5)]))
    text = made["fed.csv"].decode("utf-8-sig").replace(",", ";").replace("1.5", "1,5")
    (back,) = read_tables(made | {"fed.csv": text.encode()}).entries
    assert back.body.amount.mass_kg == 1.5


def test_the_same_place_is_the_same_file():
    made = bundle([fed(1), fed(2)])
    assert zipped(made) == zipped(made)


def test_photos_travel_in_the_zip_and_stay_out_of_the_json():
    import hashlib

    name = hashlib.sha256(b"picture").hexdigest()
    made = Bundle(FACTS, (), {name: lambda: b"picture"})
    assert read_bundle(zipped(made)).photos[name]() == b"picture"
    assert not read_bundle(place_json(made)).photos


def test_a_photo_that_is_not_what_its_name_says_is_refused():
    made = Bundle(FACTS, (), {"ab" * 32: lambda: b"other"})
    with pytest.raises(ExchangeError, match="another picture"):
        read_bundle(zipped(made)).photos["ab" * 32]()


def test_each_bad_row_is_told_in_a_line_of_its_own():
    made = tables(bundle([fed(1), fed(2), fed(3)]))
    text = made["fed.csv"].decode("utf-8-sig").replace("1.0", "much")
    with pytest.raises(ExchangeError) as caught:
        read_tables(made | {"fed.csv": text.encode()})
    assert len(caught.value.lines) == 3
    assert caught.value.lines[1].startswith("fed.csv: line 3: amount.mass_kg: found")
    assert "(and 2 more)" in str(caught.value)


def _with(data, **files):
    kept = io.BytesIO(data)
    with zipfile.ZipFile(kept, "a", zipfile.ZIP_DEFLATED) as packed:
        for name, content in files.items():
            packed.writestr(name.replace("__", "/"), content)
    return kept.getvalue()


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"PK\x03\x04 nothing", "no zip that can be read"),
        (b"\xff\xfe", "not text in UTF-8"),
        (b"{", "no JSON"),
        (b"[" * 100_000, "no JSON"),
        (b'{"format": "sourloam place", "version": 2}', "version: found 2"),
        (b'{"format": "other", "version": 1}', "format: found"),
        (b"[]", "write an object"),
        (b'{"format": "sourloam place", "version": 1, "place": [], "entries": []}', "place: found"),
        (_with(zipped(bundle([])), odd="x"), "no file of a place"),
        (_with(zipped(bundle([])), **{"..__fed.csv": "x"}), "no file of a place"),
    ],
)
def test_what_is_no_place_is_refused_in_one_line(data, why):
    with pytest.raises(ExchangeError, match=why) as caught:
        read_bundle(data)
    assert "\n" not in str(caught.value)


def test_a_zip_that_unpacks_beyond_bounds_is_refused(monkeypatch):
    from sourloam.exchange import archive

    monkeypatch.setattr(archive, "MOST_TABLES_BYTES", 1_000_000)
    bomb = _with(zipped(bundle([])), **{"fed.csv": b"0" * 50_000_000})
    assert len(bomb) < 100_000
    with pytest.raises(ExchangeError, match="too large once unpacked"):
        read_bundle(bomb)


def test_an_entry_of_another_place_does_not_come_in():
    other = replace(fed(1), place="elsewhere")
    with pytest.raises(ExchangeError, match='entry 1: place: found "elsewhere"'):
        read_bundle(place_json(bundle([other])))


def test_an_id_that_stands_twice_does_not_come_in():
    with pytest.raises(ExchangeError, match="stands twice"):
        read_bundle(place_json(bundle([fed(1), fed(1)])))


def test_a_log_is_folded_by_the_days_of_its_place(tmp_path):
    late = parse_entry(fed(1).as_json() | {"at": "2026-06-01T23:30:00+00:00"})
    path = tmp_path / "place.json"
    path.write_bytes(place_json(bundle([late])))
    (layer,) = read_log(path).state.layers()
    assert layer.day.isoformat() == "2026-06-02"
    path.write_text(json.dumps([late.as_json()]))
    assert read_log(path).state.layers()[0].day.isoformat() == "2026-06-01"
    assert START.year == 2026
