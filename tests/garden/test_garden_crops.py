import numpy as np
import pytest
from invented_garden import bed, parameters

from sourloam.evidence import book
from sourloam.garden import Planting, crop_names
from sourloam.garden.crops import crop, crop_evidence, spoken

EVERY = crop_names()


@pytest.fixture(scope="module")
def central():
    return book().central(crop_evidence(EVERY))


def test_there_are_more_than_forty_crops_of_every_sort():
    assert len(EVERY) >= 60
    assert {"tomato", "basil", "apple", "rose", "lawn"} <= set(EVERY)


@pytest.mark.parametrize("name", EVERY)
def test_every_crop_has_all_its_figures(name, central):
    found = crop(name, central)
    assert 0 < found.nitrogen_demand_kg_m2[0] < 0.04
    assert 0 < found.salt_threshold_ds_m[0] < 8
    assert 0 < found.salt_slope_per_ds_m[0] < 0.5
    assert found.perennial or found.days_to_harvest[0] > 20


@pytest.mark.parametrize("name", EVERY)
def test_no_crop_carries_away_more_nitrogen_than_it_takes_up_and_the_soil_gives(name, central):
    found = crop(name, central)
    assert found.removal_kg_m2["nitrogen"][0] <= found.nitrogen_demand_kg_m2[0] + 0.010


def test_what_a_harvest_carries_away_is_its_mass_times_its_content(central):
    # 5 kg/m2 of cabbage with 1.28 % protein: 5000 g x 0.0128 / 6.25 = 10.24 g N
    removal = crop("cabbage", central).removal_kg_m2
    assert removal["nitrogen"][0] == pytest.approx(0.01024, rel=1e-3)
    assert removal["phosphorus"][0] == pytest.approx(0.0013, rel=1e-3)
    assert removal["potassium"][0] == pytest.approx(0.0085, rel=1e-3)


def test_ornamentals_carry_nothing_away(central):
    assert np.all(crop("rose", central).removal_kg_m2["nitrogen"] == 0)


def test_legumes_want_little_nitrogen_and_cabbages_much(central):
    demand = {
        n: crop(n, central).nitrogen_demand_kg_m2[0] for n in ("pea", "lettuce", "cauliflower")
    }
    assert demand["pea"] < demand["lettuce"] < demand["cauliflower"]


def test_salads_and_roots_eaten_raw_touch_the_soil(central):
    for name in ("lettuce", "radish", "carrot", "strawberry"):
        found = crop(name, central)
        assert found.eaten_raw
        assert found.touches_soil
    assert not crop("tomato", central).touches_soil
    assert not crop("potato", central).eaten_raw


def test_a_crop_says_its_name_in_plain_words():
    assert spoken("sweet_corn") == "sweet corn"
    assert spoken("brussels_sprout") == "Brussels sprout"


def test_a_plan_draws_only_the_crops_it_grows():
    p = parameters([bed(plantings=[Planting("tomato", 80, 200)])])
    assert "crops.tomato.harvest" in p
    assert not [key for key in p if key.startswith("crops.leek.")]


def test_members_differ_in_what_they_need():
    p = parameters([bed(plantings=[Planting("tomato", 80, 200)])], members=50)
    assert np.ptp(crop("tomato", p).nitrogen_demand_kg_m2) > 0.004
