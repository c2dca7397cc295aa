"""Every value can be seen with its range, unit, standing and full source."""

import json

import pytest

from sourloam.cli import main
from sourloam.evidence import STANDINGS, book


def shown(capsys, monkeypatch, *arguments, width=80):
    monkeypatch.setenv("COLUMNS", str(width))
    with pytest.raises(SystemExit) as caught:
        main(["sources", *arguments])
    assert caught.value.code == 0
    return capsys.readouterr().out


@pytest.mark.parametrize("width", [60, 80, 120])
def test_all_topics_are_listed_with_their_standings(capsys, monkeypatch, width):
    out = shown(capsys, monkeypatch, width=width)
    assert [t for t in book().topics if t not in out] == []
    assert max(map(len, out.splitlines())) <= width


@pytest.mark.parametrize("topic", book().topics)
def test_each_value_of_a_topic_stands_with_unit_standing_and_full_source(
    capsys, monkeypatch, topic
):
    out = " ".join(shown(capsys, monkeypatch, topic, width=400).split())
    for row in book().topic(topic):
        assert row.id.removeprefix(f"{topic}.") in out
        assert row.standing in out
        assert row.unit == "1" or " ".join(row.unit.split()) in out
        for source in filter(None, book().citation(row).split("; ")):
            assert " ".join(source.split()) in out


def test_a_value_stands_beside_its_range_and_unit(capsys, monkeypatch):
    row = book()["waste.household.per_person"]
    out = shown(capsys, monkeypatch, row.id)
    assert f"{row.value:.4g} {row.unit}" in out
    assert f"{row.low:.4g} to {row.high:.4g}" in out


def test_the_first_part_of_an_id_shows_all_under_it(capsys, monkeypatch):
    out = json.loads(shown(capsys, monkeypatch, "site.vessel", "--json"))
    assert [entry["id"] for entry in out] == list(book().ids("site.vessel"))


def test_json_holds_every_row_and_nothing_else(capsys, monkeypatch):
    entries = json.loads(shown(capsys, monkeypatch, "--json"))
    assert len(entries) == len(book().rows)
    assert {entry["standing"] for entry in entries} <= set(STANDINGS)
    for entry in entries:
        assert entry["source"] == book().citation(book()[entry["id"]])


@pytest.mark.parametrize("width", [60, 80])
def test_no_line_is_wider_than_the_window(capsys, monkeypatch, width):
    out = shown(capsys, monkeypatch, "scraps", width=width)
    assert max(map(len, out.splitlines())) <= width
