"""The verb hands on what it was asked, prints one thing and writes whole files."""

import json
import time
from pathlib import Path

import pytest

from sourloam.cli import main
from sourloam.cli import plan as plan_verb
from sourloam.cli.progress import _lines, progress
from sourloam.cli.trouble import Refusal
from sourloam.cli.writing import write_whole

HOME = Path(__file__).parents[2] / "examples" / "home.toml"
CAFE = HOME.with_name("cafe.toml")


class Answer:
    def __init__(self, asked):
        self.asked = asked

    def model_dump_json(self, indent):
        return json.dumps(self.asked, indent=indent)


@pytest.fixture
def asked(monkeypatch):
    """Stands in for the computing and the drawing: shows what was asked of them."""
    seen = {}

    def compute(place, years, members, seed):
        seen["asked"] = [place.name, years, members, seed]
        return Answer(seen["asked"])

    def draw(answer, system, path):
        seen["drawn"] = [system, path.name]

    def print_text(answer, system):
        seen["printed"] = system

    monkeypatch.setattr(plan_verb, "_compute", compute)
    monkeypatch.setattr(plan_verb, "_draw", draw)
    monkeypatch.setattr(plan_verb, "_print", print_text)
    return seen


def run(*arguments):
    with pytest.raises(SystemExit) as caught:
        main(["plan", *map(str, arguments)])
    return caught.value.code


def test_years_members_and_seed_are_handed_on(asked):
    assert run(HOME, "--years", 2, "--members", 77, "--seed", 5) == 0
    assert asked["asked"][1:] == [2, 77, 5]


def test_usually_one_year_500_members_seed_1(asked):
    run(HOME)
    assert asked["asked"][1:] == [1, 500, 1]


def test_json_alone_is_printed(asked, capsys):
    run(HOME, "--json")
    assert json.loads(capsys.readouterr().out) == asked["asked"]
    assert "printed" not in asked


@pytest.mark.parametrize(
    ("file", "option", "system"),
    [(HOME, [], "metric"), (CAFE, [], "us"), (CAFE, ["--units", "metric"], "metric")],
)
def test_units_are_the_files_unless_asked_otherwise(asked, file, option, system):
    run(file, *option)
    assert asked["printed"] == system


def test_a_chart_comes_besides_the_text(asked, tmp_path):
    run(HOME, "--chart", tmp_path / "year.SVG")
    assert asked["drawn"] == ["metric", "year.SVG"]
    assert asked["printed"] == "metric"


def test_a_file_is_whole_or_not_there(tmp_path):
    target = tmp_path / "a.svg"
    target.write_text("old", "utf-8")

    def half(draft):
        draft.write_text("hal", "utf-8")
        raise OSError(28, "No space left on device")

    with pytest.raises(Refusal, match=r"a\.svg: can't be written: No space left on device"):
        write_whole(target, half)
    assert [p.name for p in tmp_path.iterdir()] == ["a.svg"]
    assert target.read_text("utf-8") == "old"


def test_a_draft_has_the_ending_of_the_file(tmp_path):
    endings = []

    def write(draft):
        endings.append(draft.suffix)
        draft.write_text("new", "utf-8")

    write_whole(tmp_path / "a.PNG", write)
    assert endings == [".png"]
    assert (tmp_path / "a.PNG").read_text("utf-8") == "new"


def test_an_interrupted_write_leaves_nothing(tmp_path):
    def interrupted(draft):
        draft.write_text("hal", "utf-8")
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        write_whole(tmp_path / "a.svg", interrupted)
    assert list(tmp_path.iterdir()) == []


def test_progress_goes_to_standard_error_in_plain_lines_where_nothing_can_move(capsys, monkeypatch):
    now = [0.0]
    monkeypatch.setattr(time, "monotonic", lambda: now[0])
    report = _lines()
    for second in range(10):
        now[0] = second
        report("filling", second / 10)
    out, err = capsys.readouterr()
    assert out == ""
    assert err == "sourloam: filling, 40% done\nsourloam: filling, 80% done\n"


def test_progress_is_silent_when_the_work_is_short(capsys):
    with progress() as report:
        report("filling", 0.5)
    assert capsys.readouterr() == ("", "")
