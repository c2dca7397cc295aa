"""From a file to a plan in words, in JSON and in a picture, with nothing stood in for."""

import json
from pathlib import Path

import jsonschema
import pytest

from sourloam.cli import main
from sourloam.planning import Plan, schema_text

HOME = Path(__file__).parents[2] / "examples" / "home.toml"


def run(*arguments):
    with pytest.raises(SystemExit) as caught:
        main(["plan", str(HOME), "--members", "20", *map(str, arguments)])
    assert caught.value.code == 0


@pytest.fixture(scope="module")
def answer(tmp_path_factory):
    """One plan, printed as JSON, and the picture drawn beside it."""
    chart = tmp_path_factory.mktemp("chart") / "year.svg"
    with pytest.MonkeyPatch.context() as patch:
        printed = []
        patch.setattr("typer.echo", printed.append)
        run("--json", "--seed", 3, "--chart", chart)
    (text,) = printed
    return text, chart


def test_json_is_the_plan_and_follows_its_schema(answer):
    data = json.loads(answer[0])
    jsonschema.validate(data, json.loads(schema_text()))
    assert Plan.model_validate_json(answer[0]).provenance.members == 20
    assert data["site"]["name"] == "Flat at 4 Alder Row, Lower Fennick"
    assert data["provenance"]["seed"] == 3


def test_the_picture_is_whole_and_alone_in_its_folder(answer):
    assert [path.name for path in answer[1].parent.iterdir()] == ["year.svg"]
    text = answer[1].read_text(encoding="utf-8")
    assert text.startswith("<svg")
    assert text.rstrip().endswith("</svg>")


def test_the_same_seed_gives_the_same_plan(answer, capsys):
    run("--json", "--seed", 3)
    assert capsys.readouterr().out.strip() == answer[0].strip()


@pytest.mark.parametrize("width", [80, 120])
def test_the_words_fit_the_window(capsys, monkeypatch, width):
    monkeypatch.setenv("COLUMNS", str(width))
    run("--seed", 3)
    out, err = capsys.readouterr()
    assert all(line.endswith("% done") for line in err.splitlines())
    assert "19 L pail" in out
    assert max(map(len, out.splitlines())) <= width


@pytest.mark.parametrize(
    "name",
    ["home", *(pytest.param(n, marks=pytest.mark.slow) for n in ("school", "garden", "cafe"))],
)
def test_the_json_of_every_example_follows_the_schema_in_either_system(capsys, name):
    file = HOME.with_name(f"{name}.toml")
    for units in ("metric", "us"):
        with pytest.raises(SystemExit) as caught:
            main(["plan", str(file), "--members", "20", "--json", "--units", units])
        assert caught.value.code == 0
        text = capsys.readouterr().out
        jsonschema.validate(json.loads(text), json.loads(schema_text()))
        assert Plan.model_validate_json(text).site.units == units
