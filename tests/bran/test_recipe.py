"""From the wanted dry bran to what is weighed out."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sourloam.bran.carriers import INOCULA, SWEETS, Mixture
from sourloam.bran.recipe import Wish, containers, recipe

BRAN = Mixture({"wheat_bran": 1.0})
calm = settings(derandomize=True, max_examples=40, deadline=None)


@calm
@given(
    kg=st.floats(0.1, 500),
    sweet=st.sampled_from(list(SWEETS)),
    inoculum=st.sampled_from(list(INOCULA)),
    moisture=st.floats(0.3, 0.5),
    end=st.floats(0.06, 0.13),
    kept=st.floats(0.9, 1.0),
)
def test_dry_matter_and_water_balance(drawn, kg, sweet, inoculum, moisture, end, kept):
    wish = Wish(kg, BRAN, sweet, inoculum, end_moisture=end, moisture=moisture)
    found = recipe(wish, drawn, kept)
    put_in = found.carrier_kg + found.water_kg + found.sweet_kg + found.inoculum_kg
    assert put_in == pytest.approx(found.wet_kg, rel=1e-9)
    assert found.batch.fresh_kg == pytest.approx(found.wet_kg, rel=1e-9)
    assert found.moisture == pytest.approx(moisture)
    dry_out = found.wet_kg * (1 - found.moisture) * kept * (1 - drawn["bran_making.spill"])
    assert dry_out == pytest.approx(kg * (1 - end), rel=1e-9)


def test_ten_kilograms_of_wheat_bran_by_hand(usual):
    """9 kg of dry matter / 0.98 for spill = 9.184; molasses 7.8 g dry to a kg of dry carrier."""
    found = recipe(Wish(10.0, BRAN), usual)
    carrier_dry = 9 / 0.98 / (1 + 0.010 * (1 - 0.219))
    assert found.carrier_kg[0] == pytest.approx(carrier_dry / (1 - 0.0989), rel=1e-6)
    assert found.sweet_kg[0] == pytest.approx(0.010 * carrier_dry, rel=1e-6)
    assert found.wet_kg[0] == pytest.approx(9 / 0.98 / 0.62, rel=1e-6)
    assert found.carrier_m3[0] == pytest.approx(found.carrier_kg[0] / 245)
    assert found.packed_m3[0] == pytest.approx(found.wet_kg[0] / 420)


def test_ten_millilitres_of_a_ten_million_liquid_bring_60_thousand_cells_a_gram(usual):
    """0.010 kg x 1e7 x 1000 to a kg of dry carrier, in 1.0078 / 0.62 kg of wet mix, plus 1000 of
    the carrier's own."""
    found = recipe(Wish(10.0, BRAN), usual)
    own = 1000 * 1000 / (1 - 0.0989)
    expected = (0.010 * 1e10 + own) / (1000 * 1.00781 / 0.62)
    assert 10 ** found.log10_cells_per_g[0] == pytest.approx(expected, rel=1e-3)


def test_an_earlier_batch_brings_its_own_dry_matter_and_cells(usual):
    found = recipe(Wish(10.0, BRAN, inoculum="batch", cells=8.0), usual)
    weaker = recipe(Wish(10.0, BRAN, inoculum="batch", cells=7.0), usual)
    assert found.log10_cells_per_g - weaker.log10_cells_per_g == pytest.approx(1, abs=0.01)
    assert found.carrier_kg[0] < recipe(Wish(10.0, BRAN), usual).carrier_kg[0]


def test_wet_brewery_grain_asks_for_no_water(usual):
    wet = Mixture({"spent_grain": 1.0}, moisture=0.76)
    assert recipe(Wish(10.0, wet), usual).water_kg[0] < 0


def test_containers_are_counted_whole_and_not_filled_to_the_brim(usual):
    assert containers(np.array([0.0900]), 0.02, usual)[0] == 5
    assert containers(np.array([0.0901]), 0.02, usual)[0] == 6


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"dry_kg": 0}, "must be above 0"),
        ({"dry_kg": float("nan")}, "must be above 0"),
        ({"sweet": "honey"}, "choose from molasses"),
        ({"inoculum": "yoghurt"}, "choose from bought"),
        ({"moisture": 0.08}, "give more than the 0.1 to dry to"),
    ],
)
def test_a_wish_that_cannot_be_is_told_in_one_line(wrong, words):
    with pytest.raises(ValueError, match=words):
        Wish(**{"dry_kg": 1.0, "mixture": BRAN, **wrong})
