"""The verb reads an exported log, tells each vessel with its ranges, and refuses in one line."""

import datetime as dt
import json
import uuid
from pathlib import Path

import pytest

from sourloam.cli import main

HOME = Path(__file__).parents[2] / "examples" / "home.toml"
FIRST = dt.date(2026, 3, 1)
SPEC = {"name": "pail", "volume": "19 L", "plate": "1 kg"}


def run(*arguments):
    with pytest.raises(SystemExit) as caught:
        main(["forecast", *map(str, arguments)])
    return caught.value.code


def entry(number, day, kind, **body):
    at = f"{FIRST + dt.timedelta(days=day)}T18:30:00Z"
    return {
        "id": str(uuid.UUID(int=number)),
        "place": "flat",
        "kind": kind,
        "at": at,
        "written_at": at,
        "body": body,
    }


def written(path, entries):
    path.write_text(json.dumps({"entries": entries}))
    return path


@pytest.fixture
def log(tmp_path):
    """Three weeks of one vessel, two days of another."""
    rows = [(0, "vessel_added", {"vessel": v, "name": n, "spec": SPEC}) for v, n in NAMED]
    rows += [
        (d, "fed", {"vessel": "v1", "amount": {"mass_kg": 0.4}, "bran_g": 8}) for d in range(20)
    ]
    rows += [(d, "drained", {"vessel": "v1", "volume_ml": 70, "use": "sink"}) for d in (5, 9, 13)]
    rows += [(18, "fill_marked", {"vessel": "v1", "fraction": 0.55})]
    rows += [(d, "fed", {"vessel": "v2", "amount": {"mass_kg": 0.5}}) for d in (18, 19)]
    entries = [entry(n, d, kind, **body) for n, (d, kind, body) in enumerate(rows, start=1)]
    return written(tmp_path / "log.json", entries)


NAMED = (("v1", "Blue pail"), ("v2", "Green pail"))


def test_each_vessel_is_told_in_a_block_with_its_ranges_and_what_moves_it(capsys, log):
    assert run(log, "--site", HOME, "--members", 80) == 0
    text = capsys.readouterr().out
    blue = text[text.index("Blue pail: filling") : text.index("Green pail: filling")]
    for words in (
        "full",
        "sour and steady",
        "next draining",
        "bran until full",
        "at the usual dose",
        "chance of failing",
        " to ",
    ):
        assert words in blue
    for words in (
        "as foreseen on 20 Mar 2026",
        "What moves the day of being full most",
        "What this place's log has taught",
        "Cautions",
    ):
        assert words in text
    assert max(len(line) for line in text.splitlines()) <= 80


def test_json_holds_ranges_in_order_and_the_learned_rates(capsys, log):
    assert run(log, "--site", HOME, "--members", 80, "--vessel", "blue PAIL", "--json") == 0
    found = json.loads(capsys.readouterr().out)
    (one,) = found["vessels"]
    assert one["id"] == "v1"
    assert one["full_on"]["low"] <= one["full_on"]["median"] <= one["full_on"]["high"]
    assert len(found["learned"]["by_weekday"]) == 7
    rate = found["learned"]["scraps_kg_a_day"]
    assert rate["low"] < rate["median"] < rate["high"]


def test_the_same_seed_gives_the_same_answer_and_another_one_another(capsys, log):
    told = []
    for seed in (0, 0, 3):
        run(log, "--site", HOME, "--members", 60, "--vessel", "v1", "--seed", seed, "--json")
        told.append(json.loads(capsys.readouterr().out)["vessels"][0]["liquid_ml"])
    assert told[0] == told[1] != told[2]


def test_an_earlier_day_knows_only_the_entries_up_to_it(capsys, log):
    assert run(log, "--site", HOME, "--members", 60, "--at", "2026-03-08", "--json") == 0
    found = json.loads(capsys.readouterr().out)
    assert found["today"] == "2026-03-08"
    assert [one["id"] for one in found["vessels"]] == ["v1"]
    assert len(found["vessels"][0]["layer_ph_now"]) == 8


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ([], "does not describe its place; give --site SITE.toml too"),
        (["--site", HOME, "--vessel", "red"], "has no such vessel; it has Blue pail, Green pail"),
        (["--site", HOME, "--at", "soon"], "--at soon: write a day such as 2026-03-20"),
        (["--site", HOME, "--at", "2026-02-01"], "lies before the first entry"),
        (["--members", "3"], "--members"),
    ],
)
def test_what_can_not_be_done_is_one_line(capsys, log, arguments, said):
    assert run(log, *arguments) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.count("\n") == 1
    assert said in err


def test_a_file_that_is_no_log_is_one_line(capsys, tmp_path):
    path = tmp_path / "log.json"
    path.write_text("[1, 2")
    assert run(path) == 2
    assert capsys.readouterr().err.startswith(f"sourloam: {path}: ")
