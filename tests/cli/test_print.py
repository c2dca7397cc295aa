"""``sourloam print``: sheets written to files, trouble in one line."""

import datetime as dt
import json
from pathlib import Path

import pytest

from sourloam.cli import main

HOME = Path(__file__).parents[2] / "examples" / "home.toml"

DAY = dt.date(2026, 5, 4)


def run(*arguments):
    with pytest.raises(SystemExit) as caught:
        main(["print", str(HOME), "--members", "20", *map(str, arguments)])
    return caught.value.code


def test_labels_are_written_whole(tmp_path, capsys):
    out = tmp_path / "labels.pdf"
    assert run("--what", "labels", "--out", out, "--sticker", "99x68", "--language", "es") == 0
    assert out.read_bytes().startswith(b"%PDF")
    assert [path.name for path in tmp_path.iterdir()] == ["labels.pdf"]
    assert capsys.readouterr().out == ""


@pytest.mark.parametrize(
    ("arguments", "why"),
    [
        (["--out", "card.txt"], "give one of .pdf"),
        (["--out", "card.pdf", "--what", "calendar"], "give one of .ics"),
        (["--out", "card.pdf", "--sticker", "large"], "write width x height in mm"),
        (["--out", "l.pdf", "--what", "labels", "--sticker", "9x9"], "give at least 40x20"),
        (["--out", "card.pdf", "--address", "shed"], "begin it with http"),
        (["--out", "card.pdf", "--what", "poster"], "poster"),
    ],
)
def test_trouble_is_told_in_one_line_before_computing(
    tmp_path, monkeypatch, capsys, arguments, why
):
    monkeypatch.chdir(tmp_path)
    assert run(*arguments) == 2
    err = capsys.readouterr().err
    assert len(err.strip().splitlines()) == 1
    assert why in err
    assert list(tmp_path.iterdir()) == []


@pytest.fixture
def log(tmp_path):
    from sourloam.exchange import Bundle, PlaceFacts, place_json
    from strategies.ledger_entries import PLACE, SITE, SPEC, entry, fed

    body = {"vessel": "pail-1", "name": "Blue pail", "spec": SPEC}
    entries = (entry(0, "place_described", {"site": SITE}), entry(1, "vessel_added", body), fed(2))
    bundle = Bundle(PlaceFacts(PLACE, "Alder Row"), entries)
    path = tmp_path / "log.json"
    path.write_bytes(place_json(bundle))
    return path


def run_log(log, *arguments):
    with pytest.raises(SystemExit) as caught:
        main(["print", str(log), *map(str, arguments)])
    return caught.value.code


@pytest.mark.parametrize("what", ["season", "week", "labels"])
def test_a_log_is_printed(log, tmp_path, what):
    out = tmp_path / "sheet.pdf"
    assert run_log(log, "--what", what, "--out", out, "--language", "es") == 0
    assert out.read_bytes().startswith(b"%PDF")


def test_what_neither_log_nor_site_is_enough_for_is_told(log, tmp_path, capsys):
    bare = tmp_path / "bare.json"
    bare.write_text(json.dumps([json.loads(log.read_text("utf-8"))["entries"][1]]), "utf-8")
    assert run_log(bare, "--what", "card", "--out", tmp_path / "card.pdf") == 2
    assert "nobody described this place yet" in capsys.readouterr().err
    for what in ("season", "week"):
        assert run("--what", what, "--out", tmp_path / "s.pdf") == 2
        assert f"a {what} is told by a log" in capsys.readouterr().err


def test_burials_from_a_log_are_of_the_vessels_that_wait_there(tmp_path):
    from sourloam.cli.log_file import log_of
    from sourloam.cli.sheets import site_of, waiting
    from sourloam.exchange import Bundle, PlaceFacts, place_json
    from strategies.ledger_entries import PLACE, SITE, SPEC, entry

    def pail(number, name):
        spec = {"vessel": name, "name": name, "spec": SPEC}
        fed = {"vessel": name, "amount": {"mass_kg": 10.0}}
        return [
            entry(10 * number, "vessel_added", spec),
            entry(10 * number + 1, "fed", fed, 3),
            entry(10 * number + 2, "set_aside", {"vessel": name}, 3),
        ]

    judged = entry(99, "judged", {"vessel": "a", "verdict": "sound"}, 20)
    failed = entry(98, "judged", {"vessel": "c", "verdict": "failed"}, 20)
    entries = (
        entry(1, "place_described", {"site": SITE}),
        *pail(2, "a"), *pail(3, "b"), *pail(4, "c"), judged, failed,
    )  # fmt: skip
    path = tmp_path / "log.json"
    path.write_bytes(place_json(Bundle(PlaceFacts(PLACE, "Alder Row"), entries)))
    log = log_of(path)
    soon = dt.date(2026, 3, 12)
    found = waiting(log, site_of(log, path, soon), soon)
    assert [(one.name, one.ready) for one in found] == [
        ("a", dt.date(2026, 3, 21)),
        ("b", dt.date(2026, 3, 18)),
    ]
    assert all(5 < one.mass_kg < 10 for one in found)


def test_a_plan_from_a_log_owns_what_stands_on_the_shelf(log):
    from sourloam.cli.log_file import log_of
    from sourloam.cli.sheets import shelf_of, site_of

    found = log_of(log)
    shelf, site = shelf_of(found, log), site_of(found, log, DAY)
    assert site.place.start == DAY
    owned = {kind.name: kind.owned for kind in site.vessels if kind.owned}
    assert sum(owned.values()) == len(shelf)
    assert {one.kind for one in shelf} == set(owned)
    assert [one.name for one in shelf] == sorted(v.name for v in found.state.vessels)


@pytest.mark.parametrize("address", ["http://shed.example", "http://shed.example/v/"])
def test_a_label_of_a_log_holds_the_address_that_the_logbook_answers(
    log, tmp_path, monkeypatch, address
):
    from django.urls import resolve

    from sourloam.documents import labels
    from sourloam.web import short

    codes = []
    monkeypatch.setattr(labels, "qr_svg", lambda text: codes.append(text) or "<svg/>")
    run_log(log, "--what", "labels", "--out", tmp_path / "l.pdf", "--address", address)
    (code,) = codes
    assert code.startswith("http://shed.example/v/")
    match = resolve(code.removeprefix("http://shed.example"))
    assert match.view_name == "web:label"
    assert match.kwargs == {"code": short.code("alder-row", "pail-1")}


@pytest.mark.parametrize("what", ["burial", "feeding"])
def test_a_sheet_on_beds_asks_for_a_bed_where_none_is_described(tmp_path, capsys, what):
    bare = tmp_path / "bare.toml"
    bare.write_text(HOME.read_text(encoding="utf-8").split("[[bed]]")[0], encoding="utf-8")
    with pytest.raises(SystemExit) as caught:
        main(["print", str(bare), "--what", what, "--out", str(tmp_path / "sheet.pdf")])
    assert caught.value.code == 2
    err = capsys.readouterr().err
    assert len(err.strip().splitlines()) == 1
    assert "bare.toml: no bed is described; add [[bed]]" in err
    assert [path.name for path in tmp_path.iterdir()] == ["bare.toml"]
