"""Curves of the mean year from few numbers."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sourloam.climate import (
    ClimateError,
    from_mean_and_swing,
    from_monthly_means,
    monthly_means_c,
)

MEANS = st.lists(st.floats(-40, 40), min_size=12, max_size=12)
SOUTHERN = [24, 23, 21, 17, 13, 10, 9, 11, 14, 17, 20, 23]


@settings(derandomize=True, max_examples=20, deadline=None)
@given(MEANS, st.integers(1990, 2040))
def test_a_curve_keeps_each_monthly_mean(means, year):
    daily = from_monthly_means(means, year)
    assert monthly_means_c(daily) == pytest.approx(means, abs=1e-9)
    assert daily.smooth


def test_a_curve_over_leap_years_keeps_each_monthly_mean():
    daily = from_monthly_means(SOUTHERN, 2019, years=3)
    assert len(daily) == 365 + 366 + 365
    assert monthly_means_c(daily) == pytest.approx(SOUTHERN, abs=1e-9)


def test_a_curve_is_smooth_over_new_year_too():
    curve = from_monthly_means(SOUTHERN).mean_c
    step = np.abs(np.diff(np.append(curve, curve[0])))
    assert step.max() < 0.2
    assert np.abs(np.diff(np.append(step, step[:2]))).max() < 0.02


def test_a_constant_year_is_constant():
    assert from_monthly_means([17.0] * 12).mean_c == pytest.approx(np.full(365, 17.0), rel=1e-9)


def test_mean_and_swing_give_the_warmest_day_asked_for():
    curve = from_mean_and_swing(15, 8, 20).mean_c
    assert int(np.argmax(curve)) + 1 == 20
    assert curve.mean() == pytest.approx(15, rel=1e-9)
    assert curve.max() == pytest.approx(23, rel=1e-9)
    assert curve.min() == pytest.approx(7, abs=1e-3)


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: from_monthly_means([1] * 11), "11 values; give 12"),
        (lambda: from_monthly_means([1] * 11 + [np.nan]), "nan °C is no air"),
        (lambda: from_monthly_means([1] * 11 + [150]), "150 °C is no air"),
        (lambda: from_mean_and_swing(10, -1, 200), "swing -1"),
        (lambda: from_mean_and_swing(10, np.nan, 200), "swing nan"),
        (lambda: from_mean_and_swing(10, 5, 367), "warmest day 367"),
        (lambda: from_mean_and_swing(60, 50, 200), "°C is no air"),
    ],
)
def test_impossible_climates_are_refused(call, said):
    with pytest.raises(ClimateError, match=said):
        call()
