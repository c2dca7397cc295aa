"""Carriers, sources of sugar and mixtures."""

import numpy as np
import pytest

from sourloam.bran.carriers import (
    CARRIERS,
    SWEETS,
    Mixture,
    loose_density,
    plain_kg,
    sorption,
    sweet_kg,
)


@pytest.mark.parametrize("name", CARRIERS)
def test_a_kilogram_of_each_carrier_weighs_a_kilogram_and_is_not_yet_sour(name, drawn):
    one = plain_kg(Mixture({name: 1.0}), drawn)
    assert one.fresh_kg == pytest.approx(1)
    assert (one.amounts >= -1e-12).all()
    assert np.median(one.ph) == pytest.approx(6.3, abs=0.3)
    assert np.median(np.log10(one["lactic_cfu"] / 1000)) == pytest.approx(3.0, abs=0.6)


@pytest.mark.parametrize("name", [n for n in SWEETS if n != "none"])
def test_a_kilogram_of_each_source_of_sugar_weighs_a_kilogram(name, drawn):
    assert sweet_kg(name, drawn).fresh_kg == pytest.approx(1)


def test_molasses_is_three_quarters_sugar_and_whey_a_twentieth(usual):
    assert sweet_kg("molasses", usual)["sugars"][0] == pytest.approx(0.7472)
    assert sweet_kg("whey", usual)["sugars"][0] == pytest.approx(0.0512)
    assert sweet_kg("none", usual).fresh_kg[0] == 0


def test_a_mix_of_carriers_is_the_sum_of_its_parts(drawn):
    mixed = plain_kg(Mixture({"wheat_bran": 0.7, "rice_husk": 0.3}), drawn)
    bran, husk = (plain_kg(Mixture({n: 1.0}), drawn) for n in ("wheat_bran", "rice_husk"))
    assert mixed.amounts == pytest.approx(0.7 * bran.amounts + 0.3 * husk.amounts)


def test_volumes_of_a_mix_add_up(usual):
    mixed = loose_density(Mixture({"wheat_bran": 0.5, "rice_husk": 0.5}), usual)[0]
    assert mixed == pytest.approx(1 / (0.5 / 245 + 0.5 / 120))


def test_a_mix_takes_up_water_between_its_parts_by_dry_matter(usual):
    mixed = sorption(Mixture({"wheat_bran": 0.5, "sawdust": 0.5}), usual)[0]
    bran, dust = (1 - 0.0989) * 1.0, (1 - 0.11) * 0.75
    assert mixed == pytest.approx((bran + dust) / (1 - 0.0989 + 1 - 0.11))


def test_a_moisture_of_your_own_replaces_the_water_and_keeps_the_make_up(usual):
    dry = plain_kg(Mixture({"spent_grain": 1.0}), usual)
    wet = plain_kg(Mixture({"spent_grain": 1.0}, moisture=0.76), usual)
    assert wet.fresh_kg[0] == pytest.approx(1)
    assert wet["water"][0] == pytest.approx(0.76)
    assert wet["protein"] / wet.dry_kg == pytest.approx(dry["protein"] / dry.dry_kg)
    assert wet.ph == pytest.approx(dry.ph)


@pytest.mark.parametrize(
    ("shares", "moisture", "words"),
    [
        ({"straw": 1.0}, None, "straw: no carrier; choose from wheat_bran"),
        ({"wheat_bran": 0.5}, None, "add up to 0.5, not 1"),
        ({"wheat_bran": 1.0, "sawdust": 0.0}, None, "above 0"),
        ({"wheat_bran": 1.0}, 1.0, "moisture of the carrier 1"),
    ],
)
def test_a_mixture_that_cannot_be_is_told_in_one_line(shares, moisture, words):
    with pytest.raises(ValueError, match=words):
        Mixture(shares, moisture)
