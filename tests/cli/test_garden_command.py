"""``sourloam garden`` as people use it."""

import json
import re
from pathlib import Path

import pytest
from spoken import sourloam

ROOT = Path(__file__).parents[2]
HOME = ROOT / "examples" / "home.toml"
CAFE = ROOT / "examples" / "cafe.toml"


@pytest.fixture(scope="module")
def told(tmp_path_factory):
    chart = tmp_path_factory.mktemp("garden") / "beds.svg"
    return sourloam("garden", HOME, "--members", 20, "--chart", chart), chart


def test_the_garden_is_told_in_plain_words_within_the_columns(told):
    done, _ = told
    assert done.returncode == 0, done.stderr
    for words in ("where the ferment goes", "The beds", "Feeding with the drained liquid"):
        assert words in done.stdout
    assert max(map(len, done.stdout.splitlines())) <= 80
    assert " nan" not in done.stdout
    assert " inf " not in done.stdout


def test_the_drawing_is_written(told):
    _, chart = told
    assert "<svg" in chart.read_text(encoding="utf-8")
    assert [p.name for p in chart.parent.iterdir()] == ["beds.svg"]


def test_json_is_the_contract_and_nothing_else():
    from sourloam.garden import GardenPlan

    done = sourloam("garden", HOME, "--members", 20, "--json", "--seed", 3)
    plan = GardenPlan.model_validate_json(done.stdout)
    assert plan.provenance.seed == 3
    assert json.loads(done.stdout)["beds"][0]["name"] == "Wall bed"


def test_a_site_without_beds_is_told_what_to_write(tmp_path):
    bare = tmp_path / "bare.toml"
    bare.write_text(CAFE.read_text(encoding="utf-8").split("[[bed]]")[0], encoding="utf-8")
    done = sourloam("garden", bare, "--members", 20)
    assert done.returncode == 2
    assert len(done.stderr.strip().splitlines()) == 1
    assert "add [[bed]] with name, length, width" in done.stderr


def test_a_wrong_ending_is_refused_before_computing():
    done = sourloam("garden", HOME, "--chart", "beds.gif")
    assert done.returncode == 2
    assert ".svg, .png, .html" in done.stderr


def test_sentences_follow_the_units_asked_for():
    done = sourloam("garden", HOME, "--members", 20, "--units", "us", columns="100")
    assert done.returncode == 0, done.stderr
    told = " ".join(done.stdout.split()).replace("19 L pail", "pail")
    assert re.findall(r"\d (?:kg|g|cm|m|m²|L|mL|°C|mm)\b", told) == []
    assert re.search(r"\d (?:lb|oz)\b", told)
