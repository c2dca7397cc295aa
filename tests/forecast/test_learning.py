"""How members come to agree with a log, and how places learn from their past and each other."""

import datetime as dt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sourloam.evidence import book
from sourloam.forecast import Belief, Layer, Learned, Logged, share_strength
from sourloam.forecast.coordinates import COUNT
from sourloam.forecast.rate import future_kg, level_of
from sourloam.forecast.sampling import sample
from sourloam.forecast.scoring import crps, rank_share
from sourloam.numerics.resampling import systematic

PLACE_DAY = dt.date(2025, 9, 1)
PRIOR = Belief.before_any_log((0.0, 0.5))


def believed(mean, variance, rate=(0.0, 0.2)):
    return Belief(np.full(COUNT, mean), variance * np.eye(COUNT), *rate, turns=3)


def test_members_of_a_normal_reading_are_those_of_the_closed_form():
    """Prior N(0, 1), a reading of 1.5 with s.d. 0.5 of the first coordinate: N(1.2, 0.2)."""

    def likelihood(z, e):
        return -0.5 * ((1.5 - z[:, 0]) / 0.5) ** 2

    drawn = [sample(likelihood, PRIOR, 2, 500, np.random.default_rng(s)).z for s in range(6)]
    z = np.concatenate(drawn)
    assert z[:, 0].mean() == pytest.approx(1.2, abs=0.05)
    assert z[:, 0].std() == pytest.approx(np.sqrt(0.2), rel=0.08)
    assert z[:, 1:].mean() == pytest.approx(0.0, abs=0.05)
    assert z[:, 1:].std() == pytest.approx(1.0, rel=0.05)


def test_two_inputs_known_only_by_their_sum_stay_bound_to_each_other():
    def likelihood(z, e):
        return -0.5 * ((z[:, 0] + z[:, 1] - 2) / 0.1) ** 2

    z = sample(likelihood, PRIOR, 1, 800, np.random.default_rng(1)).z
    assert (z[:, 0] + z[:, 1]).mean() == pytest.approx(2, abs=0.05)
    assert np.corrcoef(z[:, 0], z[:, 1])[0, 1] < -0.9
    assert z[:, 0].std() == pytest.approx(np.sqrt(0.5), rel=0.15)


@settings(derandomize=True, max_examples=30, deadline=None)
@given(st.lists(st.floats(0.01, 1), min_size=2, max_size=20), st.integers(10, 200))
def test_each_weight_is_drawn_about_as_often_as_it_says(weights, count):
    share = np.array(weights) / sum(weights)
    drawn = np.bincount(systematic(share, count, np.random.default_rng(1)), minlength=len(share))
    assert np.all(np.abs(drawn - share * count) < 1 + 1e-9)


def test_the_rate_of_a_place_moves_from_what_is_believed_to_what_is_laid():
    layers = tuple(Layer(d, 0.6, 0.0) for d in range(25))
    log = Logged(PLACE_DAY, layers)
    expected = np.full(60, 0.4)
    level = level_of(log, np.array([25 * 0.6]), expected, 24, PRIOR, 0.6)
    assert np.log(1.2) < level.mean[0] < np.log(1.5) + 0.01
    assert level.sd < 0.13
    one = level_of(log.until(0), np.array([0.6]), expected, 0, PRIOR, 0.6)
    assert one.sd > 3 * level.sd


def test_coming_scraps_have_the_mean_that_the_level_says_and_stop_where_none_are_expected():
    rng = np.random.default_rng(5)
    expected = np.array([0.4, 0.0, 0.8])
    kg = future_kg(expected, np.full(40_000, np.log(1.5)), 0.6, rng)
    assert kg.mean(axis=0) == pytest.approx(1.5 * expected, rel=0.02)
    assert np.all(kg[:, 1] == 0)


def test_a_place_is_a_little_less_sure_of_its_next_vessel():
    after = believed(0.4, 0.2).next_turn()
    share = book()["forecast.turn_change"].value
    assert np.diag(after.covariance) == pytest.approx(np.full(COUNT, 0.2 + share))
    assert after.rate_sd > 0.2


def test_a_new_place_starts_from_what_others_have_in_common_with_less_doubt():
    others = [believed(m, 0.05, (r, 0.1)) for m, r in ((0.8, 0.5), (1.0, 0.6), (1.2, 0.4))]
    _, new = share_strength(others, PRIOR)
    assert 0.6 < new.mean[0] < 1.1
    assert new.rate_mean == pytest.approx(0.45, abs=0.12)
    assert new.covariance[0, 0] < 1.0
    assert new.rate_sd < PRIOR.rate_sd


def test_an_unsure_place_leans_on_the_others_and_a_sure_one_on_itself():
    sure, unsure = believed(1.0, 0.02), believed(-0.5, 0.8)
    others = [believed(1.0, 0.02) for _ in range(5)]
    shared, _ = share_strength([sure, unsure, *others], PRIOR)
    assert abs(shared[0].mean[0] - 1.0) < 0.05
    assert shared[1].mean[0] > 0.5
    assert shared[1].covariance[0, 0] < unsure.covariance[0, 0]


def test_no_places_teach_nothing():
    assert share_strength([], PRIOR) == ([], PRIOR)


def test_what_was_learned_can_be_kept_as_plain_data():
    kept = Learned(believed(0.3, 0.4), ("pail-1:x",))
    again = Learned.from_dict(kept.as_dict())
    assert again.turns == kept.turns
    assert np.array_equal(again.belief.covariance, kept.belief.covariance)
    with pytest.raises(ValueError, match="another version"):
        Belief.from_dict(kept.belief.as_dict() | {"mean": [0.0]})


def test_the_score_of_a_sharp_forecast_is_its_distance_and_of_a_standard_normal_the_known_value():
    """CRPS of N(0, 1) at 0 is (sqrt(2) - 1)/sqrt(pi), Gneiting and Raftery (2007), eq. 21."""
    assert crps(np.full(50, 3.0), 5.0) == pytest.approx(2.0)
    members = np.random.default_rng(1).standard_normal(40_000)
    assert crps(members, 0.0) == pytest.approx((np.sqrt(2) - 1) / np.sqrt(np.pi), rel=0.02)


def test_ranks_of_truths_drawn_like_the_members_are_uniform():
    rng = np.random.default_rng(1)
    ranks = [rank_share(rng.integers(0, 9, 50), rng.integers(0, 9), rng) for _ in range(4000)]
    counts = np.histogram(ranks, 10, (0, 1))[0]
    assert np.all(np.abs(counts - 400) < 80)
