"""Shape, packing, filling and draining."""

import numpy as np
import pytest
from invented_layers import BOOK, IDS, layers

from sourloam import vessel
from sourloam.vessel.packing import level_at


def filled(pail, parameters, count=80, days=140, temperature=20.0, **parts):
    feeding = vessel.Feeding(np.arange(float(count)), layers(parameters.members, count, **parts))
    return vessel.run(pail, feeding, np.full(days, temperature), parameters)


def test_a_tapered_pail_holds_what_geometry_says(pail):
    """Hand-worked: pi h/12 (d1^2 + d1 d2 + d2^2) with the inside measures of a 5 gal pail."""
    assert pail.brim_m3 == pytest.approx(0.02236, rel=1e-3)
    assert pail.usable_m3 == pytest.approx(0.01691, rel=1e-3)


def test_the_level_of_a_volume_undoes_the_volume_of_a_level(pail):
    above = pail.volume_below_m3(0.21) - pail.sump_m3
    level = level_at(above, pail.base_diameter_m, pail.top_diameter_m, pail.height_m, 0.05)
    assert level == pytest.approx(0.16, rel=1e-9)


def test_a_vessel_known_by_its_volume_has_that_volume():
    made = vessel.Vessel.of_volume("tub", 0.060, 1.4, 0.9, 0.05, 0.05, 4.0)
    assert made.brim_m3 == pytest.approx(0.060, rel=1e-12)


def test_a_vessel_without_room_is_refused():
    with pytest.raises(ValueError, match="leave no room"):
        vessel.Vessel("flat", 0.3, 0.3, 0.1, 0.06, 0.05, 1.0)


def test_nothing_is_taken_beyond_the_usable_volume(pail, drawn):
    course = filled(pail, drawn)
    assert course.level_share.max() <= 1.0
    assert np.all(np.isfinite(course.full_day))
    taken = course.layers_taken
    assert np.all((taken > 20) & (taken < 80))
    assert np.allclose(course.fed_kg, 0.3 * taken)


def test_pressing_and_a_plate_make_room_for_more(pail, central):
    firm = filled(pail, central)
    loose = filled(pail, central.with_values({"vessel.press": 0.0}))
    assert firm.fed_kg[0] > 1.15 * loose.fed_kg[0]


def test_wetter_scraps_drain_more(pail, central):
    wet, dry = (filled(pail, central, dry=d).liquid_m3.sum() for d in (0.18, 0.26))
    assert wet > 4 * dry


def test_hardly_any_liquid_comes_from_a_dry_mix(pail, central):
    course = filled(pail, central, dry=0.33)
    assert course.liquid_m3.sum() / course.fed_kg[0] < 1e-6  # a millilitre a kg


def test_wet_and_dry_days_drain_more_than_their_mean(pail, central):
    even = central.with_values({"liquid.day_spread": np.array([1.0])})
    uneven = central.with_values({"liquid.day_spread": np.array([100.0])})
    litres = [filled(pail, p, dry=0.26).liquid_m3.sum() for p in (even, uneven)]
    assert litres[1] > 1.5 * litres[0]


def test_liquid_carries_potassium_before_phosphorus(pail, central):
    drained = filled(pail, central, dry=0.18).drained
    held = filled(pail, central, dry=0.18).ferment
    potassium = drained.potassium_kg / (drained.potassium_kg + held.potassium_kg)
    phosphorus = drained.phosphorus_kg / (drained.phosphorus_kg + held.phosphorus_kg)
    assert 0.05 < phosphorus[0] < potassium[0] < 0.5


def test_a_run_is_the_same_again_and_one_member_is_that_member(pail, drawn):
    many = filled(pail, drawn)
    again = filled(pail, drawn)
    alone = filled(pail, drawn.member(7))
    assert np.array_equal(many.full_day, again.full_day)
    assert np.array_equal(many.ph_newest, again.ph_newest, equal_nan=True)
    assert alone.full_day[0] == many.full_day[7]
    assert np.allclose(alone.ph_newest[0], many.ph_newest[7], equal_nan=True, atol=1e-12)


def test_days_without_scraps_are_no_layers(pail, central):
    batch = layers(1, 10)
    batch.amounts[:, 1::2] = 0.0
    course = vessel.run(pail, vessel.Feeding(np.arange(10.0), batch), np.full(30, 20.0), central)
    assert course.layers_taken[0] == 5
    assert course.last_fed_day[0] == 8


@pytest.mark.parametrize(
    ("temperature", "message"),
    [(np.full((7, 10), 20.0), "for 1 members"), (np.array([20.0, np.nan]), "not a finite")],
)
def test_a_bad_temperature_series_is_refused(pail, central, temperature, message):
    feeding = vessel.Feeding(np.arange(2.0), layers(1, 2))
    with pytest.raises(ValueError, match=message):
        vessel.run(pail, feeding, temperature, central)


def test_negative_amounts_are_refused():
    batch = layers(1, 2)
    batch.amounts[0, 0, 0] = -1.0
    with pytest.raises(ValueError, match="not below 0"):
        vessel.Feeding(np.arange(2.0), batch)


def test_the_plain_sample_and_the_central_values_differ():
    assert BOOK.sample(IDS, 2, np.random.default_rng(0))["flora.lactic.growth"].std() > 0


def test_many_members_are_run_in_blocks_and_come_back_whole(pail, central, monkeypatch):
    drawn = BOOK.sample(IDS, 7, np.random.default_rng(2))
    whole = filled(pail, drawn, count=10, days=20)
    monkeypatch.setattr("sourloam.vessel.whole._BLOCK", 3)
    parts = filled(pail, drawn, count=10, days=20)
    assert np.array_equal(whole.ph_newest, parts.ph_newest, equal_nan=True)
    assert np.allclose(whole.ferment.lactic_kg, parts.ferment.lactic_kg, rtol=1e-12)
    assert np.allclose(whole.ledger.into["mass"], parts.ledger.into["mass"], rtol=1e-12)
