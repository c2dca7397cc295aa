"""The closed days."""

import numpy as np
import pytest

from sourloam.bran.carriers import Mixture
from sourloam.bran.recipe import Wish, recipe
from sourloam.bran.souring import soured, usual_days


@pytest.fixture(scope="module")
def batch(drawn):
    return recipe(Wish(10.0, Mixture({"wheat_bran": 1.0})), drawn).batch


@pytest.fixture(scope="module")
def warm(batch, drawn):
    return soured(batch, 25.0, drawn)


def test_wheat_bran_is_sour_after_its_closed_days_in_a_warm_room(warm):
    assert 4.1 < np.median(warm.ph) < 4.5
    assert warm.closed_days >= warm.usual_days == 14
    assert warm.ph_daily.shape == (40, warm.closed_days + 1)
    assert warm.ph_daily[:, -1] == pytest.approx(warm.ph)


def test_it_holds_no_more_living_cells_than_such_a_carrier_can(warm, drawn):
    most = drawn["bran_making.most_cells"]
    assert (warm.log10_cells_per_g_dry <= most + 1e-12).all()
    assert np.median(warm.log10_cells_per_g_dry) > 7.5


def test_gas_and_lost_dry_matter_are_small_and_hang_together(warm):
    """A litre of carbon dioxide weighs 1.83 g; loss of dry matter is at most a few percent."""
    gas_kg = warm.gas_l_per_kg / 24.05 * 0.04401
    assert 1 < np.median(warm.gas_l_per_kg) < 10
    assert 0.95 < np.median(warm.kept_dry) < 1.0
    lost_kg = (1 - warm.kept_dry) * 0.62
    # Starch takes up water as it turns to sugar, alcohol is not counted as dry: not equal.
    assert np.abs(lost_kg - gas_kg).max() < 0.02


def test_a_cooler_room_sours_later(batch, drawn, warm):
    cool = soured(batch, 18.0, drawn)
    assert cool.closed_days > warm.closed_days
    assert np.median(cool.ph_daily[:, 4]) > np.median(warm.ph_daily[:, 4]) + 0.3


def test_days_of_your_own_are_taken_as_they_are(batch, drawn):
    assert soured(batch, 25.0, drawn, days=5).closed_days == 5


@pytest.mark.parametrize(("warmth", "days"), [(30, 10), (25, 14), (19, 21), (27.5, 12), (13, 28)])
def test_practice_closes_longer_where_it_is_cooler(warmth, days, usual):
    assert usual_days(warmth, usual) == days


@pytest.mark.parametrize("warmth", [5, 42, float("nan")])
def test_a_room_too_cold_or_too_hot_is_refused(warmth, batch, drawn):
    with pytest.raises(ValueError, match="sours between 12 and 40 °C"):
        soured(batch, warmth, drawn)
