"""pH from the balance of charges."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sourloam.vessel.acidity import davies_log10, solve_ph

CONSTANTS = 10.0 ** -np.array([3.86, 4.756, 4.83, 9.25, 14.0])
amount = st.floats(0, 0.4)


def ph_of(lactic=0.0, acetic=0.0, butyric=0.0, ammonia=0.0, strong=0.0, buffer=1e-12, at=6.0,
          guess=6.0):  # fmt: skip
    return solve_ph(guess, lactic, acetic, butyric, ammonia, CONSTANTS, strong, buffer,
                    buffer * at, 1.0)  # fmt: skip


def test_pure_water_is_neutral():
    assert ph_of() == pytest.approx(7.0, abs=1e-3)


def test_half_neutralised_lactic_acid_stands_at_its_constant():
    assert ph_of(lactic=0.2, strong=0.1) == pytest.approx(3.86, abs=0.005)


def test_a_buffer_alone_stays_at_its_own_ph():
    assert ph_of(buffer=0.03, at=5.7) == pytest.approx(5.7, abs=1e-3)


@settings(max_examples=200, derandomize=True)
@given(amount, amount, amount, amount, st.floats(0.005, 0.3), st.floats(3.0, 8.5),
       st.floats(2.0, 10.0))  # fmt: skip
def test_the_answer_does_not_depend_on_the_guess(la, aa, ba, nh, buffer, at, guess):
    first = ph_of(la, aa, ba, nh, 0.0, buffer, at, 6.0)
    assert ph_of(la, aa, ba, nh, 0.0, buffer, at, guess) == pytest.approx(first, abs=1e-7)


@settings(max_examples=100, derandomize=True)
@given(amount, st.floats(0.001, 0.2), st.floats(0.005, 0.2))
def test_more_acid_is_never_less_sour(lactic, more, buffer):
    assert ph_of(lactic + more, buffer=buffer) < ph_of(lactic, buffer=buffer)


def test_davies_at_a_tenth_molar():
    """The mean activity coefficient of a univalent ion at 0.1 mol/kg is near 0.78."""
    log10 = davies_log10(np.array([0.1]), np.array([0.509]), np.array([0.3]))
    assert 10 ** log10[0] == pytest.approx(0.781, abs=0.002)
