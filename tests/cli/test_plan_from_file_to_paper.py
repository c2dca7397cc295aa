"""From a file to a plan in words, in JSON and in a picture, with nothing stood in for."""

import contextlib
import io
import json
from pathlib import Path

import jsonschema
import pytest

from sourloam.cli import main
from sourloam.cli import plan as plan_verb
from sourloam.planning import Plan, schema_text

HOME = Path(__file__).parents[2] / "examples" / "home.toml"


def run(*arguments):
    with pytest.raises(SystemExit) as caught:
        main(["plan", str(HOME), "--members", "20", *map(str, arguments)])
    assert caught.value.code == 0


@pytest.fixture(scope="module")
def answer(tmp_path_factory):
    """One plan, printed as JSON, the picture drawn beside it, and what was said meanwhile."""
    chart, said = tmp_path_factory.mktemp("chart") / "year.svg", io.StringIO()
    with pytest.MonkeyPatch.context() as patch, contextlib.redirect_stderr(said):
        printed = []
        patch.setattr("typer.echo", printed.append)
        patch.setattr("sourloam.cli.progress._EVERY_S", 0.0)
        run("--json", "--seed", 3, "--chart", chart)
    (text,) = printed
    return text, chart, said.getvalue()


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


def test_progress_is_told_in_lines(answer):
    assert answer[2].splitlines()
    assert all(line.endswith("% done") for line in answer[2].splitlines())


@pytest.mark.parametrize("width", [80, 120])
def test_the_words_fit_the_window(answer, capsys, monkeypatch, width):
    plan = Plan.model_validate_json(answer[0])
    monkeypatch.setattr(plan_verb, "_compute", lambda *_, **__: plan)
    monkeypatch.setenv("COLUMNS", str(width))
    run("--seed", 3)
    out, _ = capsys.readouterr()
    assert "19 L pail" in out
    assert max(map(len, out.splitlines())) <= width


EXAMPLES = [
    ("home", ["us"]),  # in metric units it is the answer above
    *(pytest.param(n, ["metric", "us"], marks=pytest.mark.slow) for n in ("school", "cafe")),
    pytest.param("garden", ["metric", "us"], marks=pytest.mark.slow),
]


@pytest.mark.parametrize(("name", "systems"), EXAMPLES)
def test_the_json_of_every_example_follows_the_schema_in_either_system(capsys, name, systems):
    file = HOME.with_name(f"{name}.toml")
    for units in systems:
        with pytest.raises(SystemExit) as caught:
            main(["plan", str(file), "--members", "20", "--json", "--units", units])
        assert caught.value.code == 0
        text = capsys.readouterr().out
        jsonschema.validate(json.loads(text), json.loads(schema_text()))
        assert Plan.model_validate_json(text).site.units == units
