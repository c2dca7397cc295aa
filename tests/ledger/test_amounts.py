import numpy as np
import pytest

from sourloam.evidence import book
from sourloam.ledger import fold, mass_of
from sourloam.ledger.amounts import (
    AmountError,
    SharedErrors,
    contents_kg,
    evidence_ids,
    layer_kg,
    loose_density_kg_m3,
    masses_kg,
    usual_mix,
)
from sourloam.ledger.bodies import Amount, Fed, MeasureSet
from sourloam.site import Site
from strategies.ledger_entries import SITE, entry, fed

CENTRAL = book().central(evidence_ids())
BREAD = {"bread": 1.0}


def bowl(**size):
    return MeasureSet(measure="bowl", name="Bowl", **size)


def middle(amount, mix="household", measure=None):
    return masses_kg(amount, mix, measure, CENTRAL, None)[0]


def test_a_litre_of_bread_weighs_150_g_by_the_table():
    assert middle(Amount(volume_l=1.0), BREAD) == pytest.approx(0.150)


def test_half_fruit_and_half_bread_by_mass_pack_as_the_sum_of_their_volumes():
    mix = {"fruit_veg": 0.5, "bread": 0.5}
    assert middle(Amount(volume_l=1.0), mix) == pytest.approx(1 / (0.5 / 0.400 + 0.5 / 0.150))


def test_shares_that_miss_one_a_little_are_scaled():
    near = {"bread": 0.998}
    assert loose_density_kg_m3(near, CENTRAL) == pytest.approx(150)


def test_two_bowls_of_a_weighed_bowl_are_twice_its_mass():
    amount = Amount(measure="bowl", count=2.0)
    assert middle(amount, measure=bowl(mass_kg=0.6)) == pytest.approx(1.2)
    assert middle(amount, BREAD, bowl(volume_l=1.5)) == pytest.approx(0.45)


def test_a_measure_that_was_never_calibrated_tells_no_mass():
    with pytest.raises(AmountError, match="bowl: never calibrated"):
        middle(Amount(measure="bowl", count=1.0))


def test_weighed_is_surer_than_counted_and_counted_surer_than_litres_by_eye():
    def width(amount, measure=None):
        found = mass_of(amount, "household", measure)
        return float(found.high / found.low)

    weighed = width(Amount(mass_kg=1.0))
    counted = width(Amount(measure="bowl", count=2.0), bowl(mass_kg=0.5))
    by_eye = width(Amount(volume_l=2.0))
    assert 1.05 < weighed < 1.12
    assert weighed < counted < by_eye
    assert 1.5 < by_eye < 2.2


def test_the_differences_of_many_bowls_even_out():
    def width(count):
        found = mass_of(Amount(measure="bowl", count=count), "household", bowl(mass_kg=0.5))
        return np.log(float(found.high / found.low))

    assert width(16.0) == pytest.approx(width(1.0) / 4, rel=0.01)


def test_an_error_of_the_scale_is_one_for_all_its_layers_and_another_for_each_measure():
    drawn = book().sample(evidence_ids(), 400, np.random.default_rng(2))
    shared = SharedErrors(drawn, np.random.default_rng(4))
    first, second = (shared.times(Amount(mass_kg=kg), "Ada") for kg in (1.0, 7.0))
    assert np.array_equal(first, second)
    assert 0.02 < np.std(np.log(first)) < 0.04  # the row says 3 %
    bowls = [shared.times(Amount(measure=name, count=1), None) for name in ("bowl", "tin")]
    assert abs(np.corrcoef(bowls)[0, 1]) < 0.2
    litres = [shared.times(Amount(volume_l=2.0), who) for who in ("Ada", "Ben", "Ada")]
    assert np.array_equal(litres[0], litres[2])
    assert not np.array_equal(litres[0], litres[1])


def test_layers_drawn_with_the_same_parameters_share_the_density_of_their_mix():
    drawn = book().sample(evidence_ids(), 200, np.random.default_rng(2))
    rng = np.random.default_rng(3)
    one, two = (masses_kg(Amount(volume_l=2.0), "cafe", None, drawn, rng) for _ in range(2))
    assert 0.2 < np.corrcoef(np.log(one), np.log(two))[0, 1] < 0.95


LUNCH = {"from": "meals", "meals": "school_lunch", "per_day": 80}
SCHOOL = Site.model_validate(SITE | {"scraps": [LUNCH]})


def test_a_layer_that_names_no_mix_is_of_what_its_place_throws_away():
    nameless = Fed(vessel="a", amount=Amount(volume_l=5.0))
    state = fold([])
    assert usual_mix(SCHOOL) == "plate_waste"
    assert usual_mix(None) == "household"
    assert usual_mix(Site.model_validate(SITE | {"scraps": [LUNCH | {"mix": "cafe"}]})) == "cafe"
    by_school = layer_kg(nameless, state, usual_mix(SCHOOL))
    assert by_school == mass_of(Amount(volume_l=5.0), "plate_waste", None).median
    assert by_school != layer_kg(nameless, state, usual_mix(None))
    named = Fed(vessel="a", amount=Amount(volume_l=5.0), kinds="household")
    assert layer_kg(named, state, usual_mix(SCHOOL)) == layer_kg(nameless, state, "household")


def test_a_bowl_that_was_never_weighed_tells_no_mass():
    assert (
        layer_kg(Fed(vessel="a", amount=Amount(measure="bowl", count=2)), fold([]), BREAD) is None
    )


def test_contents_are_scraps_and_bran_less_what_drained_and_never_below_nothing():
    drained = entry(9, "drained", {"vessel": "pail-1", "volume_ml": 500.0}, day=2)
    bowls = entry(8, "fed", {"vessel": "pail-1", "amount": {"measure": "bowl", "count": 1}}, day=1)
    layer = {"vessel": "pail-1", "amount": {"mass_kg": 2.0}, "bran_g": 50.0}
    state = fold([entry(1, "fed", layer), bowls, drained])
    weighed = mass_of(Amount(mass_kg=2.0), BREAD, None).median
    liquid = 0.0005 * book()["liquid.density"].value
    found = contents_kg(state.vessel("pail-1").turn, state, BREAD)
    assert found == pytest.approx(weighed + 0.05 - liquid)
    flood = entry(10, "drained", {"vessel": "pail-1", "volume_ml": 9000.0}, day=3)
    state = fold([fed(1, mass_kg=2.0), flood])
    assert contents_kg(state.vessel("pail-1").turn, state, BREAD) == 0
