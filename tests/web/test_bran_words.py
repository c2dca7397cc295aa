"""Bran in words: no more digits than are known, nothing that rounds to nought, no day too early."""

import datetime as dt

import pytest

from sourloam.ledger.lot_demand import Pace
from sourloam.numerics import Range
from sourloam.web import wording as w
from sourloam.web.bran.lot_words import in_100, pace_said
from sourloam.web.bran.next_batch_words import _span_of

DAY = dt.date.today()


@pytest.mark.parametrize(
    ("kg", "metric", "us"),
    [
        (0.0, "nothing", "nothing"),
        (0.0002, "less than 1 g", "less than 0.1 oz"),
        (0.0354, "35 g", "1.2 oz"),
        (0.177, "180 g", "6.3 oz"),
        (0.999, "1 kg", "2.2 lb"),
        (2.514, "2.5 kg", "5.5 lb"),
    ],
)
def test_bran_is_told_in_grams_below_a_kilogram_and_never_as_nought(kg, metric, us):
    assert w.about_bran(kg, "metric") == metric
    assert w.about_bran(kg, "us") == us


def test_a_range_says_a_shared_unit_once():
    assert w.about_bran_range(0.062, 0.091, "metric") == "62 – 91 g"
    assert w.about_bran_range(0.76, 1.2, "metric") == "760 g – 1.2 kg"
    assert w.about_bran_range(0.0531, 0.0529, "metric") == "53 g"


@pytest.mark.parametrize(
    ("chance", "told"),
    [
        (0.01, "fewer than 5 in 100"),
        (0.31, "30 in 100"),
        (0.83, "85 in 100"),
        (0.99, "more than 95 in 100"),
    ],
)
def test_a_chance_is_told_in_fives(chance, told):
    assert in_100(chance) == told


def test_a_batch_that_may_never_be_strong_is_told_no_day_before_it_is_ready():
    doubtful = Range(low=0.0, median=12.0, high=70.0, unit="days")
    sure = Range(low=9.0, median=12.0, high=70.0, unit="days")
    last = w.short_day(DAY + dt.timedelta(days=70))
    assert _span_of(DAY, doubtful) == f"perhaps never, perhaps until {last}"
    assert _span_of(DAY, sure) == f"{w.short_day(DAY + dt.timedelta(days=9))} – {last}"


def test_what_is_asked_and_what_was_given_are_told_side_by_side():
    soon, later = DAY + dt.timedelta(days=3), DAY + dt.timedelta(days=13)
    said = pace_said(Pace("oak-1", 3.0, 15.0, later, soon), "metric")
    assert said == (
        f"With 15 g on a layer like the last one, as oak-1 needs: until {w.day(soon)}. "
        f"With 3 g, as given lately, until {w.day(later)}; but that is too little."
    )
    assert pace_said(None, "metric") == ""
    assert "for a year" in pace_said(Pace("oak-1", 3.0, 15.0, None, soon), "metric")
