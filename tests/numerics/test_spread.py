"""Median and range of an ensemble."""

import numpy as np
import pytest

from sourloam.numerics import spread


def test_the_range_holds_the_middle_eight_tenths():
    found = spread(np.arange(101.0))
    assert (found.low, found.median, found.high) == (10, 50, 90)


def test_members_that_never_come_stay_infinite_and_are_not_lost():
    found = spread([1.0, 2.0, 3.0, np.inf, np.inf])
    assert found.median == 3
    assert found.high == np.inf


def test_daily_values_are_summed_up_day_by_day():
    days = spread(np.array([[1.0, 10.0], [2.0, 20.0], [3.0, 30.0]]))
    assert days.median.tolist() == [2.0, 20.0]
    assert days.as_dict()["high"] == [3.0, 30.0]


def test_no_members_is_an_error():
    with pytest.raises(ValueError, match="no members"):
        spread([])
