"""The tables of failures: made by a command, the same for the same seed."""

import copy
import re
from pathlib import Path

import numpy as np
import pytest

from sourloam.validation import decline_table, failures, failures_chart
from sourloam.validation.table import with_tables

DOCUMENT = Path(__file__).parents[2] / "docs" / "failing.md"


@pytest.fixture(scope="module")
def small():
    """A few cases of few members, the file's own otherwise."""
    import importlib

    room = importlib.import_module("sourloam.validation.failures")
    asked = copy.deepcopy(room._asked())
    asked |= {"draws": 4, "kitchens": 5, "temperatures": [8, 20], "doses": [0, 20]}
    asked["mix"] = [asked["mix"][1], asked["mix"][3]]
    asked["sealing"] = [asked["sealing"][0], asked["sealing"][3]]
    patch = pytest.MonkeyPatch()
    patch.setattr(room, "_asked", lambda: asked)
    yield failures(3), failures(3)
    patch.undo()


def cell(found, **wanted):
    return next(c for c in found.cells if all(getattr(c, k) == v for k, v in wanted.items()))


def test_every_case_asked_is_there_once(small):
    found = small[0]
    keys = [(c.mix, c.dose, c.temperature, c.sealing) for c in found.cells]
    assert len(keys) == len(set(keys)) == 2 * 2 * 2 + 2 * 2
    assert found.members == 20


def test_the_same_seed_says_the_same(small):
    assert small[0].table() == small[1].table()


def test_meat_alone_fails_and_a_warm_household_mix_keeps(small):
    meat = cell(small[0], mix="meat and fish alone", dose=20, temperature=20)
    mixed = cell(small[0], mix="household", dose=20, temperature=20)
    assert meat.by_day[42].failed.share == 1.0
    assert mixed.by_day[42].failed.share == 0.0


def test_waiting_longer_never_raises_the_chance_of_not_being_sour(small):
    for c in small[0].cells:
        assert c.by_day[42].not_sour.share <= c.by_day[21].not_sour.share


def test_the_table_has_a_row_for_each_mix_dose_and_sealing(small):
    rows = [
        line for line in small[0].table().splitlines() if line.startswith(("| house", "| meat"))
    ]
    assert len(rows) == 2 * 2 + 2 * 2


def test_the_figure_holds_every_dose(small, tmp_path):
    path = tmp_path / "failing.svg"
    failures_chart(small[0]).save(str(path))
    text = path.read_text(encoding="utf-8")
    for panel in (">0 g bran/kg, 21 days<", ">20 g bran/kg, 21 days<", ">20 g bran/kg, 42 days<"):
        assert panel in text


def test_every_range_of_the_table_holds_its_own_value():
    cells = re.findall(r"(\d+)% \((\d+)-(\d+)\)", DOCUMENT.read_text(encoding="utf-8"))
    assert len(cells) > 200
    assert all(int(low) <= int(share) <= int(high) for share, low, high in cells)


def test_the_published_table_of_decline_is_what_the_model_says_today():
    document = DOCUMENT.read_text(encoding="utf-8")
    assert with_tables(document, {"decline": decline_table()}) == document


def test_sourer_and_warmer_falls_faster_and_the_caution_comes_first():
    lines = decline_table().splitlines()
    assert lines[0].startswith("Fermenting is no kill step to rely on.")
    rows = [line.split("|")[2:-1] for line in lines if line.startswith(("| 3", "| 4"))]
    days = np.array([[float(part.split("(")[0]) for part in row] for row in rows])
    assert (np.diff(days, axis=0) > 0).all()
    assert (np.diff(days, axis=1) < 0).all()
