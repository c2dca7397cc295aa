"""What is kept of each layer agrees with what the vessel as a whole tells."""

import numpy as np
import pytest
from invented_layers import layers

from sourloam import vessel


def ran(pail, drawn, count=6, **how):
    feeding = vessel.Feeding(np.arange(count) * 3.0, layers(drawn.members, count))
    settings = vessel.Settings(keep_layers=True, **how)
    return vessel.run(pail, feeding, np.full(50, 20.0), drawn, settings)


@pytest.fixture(scope="module")
def kept(pail, drawn):
    return ran(pail, drawn)


def test_a_layer_is_kept_from_the_day_it_was_laid(kept):
    there = np.isfinite(kept.ph_layers)
    first = there.argmax(axis=2)
    assert np.array_equal(first, np.broadcast_to(np.arange(6) * 3, first.shape))
    assert there.sum() == sum(50 - 3 * i for i in range(6)) * first.shape[0]
    assert np.array_equal(there, np.isfinite(kept.oxygen_layers_mmol_per_kg))


def test_the_newest_layer_is_the_one_that_the_vessel_tells_of(kept):
    assert np.array_equal(kept.ph_layers[:, -1, 20:], kept.ph_newest[:, 20:])
    air = kept.oxygen_layers_mmol_per_kg[:, -1]
    assert air[:, -1] - air[:, 15] == pytest.approx(kept.top_oxygen_mmol_per_kg)


def test_a_vessel_whose_layers_are_all_sound_is_not_putrid(pail, drawn):
    warm = ran(pail, drawn, openings_per_rest_day=6.0, openings_per_layer=6.0)
    sound = ~warm.poor_layers[:, :, -1].any(axis=1)
    rotten = warm.poor_layers[:, :, -1].all(axis=1)
    assert not warm.putrid[sound].any()
    assert warm.putrid[rotten].all()


def test_a_jar_keeps_its_liquid(pail, drawn, kept):
    jar = ran(pail, drawn, drains=False)
    assert jar.liquid_m3[:, 1:].sum() == 0 < np.nansum(kept.liquid_m3)
    assert (jar.contents_kg[:, -1] > kept.contents_kg[:, -1]).all()


def test_nothing_is_kept_unless_asked(pail, drawn):
    feeding = vessel.Feeding(np.zeros(1), layers(drawn.members, 1))
    course = vessel.run(pail, feeding, np.full(3, 20.0), drawn)
    assert course.ph_layers.size == course.poor_layers.size == 0
