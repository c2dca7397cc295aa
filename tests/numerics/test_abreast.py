"""Two at a time, in order, and the first error ends it."""

import threading

import pytest

from sourloam.numerics.abreast import abreast


def test_results_come_in_the_order_of_the_things():
    later = threading.Event()

    def slow_first(number):
        later.wait(5) if number == 0 else later.set()
        return number**2

    assert abreast(slow_first, range(5)) == [0, 1, 4, 9, 16]


def test_the_first_error_is_raised_and_the_rest_left():
    begun = []

    def fail(number):
        begun.append(number)
        raise ValueError(number)

    with pytest.raises(ValueError, match=r"^0$"):
        abreast(fail, range(1000))
    assert len(begun) < 1000
