"""Water in a carrier: hand-worked sums and what must always hold."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sourloam.bran.water import (
    dry_basis,
    water_removed_kg,
    water_to_reach_kg,
    wet_basis,
)

moistures = st.floats(0.01, 0.6)
masses = st.floats(0.1, 1000)
calm = settings(derandomize=True, max_examples=100, deadline=None)


def test_a_kilogram_of_bran_at_12_percent_takes_467_g_of_water_to_reach_40_percent():
    assert water_to_reach_kg(0.40, 1.0, 0.12) == pytest.approx(0.28 / 0.60)


@pytest.mark.parametrize(
    ("litres", "moisture"),
    [(0.20, 0.267), (0.26, 0.302), (0.35, 0.348), (0.47, 0.401), (0.60, 0.450), (0.76, 0.500)],
)
def test_litres_to_a_kilogram_of_bran_at_12_percent_and_the_moisture_they_give(litres, moisture):
    assert (0.12 + litres) / (1 + litres) == pytest.approx(moisture, abs=0.001)
    assert water_to_reach_kg(moisture, 1.0, 0.12) == pytest.approx(litres, rel=0.02)


def test_a_carrier_wetter_than_the_aim_asks_for_less_than_no_water():
    assert water_to_reach_kg(0.38, 1.0, 0.76) == pytest.approx(-0.38 / 0.62)


@pytest.mark.parametrize(
    ("before", "after", "water"),
    [(0.30, 0.10, 0.222), (0.35, 0.10, 0.278), (0.40, 0.10, 0.333), (0.40, 0.12, 0.318)],
)
def test_water_that_leaves_a_kilogram_in_drying(before, after, water):
    assert water_removed_kg(1.0, before, after) == pytest.approx(water, abs=0.001)


@calm
@given(masses, moistures, moistures)
def test_dry_matter_stays_when_water_comes_or_goes(mass, now, then):
    water = water_to_reach_kg(then, mass, mass * now)
    assert (mass * now + water) / (mass + water) == pytest.approx(then)
    dried = mass - water_removed_kg(mass, now, then)
    assert dried * (1 - then) == pytest.approx(mass * (1 - now))


@calm
@given(moistures)
def test_dry_and_wet_basis_undo_each_other(moisture):
    assert wet_basis(dry_basis(moisture)) == pytest.approx(moisture)
