"""A vessel that nobody emptied for most of a year is still foreseen."""

import numpy as np

from sourloam.forecast.kernel import liquid_by, through_days

MEMBERS = np.array([[400.0, 1000.0, 5.0, 5000.0, 0.1, 0.99]])
VESSEL = np.array([0.0165, 0.06, 160.0, 9.81, 1040.0])
ADDED, KG = np.array([0, 5]), np.array([[2.0, 2.0]])
HELD = np.array([[1.0, 0.5, 0.1, 1e-9, 0.0, 0.0, 0.0, 0.0]])


def test_a_share_lost_in_rounding_is_all_gone_and_no_fault():
    softening = np.ones((1, 8))
    full, last, course = through_days(ADDED, KG, 0, 8, HELD, softening, MEMBERS, VESSEL)
    assert np.isinf(full[0])
    assert last[0] == 5
    assert np.isfinite(course).all()
    assert course[2, 0, -1] == 0.4


def test_liquid_of_such_a_layer_is_all_out():
    out = liquid_by(ADDED, KG, np.array([4, 7]), HELD, MEMBERS)
    assert out[0, 0] < out[0, 1] == 0.4
