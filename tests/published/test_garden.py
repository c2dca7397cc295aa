"""The garden room beside figures that others published.

Where a published figure is missed, the miss is stated as a test of its own.
"""

import numpy as np
import pytest

from sourloam import soil
from sourloam.evidence import book
from sourloam.garden.crops import crop, crop_evidence, crop_names
from sourloam.garden.feeding import Can, thin
from sourloam.garden.liquid import conductivity_ds_m, ion_conductivity_ds_m, usual_liquid
from sourloam.garden.salt import salt_at_yield

TOPICS = ("feeding", "acids", "soil", "beds", "ground")
P = book().central(
    [k for k in book().rows if k.split(".")[0] in TOPICS] + list(crop_evidence(crop_names()))
)

# ECe, dS/m, at 100, 90, 75 and 50 % of the yield: FAO Irrigation and Drainage Paper 29, table 4,
# as printed in PLoS ONE 13(6):e0198290 (2018) table 3.
FAO_29 = {
    "sweet_corn": (1.7, 2.5, 3.8, 5.9),
    "squash": (3.2, 3.8, 4.8, 6.3),
    "courgette": (4.7, 5.8, 7.4, 10.0),
    "bean": (1.0, 1.5, 2.3, 3.6),
}


@pytest.mark.parametrize("name", FAO_29)
def test_salt_costs_the_yield_that_fao_29_prints(name):
    grown = crop(name, P)
    found = salt_at_yield(
        np.array([1.0, 0.9, 0.75, 0.5]), grown.salt_threshold_ds_m, grown.salt_slope_per_ds_m
    )
    assert np.abs(found - FAO_29[name]).max() <= 0.051  # printed to one decimal


def test_mature_plums_lose_31_percent_a_unit_above_2_6():
    """Hoffman et al. 1989: Yr = 100 - 31 (ECe - 2.6)."""
    plum = crop("plum", P)
    found = salt_at_yield(0.566, plum.salt_threshold_ds_m, plum.salt_slope_per_ds_m)
    assert found[0] == pytest.approx(4.0, abs=1e-9)


@pytest.mark.parametrize(("mol_kg", "ds_m"), [(0.01, 1.40823), (0.1, 12.8246)])
def test_potassium_chloride_conducts_as_the_primary_standard(mol_kg, ds_m):
    """Wu et al. 1991 (NIST), 25 °C, in the CRC Handbook's table of calibration standards."""
    charge = np.array([mol_kg * 997.05])  # mol/m3: density of water at 25 °C
    found = ion_conductivity_ds_m({"potassium": charge, "chloride": charge}, P)
    assert found[0] == pytest.approx(ds_m, rel=0.015)


def test_the_customary_hundred_parts_of_water_suit_established_plants_not_seedlings():
    """Middle estimates beside the usual 1:100; acids against the EC50s of Himanen et al. 2012."""
    can = Can(usual_liquid(P), P)
    grown, young = (thin(can, crop("tomato", P), seedling).middle for seedling in (False, True))
    assert 70 < grown < 120
    assert young > 250
    left = can.liquid.acids_mol_m3(P)[0] / 101
    assert 0.7 < left < 2.3  # mmol/L: within the EC50s of early growth, cress and ryegrass


def test_liquid_conducts_within_the_span_of_fermented_fertilisers_or_below():
    """Phibunwatthanawong and Riddech 2019: 25-33 dS/m for distillery slop and cane leaf; scraps
    drain weaker liquid. Our middle 12 lies below their span, within the 8-30 of the science."""
    found = conductivity_ds_m(usual_liquid(P), P)[0]
    assert 8 < found < 33


# kg/m2 harvested and g/m2 of N, P, K carried away: New England Vegetable Management Guide,
# table 4. Rows that food composition times the same yield meets within a third:
MET = [
    ("carrot", 5.6, "nitrogen", 9.0),
    ("carrot", 5.6, "potassium", 18.6),
    ("kale", 2.2, "nitrogen", 14.0),
    ("kale", 2.2, "potassium", 10.2),
    ("cauliflower", 1.3, "nitrogen", 5.0),
    ("cauliflower", 1.3, "potassium", 4.0),
    ("onion", 4.5, "phosphorus", 1.0),
    ("cabbage", 4.5, "phosphorus", 1.5),
]
# Rows that it misses, with ours over theirs. Field crops are fed hard and weighed with outer
# leaves; tables of food hold what is eaten.
MISSED = [
    ("onion", 4.5, "nitrogen", 12.3, 0.64),
    ("onion", 4.5, "potassium", 10.2, 0.64),
    ("cabbage", 4.5, "nitrogen", 14.0, 0.66),
    ("cabbage", 4.5, "potassium", 12.1, 0.63),
    ("celery", 11.2, "nitrogen", 21.9, 0.56),
    ("lettuce", 3.4, "nitrogen", 8.4, 0.58),
    ("lettuce", 3.4, "potassium", 14.0, 0.34),
    ("muskmelon", 2.5, "nitrogen", 10.6, 0.32),
    ("broccoli", 1.1, "nitrogen", 2.2, 2.26),
]


def carried_g(name, harvest_kg_m2, element):
    return P[f"produce.{name}.{element}"][0] * harvest_kg_m2


@pytest.mark.parametrize(("name", "harvest", "element", "grams"), MET)
def test_what_harvests_carry_away_agrees_with_the_field_guide(name, harvest, element, grams):
    assert carried_g(name, harvest, element) == pytest.approx(grams, rel=0.33)


@pytest.mark.parametrize(("name", "harvest", "element", "grams", "ratio"), MISSED)
def test_the_rows_of_the_field_guide_that_we_miss(name, harvest, element, grams, ratio):
    found = carried_g(name, harvest, element) / grams
    assert found == pytest.approx(ratio, rel=0.05)
    assert abs(np.log(found)) > np.log(1.33)


def test_vegetables_want_about_what_garden_advice_gives():
    """Maryland and Colorado extension: 2 lb N per 1,000 ft2 (9.8 g/m2) in general, 14.6 for heavy
    feeders. Beyond what the soil gives, our middle vegetable wants that much."""
    soil_gives = P["beds.soil_nitrogen"][0] / 1000
    heavy = [crop(n, P).nitrogen_demand_kg_m2[0] - soil_gives for n in ("tomato", "beetroot")]
    vegetables = [
        crop(n, P).nitrogen_demand_kg_m2[0] - soil_gives
        for n in crop_names()
        if not crop(n, P).perennial and f"crops.{n}.harvest" in P
    ]
    assert np.median(vegetables) == pytest.approx(0.0098, rel=0.15)
    assert np.mean(heavy) == pytest.approx(0.0146, rel=0.15)


def test_the_nitrogen_ceiling_takes_under_three_kilograms_of_ferment_a_square_metre():
    """170 kg N/ha of the Nitrates Directive over 6.25 g N/kg: 2.7 kg."""
    portion = soil.Portion.typical(1.0, P)
    found = P["ground.nitrogen.usual"][0] / 1000 / portion.nitrogen_kg[0]
    assert found == pytest.approx(2.72, rel=0.01)


def test_single_foods_stand_as_the_database_prints_them():
    """SR28: spinach 2.86 % protein, 49 mg P, 558 mg K; garlic 6.36 %, 153, 401 per 100 g."""
    assert P["produce.spinach.nitrogen"][0] == pytest.approx(28.6 / 6.25, rel=1e-3)
    assert P["produce.spinach.potassium"][0] == pytest.approx(5.58, rel=1e-3)
    assert P["produce.garlic.phosphorus"][0] == pytest.approx(1.53, rel=1e-3)
