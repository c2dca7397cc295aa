"""The table of waits by assumption."""

from pathlib import Path

import pytest

from sourloam.validation import with_tables
from sourloam.validation.soil_wait import assumptions, soil_wait_table

PAGE = Path(__file__).parents[2] / "docs" / "validation.md"


@pytest.fixture(scope="module")
def days():
    rows = [line.strip("| ").split(" | ") for line in soil_wait_table().splitlines()[2:]]
    return {row[0]: [float(x.removeprefix("over ")) for x in row[1:]] for row in rows}


def test_every_assumption_has_its_row(days):
    assert set(days) == set(assumptions())


def test_about_two_weeks_comes_out_in_warm_soil_at_a_usual_load(days):
    assert 10 <= days["as computed"][3] <= 21


def test_slow_acids_hold_cold_burials_back_more_than_twofold(days):
    assert days["acids go at the slow bound"][0] > 2 * days["as computed"][0]
    assert days["acids go at the fast bound"][0] < days["as computed"][0]


def test_ammonia_is_gone_before_acids_and_air_whatever_its_limit(days):
    """With nitrifiers that multiply, no middle wait hangs on ammonia; its late cases may."""
    low = next(v for k, v in days.items() if k.startswith("limit of free ammonia, low"))
    assert low == days["as computed"] == days["no harm from ammonia"]


def test_the_page_shows_what_the_code_computes_today():
    page = PAGE.read_text(encoding="utf-8")
    assert with_tables(page, {"soil waits": soil_wait_table()}) == page, "run: sourloam validate"
