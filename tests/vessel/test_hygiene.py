"""Fall of enteric bacteria: rules of the calculation. Published figures: tests/published."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sourloam.evidence import book
from sourloam.vessel.hygiene import EVIDENCE, enteric_decline

DAYS = np.array([0.0, 1.0, 2.0, 5.0])


def central():
    rows = book()
    return rows.central([k for prefix in EVIDENCE for k in rows.ids(prefix)])


def fall(ph, lactic=150.0, acetic=20.0, temperature=20.0, day=DAYS):
    series = np.full((1, day.size), float(ph))
    full = np.full_like(series, 1.0)
    return enteric_decline(
        day, series, lactic * full, acetic * full, np.array(temperature), central()
    ).log10_fall


def test_at_ph_4_and_20_degrees_half_a_log_falls_a_day():
    assert fall(4.0)[0] == pytest.approx(0.51 * DAYS, rel=1e-9)


def test_without_acid_nothing_falls():
    assert (fall(4.0, lactic=0.0, acetic=0.0) == 0).all()
    assert (fall(7.0, lactic=5.0, acetic=1.0)[0, -1]) < 0.01


def test_ten_degrees_colder_takes_twice_as_long():
    assert fall(4.0, temperature=10.0)[0, -1] == pytest.approx(fall(4.0)[0, -1] / 2, rel=1e-9)


@settings(derandomize=True, max_examples=60)
@given(st.floats(3.2, 6.0), st.floats(0, 300), st.floats(0, 100), st.floats(2, 35))
def test_the_fall_never_turns_back_and_grows_with_acid(ph, lactic, acetic, temperature):
    less = fall(ph, lactic, acetic, temperature)
    more = fall(ph, lactic + 20, acetic, temperature)
    assert (np.diff(less) >= 0).all()
    assert (more >= less - 1e-12).all()


def test_the_result_says_that_this_is_no_kill_step():
    one = np.full((1, 4), 4.0)
    found = enteric_decline(DAYS, one, 100 * one, one, np.array(20.0), central())
    assert "no kill step" in found.caution
    assert "Worm eggs" in found.caution


def test_days_that_do_not_rise_are_refused():
    with pytest.raises(ValueError, match="days must rise"):
        fall(4.0, day=np.array([0.0, 2.0, 2.0, 3.0]))
