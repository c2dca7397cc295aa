"""A simulated vessel's liquid and ferment, handed to the garden."""

from dataclasses import fields

import numpy as np
import pytest
from invented_garden import bed, parameters

from sourloam import soil
from sourloam.garden import simulated_liquid, simulated_portion, usual_liquid
from sourloam.vessel import Drained

P = parameters([bed()], members=3)


def drained(kg):
    held = {f.name: np.array(kg) * 0.001 for f in fields(Drained)}
    return Drained(**{**held, "liquid_kg": np.array(kg), "potassium_kg": np.array(kg) * 0.004})


def test_a_litre_with_four_grams_of_potassium_holds_four_grams_a_litre():
    found = simulated_liquid(drained([1.0, 2.0, 0.5]), np.full(3, 3.9), P)
    np.testing.assert_allclose(found.potassium, 4.0)
    np.testing.assert_allclose(found.nitrogen, 1.0)
    np.testing.assert_allclose(found.ph, 3.9)


def test_hardly_sour_liquid_is_thinned_like_the_usual():
    found, usual = simulated_liquid(drained([1.0, 2.0, 0.5]), np.full(3, 3.9), P), usual_liquid(P)
    np.testing.assert_allclose(found.lactic, np.maximum(usual.lactic, 1.0))


def test_where_hardly_a_drop_drained_the_usual_liquid_is_taken():
    found = simulated_liquid(drained([1.0, 0.0, 0.01]), np.full(3, 3.9), P)
    usual = usual_liquid(P)
    np.testing.assert_allclose(found.sodium[1:], usual.sodium[1:])
    np.testing.assert_allclose(found.ph, [3.9, usual.ph[1], usual.ph[2]])


def test_a_portion_has_the_make_of_the_whole_and_the_mass_asked_for():
    whole = soil.Portion.typical(20.0, P)
    part = simulated_portion(whole, [5.0, 10.0, 40.0])
    np.testing.assert_allclose(part.fresh_kg, [5, 10, 40])
    np.testing.assert_allclose(part.sodium_kg / whole.sodium_kg, [0.25, 0.5, 2.0])
    assert part.ph == pytest.approx(whole.ph)
