"""One kg of a class is one kg, whatever the draw."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sourloam.evidence import Parameters, book
from sourloam.scraps import CARRIERS, CLASSES, COLUMNS, EVIDENCE, INDEX, class_table
from sourloam.scraps.batch import MASSES, MINERALS
from sourloam.scraps.classes import composition


def test_constituents_of_every_class_add_up_to_one_kg_in_every_member(sampled):
    table = class_table(sampled)
    assert table.amounts.shape == (500, len(CLASSES), len(COLUMNS))
    assert np.all(table.amounts >= 0)
    np.testing.assert_allclose(table.fresh_kg, 1, rtol=0, atol=1e-15 * len(MASSES))


def test_minerals_never_outweigh_the_ash_that_holds_them(sampled):
    table = class_table(sampled)
    minerals = sum(table[name] for name in MINERALS)
    assert np.all(minerals <= table["ash"] * (1 + 1e-12))


@given(seed=st.integers(0, 2**32 - 1), stretch=st.floats(0.2, 5))
@settings(max_examples=40, derandomize=True, deadline=None)
def test_even_absurd_draws_give_one_kg_and_nothing_below_zero(seed, stretch):
    ids = [key for name in CLASSES for key in book().ids(f"scraps.{name}")]
    sample = book().sample(ids, 8, np.random.default_rng(seed))
    rng = np.random.default_rng(seed)
    bent = {
        key: values * stretch ** rng.uniform(-1, 1, 8)
        for key, values in sample.items()
        if not key.endswith((".water", ".ph", ".lactic", ".entero"))
    }
    table = class_table(sample.with_values(bent))
    assert np.all(table.amounts >= 0)
    np.testing.assert_allclose(table.fresh_kg, 1, rtol=0, atol=1e-14)


def test_water_stays_as_drawn_and_a_wetter_draw_thins_everything_else_alike(central):
    wetter = central.with_values({"scraps.fruit_veg.water": 0.94})
    i = CLASSES.index("fruit_veg")
    drawn, thinned = class_table(central).amounts[0, i], class_table(wetter).amounts[0, i]
    assert thinned[INDEX["water"]] == pytest.approx(0.94, rel=1e-12)
    for name in (*MASSES[1:], *MINERALS):
        if drawn[INDEX[name]] > 0:
            ratio = thinned[INDEX[name]] / drawn[INDEX[name]]
            assert ratio == pytest.approx(0.06 / (1 - drawn[0]), rel=1e-9), name


def test_one_member_of_a_sample_is_the_scalar_case(sampled):
    whole = class_table(sampled).amounts
    for index in (0, 17, 499):
        np.testing.assert_array_equal(class_table(sampled.member(index)).amounts[0], whole[index])


def test_rows_of_a_class_add_up_before_they_are_scaled():
    for name in (*CLASSES, *CARRIERS):
        total = sum(book()[f"scraps.{name}.{part}"].value for part in MASSES)
        assert total == pytest.approx(1, abs=8e-3), name


def test_the_room_states_every_id_that_it_reads():
    stated = book().central([key for prefix in EVIDENCE for key in book().ids(prefix)])
    for classes in (CLASSES, CARRIERS):
        assert composition(classes, stated).amounts.shape[1] == len(classes)


def test_meat_is_richest_in_protein_bread_in_starch_paper_in_fibre(central):
    table = class_table(central)
    for constituent, richest in (
        ("protein", "meat_fish"),
        ("starch", "bread"),
        ("fibre", "paper"),
        ("Ca", "shells_bones"),
        ("water", "fruit_veg"),
    ):
        assert CLASSES[int(table[constituent][0].argmax())] == richest


def test_living_cells_of_a_kilogram_are_a_thousand_times_those_of_a_gram(central):
    table = class_table(central)
    for column, row in (("lactic_cfu", "lactic"), ("entero_cfu", "entero")):
        per_gram = [10 ** central[f"scraps.{name}.{row}"][0] for name in CLASSES]
        assert table[column][0] == pytest.approx(1000 * np.array(per_gram), rel=1e-12)


def test_a_missing_id_is_a_key_error(central):
    few = Parameters({"scraps.paper.water": central["scraps.paper.water"]}, 1)
    with pytest.raises(KeyError):
        class_table(few)
