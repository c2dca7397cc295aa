"""The drawn sourness tells its range, and how strips agree with it."""

import datetime as dt
from types import SimpleNamespace

import pytest

from sourloam.web.vessel.foresight import Foresight
from sourloam.web.vessel.strips import drawn_said

TODAY = dt.date(2026, 11, 30)
SEEN = Foresight(
    {
        "began": "2026-11-10",
        "ph_newest_now": {"low": 3.9, "median": 4.2, "high": 4.6},
        "ph_newest": {
            "days": ["2026-11-28", "2026-11-29"],
            "low": [4.1, None],
            "median": [4.4, None],
            "high": [4.9, None],
        },
    }
)


def vessel(*strips, began=dt.date(2026, 11, 10)):
    read = [
        SimpleNamespace(day=dt.date(2026, 11, day), body=SimpleNamespace(ph=ph, of=of))
        for day, ph, of in strips
    ]
    return SimpleNamespace(turn=SimpleNamespace(began=SimpleNamespace(day=began), phs=read))


def test_what_is_drawn_has_its_range():
    (said,) = drawn_said(vessel(), SEEN, TODAY)
    assert said.endswith("Newest layer: pH 4.2 (3.9 – 4.6).")


def test_where_every_layer_has_its_range_the_colour_is_said_to_be_the_middle():
    ends = {"layer_ph_range_now": {"low": [3.9], "high": [4.6]}}
    (said,) = drawn_said(vessel(), Foresight(SEEN.raw | ends), TODAY)
    assert "beside each layer stands its range" in said
    assert said.endswith("Newest layer: pH 4.2 (3.9 – 4.6).")


@pytest.mark.parametrize(
    ("read", "said"),
    [(4.4, "it agrees"), (5.1, "it agrees"), (6.2, "less sour"), (3.2, "sourer")],
)
def test_a_strip_on_the_solid_is_held_against_its_own_day_and_error(read, said):
    line = drawn_said(vessel((28, read, "solid")), SEEN, TODAY)[1]
    assert said in line
    assert "(4.1 – 4.9)" in line


def test_liquid_and_days_that_nobody_foresaw_are_not_compared():
    found = drawn_said(
        vessel((28, 6.0, "liquid"), (29, 6.0, "solid"), (1, 6.0, "solid")), SEEN, TODAY
    )
    assert len(found) == 1


def test_a_forecast_of_another_filling_says_nothing():
    assert drawn_said(vessel(began=dt.date(2026, 11, 12)), SEEN, TODAY) == []
