"""Tests of strength and what they change."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sourloam.bran import draw
from sourloam.bran.trials import (
    KINDS,
    Trial,
    how_to,
    likelihood,
    outranks,
    sour_drop_hours,
    verdict,
    weights,
    with_accidents,
)
from sourloam.evidence import book
from sourloam.numerics import Spread
from sourloam.numerics.resampling import systematic

calm = settings(derandomize=True, max_examples=40, deadline=None)


@pytest.fixture(scope="module")
def many():
    return draw(book(), 2000, np.random.default_rng(3))


@pytest.fixture(scope="module")
def believed(many):
    """A lot of which little is known: 10^7 a gram, give or take ten times; or dead."""
    rng = np.random.default_rng(4)
    start = rng.normal(7, 1, many.members)
    return with_accidents(start[:, None] - np.linspace(0, 3, 366)[None, :], many, rng)


def middle(trials, believed, many, day=0):
    values, weight = believed[:, day], weights(trials, believed, many)
    order = np.argsort(values)
    ends = np.searchsorted(np.cumsum(weight[order]), (0.1, 0.5, 0.9))
    low, median, high = values[order][np.minimum(ends, order.size - 1)]
    return Spread(np.asarray(median), np.asarray(low), np.asarray(high))


@pytest.mark.parametrize(
    ("trial", "found"),
    [
        (Trial("plate", 7.2), "pass"),
        (Trial("plate", 6.5), "doubt"),
        (Trial("plate", 5.9), "fail"),
        (Trial("slurry", 4.4), "pass"),
        (Trial("slurry", 4.8), "doubt"),
        (Trial("slurry", 5.2), "fail"),
        (Trial("jar", 4.1), "pass"),
        (Trial("jar", 4.9), "fail"),
        (Trial("sour_drop", 20), "pass"),
        (Trial("sour_drop", 40), "doubt"),
        (Trial("sour_drop", np.inf), "fail"),
    ],
)
def test_how_results_are_read(trial, found, usual):
    assert verdict(trial, usual) == found


def test_ten_million_cells_a_gram_curdle_milk_within_a_day(usual):
    """2 g in 100 mL bring 10^5.3 a mL; 3.2 powers of ten are 10.6 doublings of 1.5 h, after 4 h."""
    found = sour_drop_hours(np.array([7.0]), 30, usual)[0]
    assert found == pytest.approx(4 + 3.2 / np.log10(2) * 1.5, abs=0.1)
    assert found < 24


def test_a_tenth_of_the_cells_takes_3_3_doublings_longer(usual):
    hours = sour_drop_hours(np.array([7.0, 6.0]), 30, usual)
    assert hours[1] - hours[0] == pytest.approx(3.32 * 1.5, abs=0.01)


def test_a_cool_jar_takes_longer_and_a_cold_one_cannot_be_read(usual):
    warm, cool = (sour_drop_hours(np.array([7.0]), t, usual)[0] for t in (30, 20))
    assert cool == pytest.approx(2 * warm)
    with pytest.raises(ValueError, match="between 18 and 38 °C"):
        sour_drop_hours(np.array([7.0]), 10, usual)


def test_a_plate_count_moves_the_belief_nearly_all_the_way_and_narrows_it(believed, many):
    before = middle((), believed, many)
    after = middle((Trial("plate", 8.5),), believed, many)
    assert before.median == pytest.approx(6.95, abs=0.1)
    # Prior 7 +- 1, count 8.5 +- 0.3: (7 / 1 + 8.5 / 0.09) / (1 + 1 / 0.09) = 8.38
    assert after.median == pytest.approx(8.38, abs=0.12)
    assert after.high - after.low < 0.6 * (before.high - before.low)


@pytest.mark.parametrize(
    ("good", "bad"),
    [
        (Trial("sour_drop", 15), Trial("sour_drop", np.inf)),
        (Trial("jar", 4.0), Trial("jar", 5.0)),
        (Trial("slurry", 4.2), Trial("slurry", 5.5)),
        (Trial("plate", 8.0), Trial("plate", 5.0)),
    ],
)
def test_a_good_result_raises_the_belief_and_a_bad_one_lowers_it(good, bad, believed, many):
    plain = middle((), believed, many).median
    assert middle((good,), believed, many).median > plain + 0.05
    assert middle((bad,), believed, many).median < plain - 0.3


def test_looking_more_often_tells_more(believed, many):
    seldom = Trial("sour_drop", 24, after_hours=0)
    often = Trial("sour_drop", 24, after_hours=20)
    wide, narrow = (middle((t,), believed, many) for t in (seldom, often))
    assert narrow.high - narrow.low < wide.high - wide.low


def test_a_slurry_says_less_than_a_sour_drop(believed, many):
    slurry = middle((Trial("slurry", 5.5),), believed, many)
    drop = middle((Trial("sour_drop", np.inf),), believed, many)
    assert drop.median < slurry.median - 0.3


def test_two_results_together_are_their_product(believed, many):
    first, second = Trial("jar", 4.0), Trial("plate", 7.5, day=30)
    both = weights((first, second), believed, many)
    product = likelihood(first, believed, many) * likelihood(second, believed, many)
    assert both == pytest.approx(product / product.sum())


@calm
@given(kind=st.sampled_from(KINDS), value=st.floats(2, 10), day=st.floats(0, 400))
def test_no_single_result_rules_anything_out(believed, many, kind, value, day):
    found = likelihood(Trial(kind, value, day=day), believed, many)
    assert (found > 0.007).all()
    assert np.isfinite(found).all()
    assert weights((Trial(kind, value, day=day),), believed, many).sum() == pytest.approx(1)


def test_one_lot_in_twenty_is_dead_before_any_test_and_a_failed_one_makes_that_likelier(
    believed, many
):
    dead = believed[:, 0] <= 2
    assert dead.mean() == pytest.approx(0.05, abs=0.015)
    after = weights((Trial("sour_drop", np.inf),), believed, many)
    assert after[dead].sum() > 0.35
    assert weights((Trial("sour_drop", 15),), believed, many)[dead].sum() < 0.01


def test_chances_of_pass_doubt_and_fail_add_up(believed, many):
    total = sum(likelihood(Trial("jar", ph), believed, many) for ph in (4.0, 4.4, 5.0))
    assert total == pytest.approx(1)


def test_a_failed_test_always_outranks_the_forecast_and_a_passed_one_for_four_weeks(usual):
    failed, passed = Trial("sour_drop", np.inf, day=10), Trial("sour_drop", 12, day=10)
    assert outranks(failed, 300, usual)
    assert outranks(passed, 38, usual)
    assert not outranks(passed, 39, usual)
    assert not outranks(Trial("slurry", 6.0, day=10), 11, usual)
    assert not outranks(failed, 9, usual)


def test_members_drawn_anew_follow_the_weights(believed, many):
    weight = weights((Trial("plate", 8.0),), believed, many)
    chosen = systematic(weight, 4000, np.random.default_rng(1))
    assert np.mean(believed[chosen, 0]) == pytest.approx((weight * believed[:, 0]).sum(), abs=0.03)


@pytest.mark.parametrize("kind", KINDS)
def test_each_test_is_told_with_its_marks(kind, usual):
    assert "Good:" in how_to(kind, usual)
    assert "ailed:" in how_to(kind, usual)


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"kind": "taste", "value": 1}, "choose from sour_drop"),
        ({"kind": "plate", "value": np.inf}, "must be a number"),
        ({"kind": "slurry", "value": 14}, "give 2 to 10"),
        ({"kind": "plate", "value": 7, "day": -1}, "give 0 or more"),
        ({"kind": "sour_drop", "value": 5, "after_hours": 6}, "before the last look"),
    ],
)
def test_a_result_that_cannot_be_is_told_in_one_line(wrong, words):
    with pytest.raises(ValueError, match=words):
        Trial(**wrong)


@pytest.mark.parametrize(
    ("kind", "figures"),
    [
        ("sour_drop", ("0.071 oz (2 g)", "3.4 US fl oz (100 mL)", "86 °F")),
        ("slurry", ("0.35 oz (10 g)", "3 US fl oz (90 mL)")),
        ("jar", ("7.1 oz (200 g)", "77 °F")),
        ("plate", ("86 to 99 °F", "10 million living cells")),
    ],
)
def test_each_test_is_told_in_the_readers_units(kind, figures, usual):
    told = how_to(kind, usual, "us")
    for figure in figures:
        assert figure in told
    assert "°C" not in told
    assert "10^" not in how_to(kind, usual) + told
