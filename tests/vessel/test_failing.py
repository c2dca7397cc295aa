"""Chance of failing: counting, and what makes vessels fail."""

from dataclasses import replace

import numpy as np
import pytest
from invented_layers import BOOK, IDS, layers

from sourloam import vessel
from sourloam.scraps.batch import Batch


@pytest.fixture(scope="module")
def parameters():
    return BOOK.sample(IDS, 100, np.random.default_rng(2))


def run(pail, parameters, temperature=20.0, leak=None, **parts):
    kept = replace(pail, lid_leak_m3_per_day=leak)
    feeding = vessel.Feeding(np.arange(6.0) * 3, layers(100, 6, kg=1.0, **parts))
    return vessel.run(kept, feeding, np.full(60, temperature), parameters)


def failed(course, by_day=28.0):
    return vessel.chance_of_failing(course, by_day).failed.share


def test_shares_are_counts_of_members(pail, parameters):
    course = run(pail, parameters, 12.0)
    found = vessel.chance_of_failing(course, 28.0)
    late = ~(course.finish_day - course.last_fed_day <= 28)
    assert 0 < late.sum() < 100
    assert found.not_sour.share == late.mean()
    day = (course.last_fed_day + 28 - 1).astype(int)
    putrid = course.putrid_by_day[np.arange(100), day]
    assert found.failed.share == (late | putrid).mean()
    assert found.failed.low < found.failed.share < found.failed.high


def test_members_that_share_a_draw_and_fail_together_know_the_chance_less_well(pail, parameters):
    course = run(pail, parameters, 12.0)
    late = ~(course.finish_day - course.last_fed_day <= 28)
    together = np.argsort(np.argsort(late, kind="stable")) // 10
    mixed = np.arange(100) % 10
    alone = vessel.chance_of_failing(course, 28.0).not_sour
    shared, spread = (vessel.chance_of_failing(course, 28.0, d).not_sour for d in (together, mixed))
    assert shared.share == spread.share == alone.share
    assert shared.high - shared.low > 2 * (alone.high - alone.low)
    assert spread.high - spread.low < 1.5 * (alone.high - alone.low)
    assert shared.between > 0.8 > 0.3 > spread.between


@pytest.mark.parametrize("temperature", [4.0, 8.0, 12.0, 24.0])
def test_a_range_holds_its_own_share(pail, parameters, temperature):
    found = vessel.chance_of_failing(run(pail, parameters, temperature), 28.0, np.arange(100) // 4)
    for chance in (found.not_sour, found.putrid, found.failed, found.spoilt_top):
        assert chance.low <= chance.share <= chance.high


def test_cold_fails_more_often_than_warmth(pail, parameters):
    cold, cool, warm = (failed(run(pail, parameters, t)) for t in (6.0, 12.0, 22.0))
    assert cold > cool > warm
    assert cold > 0.8
    assert warm < 0.1


def test_without_inoculant_on_poor_protein_rich_scraps_more_fail(pail, parameters):
    poor = {"sugars": 0.012, "starch": 0.01, "buffer": 0.04, "nitrogen": 0.015}
    without = failed(run(pail, parameters, 20.0, lactic=2.5, **poor), 14.0)
    with_bran = failed(run(pail, parameters, 20.0, lactic=5.8, **poor), 14.0)
    assert without > with_bran + 0.1


def test_a_leaking_lid_spoils_more_tops(pail, parameters):
    tight = vessel.chance_of_failing(run(pail, parameters, leak=1e-6), 28.0)
    leaky = vessel.chance_of_failing(run(pail, parameters, leak=1e-3), 28.0)
    assert tight.spoilt_top.share < 0.05
    assert leaky.spoilt_top.share > 0.9


def test_a_run_too_short_and_draws_of_another_length_are_refused(pail, parameters):
    course = run(pail, parameters)
    with pytest.raises(ValueError, match="less than 50 days after a last layer"):
        vessel.chance_of_failing(course, 50.0)
    with pytest.raises(ValueError, match="draws: 3 given, 100 members"):
        vessel.chance_of_failing(course, 20.0, np.arange(3))


POOR = {"sugars": 0.004, "starch": 0.002, "buffer": 0.05, "nitrogen": 0.02, "ph": 6.3}


def test_putrid_is_judged_on_the_stated_day(pail, parameters):
    course = run(pail, parameters, 24.0, **POOR)
    early, late = (vessel.chance_of_failing(course, d).putrid.share for d in (4.0, 40.0))
    assert early < late - 0.3
    assert course.putrid.mean() >= late


def test_a_vessel_and_a_single_layer_fail_by_the_same_marks(parameters):
    # Butyric acid alone, ammonium kept low: the mark of ammonium is out of reach.
    marks = {"ferment.ammonia_poor": np.ones(100), "ferment.failure_after": np.full(100, 999.0)}
    own = parameters.with_values(marks)
    one = layers(100, 1, kg=1.0, **POOR)
    sealed = vessel.Vessel("sealed", 0.3, 0.3, 0.4, 0.05, 0.0, 2.5, lid_leak_m3_per_day=0.0)
    quiet = vessel.Settings(openings_per_layer=0.0)
    dry = own.with_values({"liquid.yield_factor": np.zeros(100)})
    whole = vessel.run(sealed, vessel.Feeding(np.zeros(1), one), np.full(50, 24.0), dry, quiet)
    single = vessel.newest_layer_finish(Batch(one.amounts[:, 0]), np.full(50, 24.0), dry)
    assert 0.2 < whole.putrid.mean() < 0.98
    assert (single.failed == whole.failed).mean() > 0.98
