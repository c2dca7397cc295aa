"""The tool that reads the two food tables, on invented foods."""

import importlib.util
import sys
from pathlib import Path

import numpy as np
import pytest

from sourloam.evidence import book

SCRIPT = Path(__file__).parents[2] / "tools" / "extract_food_composition.py"
BASKET = (("1", "X", 1.0), ("2", "", 3.0))


@pytest.fixture(scope="module")
def tool():
    spec = importlib.util.spec_from_file_location("extract_food_composition", SCRIPT)
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module  # dataclasses look their module up
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def tables(tool):
    minerals = {"P": 3e-4, "K": 2e-3, "Na": 1e-4, "Ca": 2e-4}
    first = {
        "1": {"water": 0.80, "protein": 0.02, "fat": 0.01, "carbohydrate": 0.16, "sugars": 0.05,
              "fibre": 0.03, "ash": 0.01, **minerals},
        "2": {"water": 0.90, "protein": 0.01, "fat": 0.00, "carbohydrate": 0.08, "sugars": 0.04,
              "fibre": 0.02, "ash": 0.01, **minerals},
    }  # fmt: skip
    second = {"X": {"water": 0.60, "starch": 0.10, "acids": 0.01, "sugars": 0.05}}
    return tool.Tables(first, second)


def test_each_food_adds_up_to_one(tool, tables):
    foods = tool._constituents(tables, BASKET)
    np.testing.assert_allclose(foods[:, : len(tool.COLUMNS)].sum(axis=1), 1, rtol=1e-12)
    assert np.all(foods >= 0)


def test_starch_comes_from_the_second_table_at_the_first_ones_dry_matter(tool, tables):
    starch = tool._constituents(tables, BASKET)[0, tool.COLUMNS.index("starch")]
    assert starch == pytest.approx(0.10 * 0.20 / 0.40, rel=1e-12)


def test_a_food_without_a_pair_takes_the_classs_acids_and_no_starch(tool, tables):
    food = dict(zip(tool.COLUMNS, tool._constituents(tables, BASKET)[1], strict=False))
    assert food["acids"] == pytest.approx(0.01, rel=1e-12)
    assert food["starch"] == 0
    assert food["other"] == pytest.approx(0.08 - 0.02 - 0.04 - 0.01, rel=1e-9)


def test_mixtures_scatter_round_the_basket_and_stay_one_kg(tool, tables):
    foods = tool._constituents(tables, BASKET)
    weights = np.array([1.0, 3.0])
    mixtures = tool._mixtures(foods, weights, np.zeros(13))
    np.testing.assert_allclose(mixtures[:, :9].sum(axis=1), 1, rtol=1e-9)
    assert mixtures[:, 0].mean() == pytest.approx(0.875, abs=0.003)
    assert mixtures[:, 0].min() >= 0.80
    assert mixtures[:, 0].max() <= 0.90


def test_the_shipped_rows_are_those_of_the_tools_baskets(tool):
    written = tool.TABLE.read_text(encoding="utf-8").partition(tool.BEGIN)[2].partition(tool.END)[0]
    for name, basket in tool.BASKETS.items():
        row = book()[f"scraps.{name}.protein"]
        assert f'id="{row.id}"' in written
        assert f"mean of {len(basket)} single foods" in row.note
