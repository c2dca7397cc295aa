"""Chances with their bounds, and the smallest number that will do."""

from types import SimpleNamespace

import numpy as np
import pytest
from scipy import stats

from sourloam.planning.counting import capacity_by_day, count, curve, odds, smallest, wilson
from sourloam.planning.rotation import Turned, Turns


@pytest.mark.parametrize(("hits", "tries"), [(0, 500), (3, 500), (250, 500), (500, 500), (1, 12)])
def test_bounds_are_those_of_the_score_interval(hits, tries):
    share, low, high = wilson(hits, tries)
    outside = stats.binomtest(hits, tries).proportion_ci(0.8, method="wilson")
    assert share == hits / tries
    assert low == pytest.approx(outside.low, abs=1e-12)
    assert high == pytest.approx(outside.high, abs=1e-12)


def plain_case(members=20, years=1):
    days = 365 * (1 + years)
    return SimpleNamespace(members=members, years=years, planned=slice(365, days))


def plain_turns(case, rng):
    shape = (case.members, case.planned.stop)
    rate = rng.lognormal(0, 0.5, (case.members, 1))
    return Turns(
        rate * rng.lognormal(0, 0.3, shape),
        np.full((1, *shape), 14.0),
        np.full(shape, 15.0),
        np.ones(shape, dtype=bool),
    )


def test_a_year_counts_once_however_often_scraps_found_no_room():
    case = plain_case(members=2, years=2)
    refused = np.zeros((2, 1095))
    refused[0, 400:420] = 1.0  # first planned year of the first member
    refused[1, 10] = 1.0  # while warming up: does not count
    zeros = np.zeros_like(refused)
    whole, small = zeros.astype(int), zeros.astype(np.int8)
    turned = Turned(refused, zeros, zeros, whole, zeros, whole, zeros, small, small, zeros)
    found = count(turned, 3, case)
    assert found.chance == 1 / 4
    assert found.refused_kg.tolist() == [10.0, 0.0]


def test_the_smallest_number_is_that_of_a_plain_search():
    case = plain_case()
    turns = plain_turns(case, np.random.default_rng(4))
    chances = [odds(turns, (0,) * n, case).chance for n in range(1, 13)]
    assert chances == sorted(chances, reverse=True)
    for risk in (0.02, 0.1, 0.5):
        plain = next((n + 1 for n, c in enumerate(chances) if c <= risk), None)
        for near in (1, 4, 12):
            assert smallest(turns, case, risk, 12, near) == plain


def test_no_number_is_none():
    case = plain_case()
    turns = plain_turns(case, np.random.default_rng(4))
    assert smallest(turns, case, 0.0, 1) is None
    shown, needed = curve(turns, case, 0.0, 1)
    assert needed is None
    assert [o.number for o in shown] == [1]


def test_the_curve_shows_the_needed_number_and_the_one_before():
    case = plain_case()
    turns = plain_turns(case, np.random.default_rng(4))
    shown, needed = curve(turns, case, 0.1, 40)
    numbers = [o.number for o in shown]
    assert {needed - 1, needed} <= set(numbers)
    assert numbers == sorted(numbers)
    assert numbers[0] == 1


def test_a_vessel_takes_what_its_season_of_starting_says(case, work):
    filled = work.filled["19 L pail"]
    capacity = capacity_by_day(case, filled)
    for one in filled:
        day = case.days_in(one.season)[0]
        np.testing.assert_array_equal(capacity[:, day], one.scraps_kg)
