"""Drying in a layer."""

import numpy as np
import pytest

from sourloam.bran.drying import (
    Drying,
    balance,
    dried,
    drying_loss,
    goal_moisture,
    saturated_kg_m3,
)
from sourloam.bran.sorption import water_activity

ONE = np.ones(1)
WET = 0.38 * ONE


def days(how, usual, end=0.115):
    return dried(how, WET, end * ONE, ONE, usual).days[0]


def test_saturated_air_holds_17_3_grams_at_20_degrees_and_4_85_at_freezing(usual):
    assert saturated_kg_m3(np.array([20.0]), usual)[0] == pytest.approx(0.0173, rel=0.005)
    assert saturated_kg_m3(np.array([0.0]), usual)[0] == pytest.approx(0.00485, rel=0.005)


def test_the_first_water_leaves_as_from_a_wet_cloth(usual):
    """4 mm/s x half of 17.3 g/m3 / (1 + 2450 x 1.03 / 1206) / (1 + 4 / 6), from 4 kg/m2: to fall
    from 38 to 36 % moisture the layer loses 125 g/m2."""
    rate = 0.004 * 0.5 * 0.0173 / (1 + 2450 * 1.03 / 1206) / (1 + 4 / 6)
    found = days(Drying("air", 20, 0.5), usual, end=0.36)
    assert found == pytest.approx(4 * 0.02 / 0.64 / rate / 86400, rel=0.03)


def test_bran_dries_in_a_few_days_in_an_airy_room_and_in_one_in_a_cabinet(usual):
    assert 1.5 < days(Drying("air", 22, 0.4), usual) < 5
    assert 0.4 < days(Drying("oven", 22, 0.5), usual) < 1.5


def test_thicker_layers_damper_air_and_less_wind_dry_slower(usual):
    plain = days(Drying("air", 22, 0.4), usual)
    assert days(Drying("air", 22, 0.4, layer_kg_m2=8), usual) > 2 * plain
    assert days(Drying("air", 22, 0.5), usual) > 1.1 * plain
    assert days(Drying("fan", 22, 0.4), usual) < 0.6 * plain


def test_air_dries_no_further_than_its_balance(usual):
    how = Drying("air", 20, 0.7)
    stop = balance(how, ONE, usual)
    assert 0.13 < stop[0] < 0.155
    assert np.isinf(dried(how, WET, stop - 0.002, ONE, usual).days[0])
    assert np.isfinite(dried(how, WET, stop + 0.002, ONE, usual).days[0])


def test_a_cabinet_warms_the_rooms_air_and_so_dries_it(usual):
    assert balance(Drying("oven", 20, 0.7), ONE, usual) < balance(
        Drying("air", 20, 0.7), ONE, usual
    )


def test_the_goal_is_a_water_activity_not_a_moisture(usual):
    for taken in (1.0, 0.75):
        goal = goal_moisture(20, taken * ONE, usual)
        assert water_activity(goal, 20, taken, usual)[0] == pytest.approx(0.42)
    assert goal_moisture(20, ONE, usual)[0] == pytest.approx(0.10, abs=0.002)


@pytest.mark.parametrize(("warm", "loss"), [(30, 0.5), (38, 1.0), (44, 1.5)])
def test_warmer_drying_kills_more(warm, loss, usual):
    assert drying_loss(warm * ONE, usual)[0] == pytest.approx(loss)


def test_hot_drying_and_thick_layers_are_refused(usual):
    with pytest.raises(ValueError, match="kills the culture"):
        days(Drying("oven", 20, 0.5, oven_c=50), usual)
    with pytest.raises(ValueError, match="spread at most 8 kg/m2"):
        days(Drying("air", 20, 0.5, layer_kg_m2=20), usual)


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"method": "microwave"}, "choose from air, fan, sun, oven, none"),
        ({"humidity": 0.0}, "less than 100 %"),
        ({"humidity": float("nan")}, "less than 100 %"),
        ({"layer_kg_m2": 0.0}, "must be above 0"),
    ],
)
def test_a_drying_that_cannot_be_is_told_in_one_line(wrong, words):
    with pytest.raises(ValueError, match=words):
        Drying(**{"method": "air", "air_c": 20, "humidity": 0.5, **wrong})


def test_water_driven_off_costs_energy_only_in_a_cabinet(usual):
    in_cabinet = dried(Drying("oven", 20, 0.5), WET, 0.10 * ONE, ONE, usual)
    assert in_cabinet.water_kg[0] == pytest.approx(0.28 / 0.9)
    assert in_cabinet.energy_kwh[0] == pytest.approx(in_cabinet.water_kg[0] * 1.0)
    assert dried(Drying("fan", 20, 0.4), WET, 0.115 * ONE, ONE, usual).energy_kwh[0] == 0
