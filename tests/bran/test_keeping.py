"""Living cells in store, how long a lot is good, how much to give."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sourloam.bran.keeping import (
    MONTH_DAYS,
    dose_kg_per_kg,
    good_days,
    least_strength,
    longest_days,
    strength_after,
    weekly_loss,
    weekly_loss_moist,
)

ONE = np.ones(1)
calm = settings(derandomize=True, max_examples=60, deadline=None)


def test_the_worked_example_of_20_degrees_and_an_activity_of_0_39(usual):
    """0.15 x 2.4 ** -0.5 x 10 ** (3 x 0.09) = 0.180 a week; from 7.7 to 6.4 in 7.2 weeks."""
    loss = weekly_loss(20, 0.39, usual)[0]
    assert loss == pytest.approx(0.180, abs=0.001)
    assert (7.7 - least_strength(usual)[0]) / loss == pytest.approx(7.2, abs=0.1)


def test_the_same_lot_in_a_refrigerator_is_good_for_half_a_year(usual):
    loss = weekly_loss(5, 0.39, usual)[0]
    assert (7.7 - least_strength(usual)[0]) / loss == pytest.approx(27, abs=1)


@calm
@given(warm=st.floats(0, 35), activity=st.floats(0.25, 0.8))
def test_warmer_and_damper_stores_lose_more(usual, warm, activity):
    here = weekly_loss(warm, activity, usual)[0]
    assert weekly_loss(warm + 10, activity, usual)[0] == pytest.approx(2.4 * here)
    assert weekly_loss(warm, activity + 0.1, usual)[0] == pytest.approx(10**0.3 * here)


def test_drier_than_a_fifth_brings_nothing_more(usual):
    assert weekly_loss(25, 0.05, usual) == weekly_loss(25, 0.20, usual)


def test_a_lot_weakens_through_changing_warmth_day_by_day(usual):
    warmth = np.array([5.0] * 14 + [25.0] * 14)
    found = strength_after(8 * ONE, 0.10 * ONE, ONE, warmth, usual)
    assert found.shape == (1, 29)
    cool, warm = found[0, 0] - found[0, 14], found[0, 14] - found[0, 28]
    assert warm > 4 * cool > 0
    assert (np.diff(found[0]) < 0).all()


def test_moist_bran_weakens_by_warmth_alone(usual):
    dry = strength_after(8 * ONE, 0.38 * ONE, ONE, np.full(28, 25.0), usual)
    moist = strength_after(8 * ONE, 0.38 * ONE, ONE, np.full(28, 25.0), usual, moist=True)
    assert moist[0, 28] == pytest.approx(8 - 4 * weekly_loss_moist(25, usual)[0])
    assert moist[0, 28] > dry[0, 28]


@pytest.mark.parametrize(
    ("strength", "grams"), [(8.0, 10), (7.0, 10), (6.7, 20), (6.4, 39.8), (6.3, np.inf)]
)
def test_the_dose_brings_a_hundred_thousand_cells_to_a_gram_of_scraps(strength, grams, usual):
    found = 1000 * dose_kg_per_kg(strength * ONE, usual)[0]
    assert found == pytest.approx(grams, rel=0.01)


def test_a_lot_is_good_until_even_the_largest_dose_is_too_little(usual):
    assert least_strength(usual)[0] == pytest.approx(6.398, abs=0.001)
    falling = np.array([[7.0, 6.8, 6.6, 6.4, 6.39], [7.0] * 5, [6.0] * 5])
    three = usual.with_values({})
    found = good_days(falling, three)
    assert list(found) == [4, np.inf, 0]


def test_rice_bran_is_not_kept_until_its_fat_is_rancid(usual):
    assert longest_days(False, usual) == pytest.approx(12 * MONTH_DAYS)
    assert longest_days(True, usual) == pytest.approx(3 * MONTH_DAYS)
