"""The verb reads places, logs and prices, prints one thing, and refuses in one line."""

import json
import uuid
from pathlib import Path

import pytest

from sourloam.cli import main

HOME = Path(__file__).parents[2] / "examples" / "home.toml"
CAFE = HOME.with_name("cafe.toml")


def run(*arguments):
    with pytest.raises(SystemExit) as caught:
        main(["impact", *map(str, arguments)])
    return caught.value.code


@pytest.fixture
def log(tmp_path):
    """Ten weighed layers in one vessel."""
    entries = [
        {
            "id": str(uuid.UUID(int=day)),
            "place": "flat",
            "kind": "fed",
            "at": f"2026-03-{day:02d}T18:30:00Z",
            "written_at": f"2026-03-{day:02d}T18:31:00Z",
            "body": {"vessel": "v", "amount": {"mass_kg": 0.8}, "bran_g": 20},
        }
        for day in range(1, 11)
    ]
    path = tmp_path / "log.json"
    path.write_text(json.dumps({"entries": entries}))
    return path


def test_a_place_is_told_with_ranges_sources_and_verdicts(capsys):
    assert run(HOME, "--members", 20) == 0
    text = capsys.readouterr().out
    for words in (
        "The same scraps on every way, over 100 years",
        "NOT SUPPORTED",
        "Who says so",
        "No prices were given",
        "[1] methane, sixth report, 100 years: 27",
        "Where the carbon and the nitrogen end up",
        "Cautions",
    ):
        assert words in text
    assert max(len(line) for line in text.splitlines()) <= 80


def test_another_report_and_horizon_are_taken(capsys):
    assert run(HOME, "--members", 20, "--gwp", "ar5", "--years", 20, "--json") == 0
    made = json.loads(capsys.readouterr().out)["provenance"]
    assert (made["report"], made["years"], made["methane_weight"]) == ("ar5", 20, 84)


def test_us_readers_read_pounds(capsys):
    assert run(HOME, "--members", 20, "--units", "us") == 0
    text = capsys.readouterr().out
    assert "lb CO2e" in text
    assert "kg CO2e" not in text.split("What people say")[0]


def test_several_files_make_one_programme(capsys):
    assert run(HOME, CAFE, "--members", 20, "--json") == 0
    assert len(json.loads(capsys.readouterr().out)["places"]) == 2


def test_a_log_stands_in_for_the_forecast(log, capsys):
    assert run(HOME, "--from-log", log, "--members", 20, "--json") == 0
    told = json.loads(capsys.readouterr().out)
    measured = told["kept"]["measured"]
    assert "logged layers" in measured[0]["text"]
    assert measured[0]["numbers"] == {"layers": 10.0}


def test_a_log_that_does_not_describe_its_place_wants_a_site_file(log, capsys):
    assert run("--from-log", log) == 2
    assert "give its site file too" in capsys.readouterr().err


def test_prices_and_bin_come_from_a_file(tmp_path, capsys):
    file = tmp_path / "bin.toml"
    file.write_text(
        'driven_km = 12\n[bin]\nto = "incinerator"\nhaul_km = 30\n'
        '[prices]\ncurrency = "ducats"\nbran_per_kg = 3\n'
    )
    assert run(HOME, "--members", 20, "--bin", file, "--json") == 0
    told = json.loads(capsys.readouterr().out)
    assert told["money"]["currency"] == "ducats"
    parts = [part["name"] for part in told["routes"][0]["parts"]]
    assert "what went to the bin after all: nitrous oxide of burning" in parts
    driving = next(part for part in told["routes"][0]["parts"] if part["name"] == "driving")
    assert 12 * 0.12 < driving["amount"]["median"] < 12 * 0.25
    file.write_text('[prices]\ncurrency = "ducats"\nbran_per_kg = 3\n')
    assert run(HOME, "--members", 20, "--bin", file) == 0
    assert "ducats" in capsys.readouterr().out


@pytest.mark.parametrize("ending", ["svg", "png", "html"])
@pytest.mark.slow
def test_the_page_of_pictures_is_written(tmp_path, ending, capsys):
    path = tmp_path / f"page.{ending}"
    assert run(HOME, "--members", 20, "--chart", path) == 0
    assert path.stat().st_size > 10_000
    if ending == "svg":
        svg = path.read_text()
        for words in ("fermented and buried", "held against this case", "10 % point"):
            assert words in svg


@pytest.mark.parametrize(
    ("content", "words"),
    [
        ("{", "no JSON"),
        ("[]", "write a list of entries"),
        ('{"rows": []}', "write a list of entries"),
        ('[{"id": 3}]', "entry 1:"),
        ("[" * 100_000, "no JSON"),
    ],
)
def test_a_log_that_is_none_is_refused_in_one_line(tmp_path, capsys, content, words):
    path = tmp_path / "log.json"
    path.write_text(content)
    assert run("--from-log", path) == 2
    said = capsys.readouterr()
    assert not said.out
    assert words in said.err
    assert said.err.count("\n") == 1


@pytest.mark.parametrize(
    ("content", "words"),
    [
        ("[prices]\nbran_per_kg = 2", "prices.currency"),
        ("[bin]\nlandfil = 1", "bin.landfil"),
        ('[prices]\ncurrency = "d"\nbran_per_kg = -1', "prices.bran_per_kg"),
        ("x =", "bin.toml"),
    ],
)
def test_a_wrong_file_of_prices_is_refused_in_one_line(tmp_path, capsys, content, words):
    path = tmp_path / "bin.toml"
    path.write_text(content)
    assert run(HOME, "--bin", path) == 2
    said = capsys.readouterr()
    assert not said.out
    assert words in said.err
    assert said.err.count("\n") == 1


def test_nothing_to_reckon_is_said(capsys):
    assert run() == 2
    assert "give a SITE.toml" in capsys.readouterr().err


def test_a_log_and_two_places_do_not_go_together(log, capsys):
    assert run(HOME, CAFE, "--from-log", log) == 2
    assert "at most" in capsys.readouterr().err
