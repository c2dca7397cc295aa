import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sourloam.garden.salt import salt_at_yield, yield_share

threshold = st.floats(0.5, 6)
slope = st.floats(0.02, 0.4)


@given(threshold, slope, st.floats(0, 30), st.floats(0, 30))
@settings(derandomize=True, max_examples=200)
def test_more_salt_never_gives_more_yield(a, b, first, second):
    low, high = sorted((first, second))
    assert yield_share(high, a, b) <= yield_share(low, a, b)


@given(threshold, slope, st.floats(0, 1))
@settings(derandomize=True, max_examples=100)
def test_below_the_threshold_nothing_is_lost(a, b, part):
    assert yield_share(part * a, a, b) == 1


@given(threshold, slope, st.floats(0.05, 1))
@settings(derandomize=True, max_examples=100)
def test_salt_at_a_yield_gives_that_yield(a, b, share):
    assert yield_share(salt_at_yield(share, a, b), a, b) == pytest.approx(share, rel=1e-9)


def test_yield_never_falls_below_nothing():
    assert np.all(yield_share([50.0, 100.0], 1.0, 0.19) == 0)
