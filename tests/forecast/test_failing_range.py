"""The range of the chance of failing: what is judged, and how few members tell it."""

import numpy as np
import pytest

from sourloam.forecast.failing import chance_between


def between(fails, troubled, members=500):
    count = np.arange(members)
    rng = np.random.default_rng(1)
    return chance_between(count < fails, count < troubled, rng)


def test_few_members_tell_a_chance_less_surely_than_many():
    few, many = between(20, 0, 100), between(400, 0, 2000)
    assert few[1] - few[0] > 2 * (many[1] - many[0])
    assert few[0] < 0.2 < few[1]


def test_a_chance_that_rests_on_judged_trouble_is_less_sure_than_one_of_the_cold():
    judged, cold = between(50, 50), between(50, 0)
    assert judged[1] - judged[0] > 2 * (cold[1] - cold[0])


@pytest.mark.parametrize("fails", [0, 500])
def test_nothing_is_ever_quite_impossible_or_sure(fails):
    low, high = between(fails, 0)
    assert 0 <= low < high <= 1
    assert (high < 0.01) if fails == 0 else (low > 0.99)
