"""What a landfill does to the scraps, by its closed form and by its balance."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from invented_season import season, temperate

from sourloam.impact.decay import Landfill
from sourloam.impact.elsewhere import Bin, landfill
from sourloam.impact.route import Weights

SHARE = st.floats(0.01, 1.0)


def one(**changes):
    usual = {
        "carbon_kg": 150.0, "decays": 0.7, "airless": 1.0, "methane_share": 0.5, "rate": 0.185,
        "caught": 0.0, "oxidised": 0.1, "methane_per_carbon": 16 / 12,
    }  # fmt: skip
    return Landfill(**{k: np.array([float(v)]) for k, v in (usual | changes).items()})


@settings(max_examples=40, derandomize=True)
@given(SHARE, SHARE, st.floats(0.02, 0.8), SHARE, SHARE)
def test_carbon_that_decayed_and_carbon_that_did_not_are_all_that_was_put_there(
    decays, airless, rate, caught, oxidised
):
    made = one(decays=decays, airless=airless, rate=rate, caught=caught, oxidised=oxidised)
    gone = made.decayed_kg(60)
    left = made.decaying_kg * np.exp(-rate * 60)
    assert gone.sum() + left == pytest.approx(made.decaying_kg, rel=1e-12)
    assert (gone >= 0).all()


@settings(max_examples=30, derandomize=True)
@given(st.floats(0.02, 0.8))
def test_each_year_gives_off_a_fixed_share_of_the_year_before(rate):
    methane = one(rate=rate).methane_kg(40)[0]
    assert methane[2:] / methane[1:-1] == pytest.approx(np.exp(-rate), rel=1e-9)


def test_in_the_end_all_the_potential_is_made_less_what_is_caught_and_oxidised():
    made = one(caught=0.4)
    assert made.methane_kg(400).sum() == pytest.approx(70.0 * 0.6 * 0.9, rel=1e-9)


def test_half_has_decayed_after_three_years_and_three_quarters_in_a_wet_temperate_climate():
    made = one()
    half_life = np.log(2) / made.rate[0]
    assert half_life == pytest.approx(3.747, abs=1e-3)


def test_a_dump_without_cover_neither_catches_nor_oxidises(central):
    kept = season(central)
    weights = Weights("ar6", 100, 27.0, 273.0)
    dump = landfill(kept, Bin(landfill="deep", haul_km=0), temperate(central), central, 100)
    made = dump.emissions[0].kg.sum()
    mcf, docf, share = 0.8, 0.7, 0.5
    assert made == pytest.approx(115 * docf * mcf * share * 16 / 12, rel=1e-4)
    assert dump.total(weights) == pytest.approx(27 * made, rel=1e-9)


def test_wet_ground_decays_faster_than_dry_and_the_tropics_faster_than_both(central):
    def first_year(wet, tropical):
        there = temperate(central, wet, tropical)
        return float(landfill(season(central), Bin(), there, central, 20).emissions[0].kg[0, 1])

    dry, wet, hot = first_year(False, False), first_year(True, False), first_year(True, True)
    assert dry < wet < hot
    assert wet / dry == pytest.approx((1 - np.exp(-0.185)) / (1 - np.exp(-0.06)), rel=1e-9)


def test_over_twenty_years_a_landfill_has_given_off_most_but_not_all(central):
    there = replace(temperate(central))
    whole = landfill(season(central), Bin(), there, central, 100).emissions[0].kg
    assert whole[:, :21].sum() / whole.sum() == pytest.approx(1 - np.exp(-0.185 * 20), rel=1e-6)
