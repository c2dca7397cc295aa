"""Moisture and water activity."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sourloam.bran.sorption import (
    balance_moisture,
    water_activity,
    wheat_activity,
    wheat_moisture,
)
from sourloam.bran.water import dry_basis

calm = settings(derandomize=True, max_examples=60, deadline=None)


def test_wheat_at_20_degrees_and_65_percent_humidity_holds_16_3_percent_of_its_dry_matter(usual):
    found = dry_basis(wheat_moisture(0.65, 20, usual))
    assert found[0] == pytest.approx(0.1628, abs=0.0001)


@calm
@given(activity=st.floats(0.1, 0.95), warm=st.floats(5, 45), taken=st.floats(0.6, 1.2))
def test_activity_and_moisture_undo_each_other(usual, activity, warm, taken):
    moisture = balance_moisture(activity, warm, taken, usual)
    back = water_activity(moisture, warm, taken, usual)
    if moisture[0] > 0.001:
        assert back[0] == pytest.approx(activity, abs=1e-6)
    assert wheat_activity(wheat_moisture(activity, warm, usual), warm, usual)[0] == pytest.approx(
        activity
    )


@calm
@given(activity=st.floats(0.2, 0.8), warm=st.floats(5, 40))
def test_damper_air_and_cooler_air_make_bran_moister(usual, activity, warm):
    here = balance_moisture(activity, warm, 1.0, usual)
    assert balance_moisture(activity + 0.1, warm, 1.0, usual) > here
    assert balance_moisture(activity, warm + 5, 1.0, usual) < here


def test_a_carrier_that_takes_up_less_water_is_livelier_at_the_same_moisture(usual):
    assert water_activity(0.10, 20, 0.75, usual)[0] > water_activity(0.10, 20, 1.0, usual)[0] + 0.1


def test_members_differ_by_the_error_of_a_moisture_measured_at_home(drawn):
    activity = water_activity(0.10, 20, 1.0, drawn)
    assert activity.shape == (40,)
    assert 0.03 < np.std(activity) < 0.12
