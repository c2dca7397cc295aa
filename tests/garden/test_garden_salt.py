"""Salt at a yield against the plateau and line themselves (Maas and Hoffman 1977)."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sourloam.garden.salt import salt_at_yield

threshold = st.floats(0.5, 6)
slope = st.floats(0.02, 0.4)


def yield_share(salt_ds_m, threshold_ds_m, slope_per_ds_m):
    over = max(salt_ds_m - threshold_ds_m, 0)
    return min(max(1 - slope_per_ds_m * over, 0), 1)


@given(threshold, slope, st.floats(0.05, 1))
@settings(derandomize=True, max_examples=100)
def test_salt_at_a_yield_gives_that_yield(a, b, share):
    assert yield_share(float(salt_at_yield(share, a, b)), a, b) == pytest.approx(share, rel=1e-9)


@given(threshold, slope, st.floats(0.05, 1), st.floats(0.05, 1))
@settings(derandomize=True, max_examples=200)
def test_less_yield_is_left_where_there_is_more_salt(a, b, first, second):
    low, high = sorted((first, second))
    assert salt_at_yield(high, a, b) <= salt_at_yield(low, a, b)


@given(threshold, slope)
@settings(derandomize=True, max_examples=100)
def test_all_of_the_yield_is_left_up_to_the_threshold(a, b):
    assert salt_at_yield(1, a, b) == a
