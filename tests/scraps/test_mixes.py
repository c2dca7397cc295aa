"""Mixing conserves; bran carries its cells; carbon, nitrogen and the sugar index follow."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sourloam.scraps import (
    CARRIERS,
    CLASSES,
    COLUMNS,
    INDEX,
    Batch,
    bran_batch,
    carbon_kg,
    class_shares,
    class_table,
    mix,
    nitrogen_kg,
    preset,
    sugar_buffer_index,
)

masses = st.lists(st.floats(0, 1e4), min_size=len(CLASSES), max_size=len(CLASSES))


@given(first=masses, second=masses, share=st.floats(0, 1))
@settings(max_examples=60, derandomize=True, deadline=None)
def test_mixing_conserves_every_column(sampled, first, second, share):
    table = Batch(class_table(sampled).amounts[:4])
    one, two = np.array(first), np.array(second)
    together = mix(one + two, table).amounts
    apart = mix(one, table).amounts + mix(two, table).amounts
    np.testing.assert_allclose(together, apart, rtol=1e-12, atol=1e-12)
    np.testing.assert_allclose(mix(one, table).fresh_kg, one.sum(), rtol=1e-12, atol=1e-12)
    for name in COLUMNS:
        by_hand = sum(one[i] * table[name][:, i] for i in range(len(CLASSES)))
        np.testing.assert_allclose(mix(one, table)[name], by_hand, rtol=1e-12, atol=1e-300)


def test_masses_may_have_their_own_members_and_layers(sampled):
    table = class_table(sampled)
    layers = np.ones((500, 3, len(CLASSES)))
    batch = mix(layers, Batch(table.amounts[:, None]))
    assert batch.amounts.shape == (500, 3, len(COLUMNS))
    np.testing.assert_allclose(batch.fresh_kg, len(CLASSES), rtol=1e-12)


@pytest.mark.parametrize(
    "wrong", [np.ones(3), -np.ones(len(CLASSES)), np.full(len(CLASSES), np.nan)]
)
def test_wrong_masses_are_refused(central, wrong):
    with pytest.raises(ValueError, match="masses"):
        mix(wrong, class_table(central))


@pytest.mark.parametrize("carrier", CARRIERS)
def test_bran_carries_its_cells(sampled, carrier):
    bran = bran_batch(0.02, carrier, 7.3, sampled)
    assert bran.amounts.shape == (500, len(COLUMNS))
    np.testing.assert_allclose(bran.fresh_kg, 0.02, rtol=1e-12)
    np.testing.assert_allclose(bran["lactic_cfu"], 20 * 10**7.3, rtol=1e-12)


def test_a_well_kept_bran_holds_ten_to_a_hundred_million_cells_a_gram(sampled):
    count = bran_batch(0.001, "wheat_bran", None, sampled)["lactic_cfu"]
    low, high = np.quantile(count, [0.1, 0.9])
    assert low == pytest.approx(1e7, rel=0.05)
    assert high == pytest.approx(1e8, rel=0.05)


def test_bran_may_be_dosed_layer_by_layer(sampled):
    doses = np.linspace(0.01, 0.03, 500)[:, None] * np.array([1.0, 2.0])
    batch = bran_batch(doses, "rice_bran", np.linspace(6, 8, 500), sampled)
    assert batch.amounts.shape == (500, 2, len(COLUMNS))
    np.testing.assert_allclose(batch.fresh_kg, doses, rtol=1e-12)
    np.testing.assert_allclose(
        batch["lactic_cfu"], doses * 1000 * 10 ** np.linspace(6, 8, 500)[:, None], rtol=1e-12
    )


def test_an_unknown_carrier_is_refused(central):
    with pytest.raises(KeyError):
        bran_batch(0.02, "sawdust", None, central)


def test_twenty_grams_of_bran_a_kg_lift_the_dry_matter_by_fourteen_grams(central):
    """Worked by hand from 19 % and 90.1 % dry matter: (190 + 18.0)/1.02 - 190 = 13.9 g/kg."""
    scraps = mix(np.eye(len(CLASSES))[0], class_table(central))
    wet = Batch(scraps.amounts.copy())
    wet.amounts[:, INDEX["water"]] += scraps.dry_kg / 0.19 - 1
    fresh = wet.fresh_kg[0]
    both = wet + bran_batch(0.02 * fresh, "wheat_bran", None, central)
    risen = (both.dry_kg / both.fresh_kg - wet.dry_kg / wet.fresh_kg)[0]
    assert risen == pytest.approx(0.0139, abs=1e-4)


def test_carbon_is_the_sum_of_constituents_times_their_content(central):
    sugar = np.zeros((1, len(COLUMNS)))
    sugar[0, INDEX["sugars"]] = 180.156
    assert carbon_kg(Batch(sugar), central)[0] == pytest.approx(6 * 12.011, rel=1e-4)
    starch = np.zeros((1, len(COLUMNS)))
    starch[0, INDEX["starch"]] = 162.141
    assert carbon_kg(Batch(starch), central)[0] == pytest.approx(6 * 12.011, rel=1e-4)


def test_chalk_of_shells_counts_as_no_organic_carbon(central):
    ash = np.zeros((1, len(COLUMNS)))
    ash[0, INDEX["ash"]] = 1
    assert carbon_kg(Batch(ash), central)[0] == 0


def test_nitrogen_is_protein_over_six_and_a_quarter(sampled):
    batch = mix(np.ones(len(CLASSES)), class_table(sampled))
    np.testing.assert_allclose(nitrogen_kg(batch, sampled), batch["protein"] / 6.25, rtol=1e-12)


def test_carbon_and_nitrogen_keep_further_axes(sampled):
    table = class_table(sampled)
    assert carbon_kg(table, sampled).shape == (500, len(CLASSES))
    assert nitrogen_kg(table, sampled).shape == (500, len(CLASSES))
    assert sugar_buffer_index(table, sampled).shape == (500, len(CLASSES))


def test_the_sugar_index_of_a_worked_grass(central):
    """20 % dry matter, 100 g sugar/kg DM, buffering 50 g lactic acid/kg DM: 20 + 8*100/50 = 36."""
    amounts = np.zeros((1, len(COLUMNS)))
    amounts[0, INDEX["water"]], amounts[0, INDEX["fibre"]] = 0.8, 0.18
    amounts[0, INDEX["sugars"]] = 0.02
    acid_mol = 0.050 * 0.2 / 0.09008
    amounts[0, INDEX["buffer"]] = acid_mol / 2
    amounts[0, INDEX["buffer_ph"]] = acid_mol / 2 * 6.0
    assert sugar_buffer_index(Batch(amounts), central)[0] == pytest.approx(36, rel=1e-9)


def test_fruit_sours_easily_and_meat_alone_hardly(central):
    index = sugar_buffer_index(class_table(central), central)[0]
    assert index[CLASSES.index("fruit_veg")] > 45
    without_sugar = index[CLASSES.index("meat_fish")]
    dry_percent = 100 * class_table(central).dry_kg[0, CLASSES.index("meat_fish")]
    assert without_sugar == pytest.approx(dry_percent, rel=1e-9)


def test_a_batch_that_is_sour_already_needs_no_sugar(central):
    index = sugar_buffer_index(class_table(central), central)[0]
    assert index[CLASSES.index("citrus")] == np.inf


def test_stated_shares_are_scaled_to_one_and_alike_in_every_member(sampled):
    shares = class_shares({"bread": 1.0, "paper": 3.0}, sampled)
    assert shares.shape == (sampled.members, len(CLASSES))
    assert np.all(shares[:, CLASSES.index("bread")] == 0.25)
    assert np.all(shares[:, CLASSES.index("paper")] == 0.75)
    np.testing.assert_array_equal(class_shares("cafe", sampled), preset("cafe", sampled))
