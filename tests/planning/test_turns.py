"""Vessels taking turns: small cases worked by hand, and what must hold for any case."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sourloam.planning import Rhythm, Turns, rotate
from sourloam.planning.rotation import EMPTY, FAILED, FILLING, HELD, READY, RESTING

RHYTHM = Rhythm(burial_interval_days=5, burial_phase_days=0, wash_days=1, longest_rest_days=42)


def plain_turns(days, kg=1.0, capacity=10.0, rest=3.0, closed=()):
    scraps = np.full((1, days), kg)
    ground = np.ones((1, days), dtype=bool)
    for first, last in closed:
        ground[:, first : last + 1] = False
    return Turns(scraps, np.full((1, 1, days), capacity), np.full((1, days), rest), ground)


def test_one_vessel_worked_by_hand():
    """Full on day 9; sour on day 12; buried on day 15, a burial day; washed and fed on day 16.

    Day 10's scraps wait in the caddy a day; those of 10 to 14 are refused, one a day, on the day
    after; those of day 15 wait and go in with day 16's.
    """
    turned = rotate(plain_turns(20), (0,), RHYTHM)
    state = turned.state[0, 0]
    assert (state[:9] == FILLING).all()
    assert (state[9:12] == RESTING).all()
    assert (state[12:15] == READY).all()
    assert state[15] == EMPTY
    assert (state[16:] == FILLING).all()
    assert turned.refused_kg[0].nonzero()[0].tolist() == [11, 12, 13, 14, 15]
    assert turned.refused_kg[0].sum() == 5
    assert turned.buried_kg[0, 15] == 10
    assert turned.inside_kg[0, 16] == 2


def test_two_vessels_take_the_same_scraps_without_refusal():
    turned = rotate(plain_turns(60), (0, 0), RHYTHM)
    assert turned.refused_kg.sum() == 0
    assert turned.buried_vessels[0].nonzero()[0].tolist() == [15, 25, 35, 45, 55]


def test_ready_vessels_are_held_while_the_ground_is_closed_and_buried_when_it_opens():
    turned = rotate(plain_turns(40, closed=[(11, 21)]), (0,), RHYTHM)
    state = turned.state[0, 0]
    assert (state[12:22] == HELD).all()
    assert (state[22:25] == READY).all()
    assert turned.buried_vessels[0].nonzero()[0].tolist() == [25]


def test_a_vessel_that_never_sours_is_given_up_after_the_longest_rest_and_then_emptied():
    turned = rotate(plain_turns(60, rest=np.inf), (0,), RHYTHM)
    state = turned.state[0, 0]
    assert (state[9:51] == RESTING).all()
    assert (state[51:55] == FAILED).all()
    assert turned.buried_vessels[0, 55] == 1


def test_a_slow_rest_is_waited_for_even_beyond_the_longest():
    turned = rotate(plain_turns(80, rest=50.0), (0,), RHYTHM)
    assert turned.state[0, 0, 58] == RESTING
    assert turned.state[0, 0, 59] == READY


def test_a_big_day_fills_several_vessels():
    turned = rotate(plain_turns(3, kg=25.0), (0, 0, 0), RHYTHM)
    assert turned.state[0, :, 0].tolist() == [RESTING, RESTING, FILLING]
    assert turned.inside_kg[0, 0] == 25


def test_mixed_kinds_take_what_each_can_hold():
    turns = plain_turns(12)
    both = Turns(
        turns.scraps_kg,
        np.concatenate([turns.capacity_kg, 3 * turns.capacity_kg]),
        turns.rest_days,
        turns.open_ground,
    )
    small_first, large_first = (rotate(both, kinds, RHYTHM) for kinds in ((0, 1), (1, 0)))
    assert small_first.state[0, 0, 9] == RESTING
    assert large_first.state[0, 0, 9] == FILLING


def test_shapes_that_do_not_agree_are_named():
    good = plain_turns(5)
    with pytest.raises(ValueError, match="rest_days: shape"):
        Turns(good.scraps_kg, good.capacity_kg, good.rest_days[:, :3], good.open_ground)
    with pytest.raises(ValueError, match="capacity_kg: every vessel must take something"):
        Turns(good.scraps_kg, 0 * good.capacity_kg, good.rest_days, good.open_ground)
    with pytest.raises(ValueError, match="scraps_kg: must not be negative"):
        Turns(-good.scraps_kg, good.capacity_kg, good.rest_days, good.open_ground)


@st.composite
def any_turns(draw):
    members, days = draw(st.integers(1, 3)), draw(st.integers(1, 120))
    rng = np.random.default_rng(draw(st.integers(0, 10_000)))
    kinds = draw(st.integers(1, 2))
    scraps = rng.lognormal(0, 1, (members, days)) * (rng.random((members, days)) < 0.8)
    capacity = rng.uniform(0.5, 20, (kinds, members, days))
    rest = np.where(rng.random((members, days)) < 0.05, np.inf, rng.uniform(1, 40, (members, days)))
    ground = np.repeat(rng.random((members, -(-days // 10))) < 0.7, 10, axis=1)[:, :days]
    return Turns(scraps, capacity, rest, ground)


@settings(derandomize=True, max_examples=60, deadline=None)
@given(any_turns(), st.lists(st.integers(0, 1), min_size=1, max_size=6))
def test_every_kilogram_is_buried_inside_waiting_or_refused(turns, kinds):
    kinds = tuple(k % len(turns.capacity_kg) for k in kinds)
    turned = rotate(turns, kinds, RHYTHM)
    came = np.cumsum(turns.scraps_kg, axis=1)
    gone = np.cumsum(turned.refused_kg + turned.buried_kg, axis=1)
    np.testing.assert_allclose(gone + turned.inside_kg + turned.waiting_kg, came, atol=1e-9)


@settings(derandomize=True, max_examples=60, deadline=None)
@given(any_turns(), st.integers(1, 5))
def test_one_more_like_vessel_never_means_more_refused(turns, number):
    alike = Turns(
        turns.scraps_kg,
        np.full_like(turns.capacity_kg, 7.0),
        np.full_like(turns.rest_days, 12.0),
        turns.open_ground,
    )
    fewer, more = (rotate(alike, (0,) * n, RHYTHM).refused_kg for n in (number, number + 1))
    assert (more.sum(axis=1) <= fewer.sum(axis=1) + 1e-9).all()


def test_states_left_out_change_nothing_else():
    turns = plain_turns(50)
    kept, plain = (rotate(turns, (0,), RHYTHM, keep_states=k) for k in (True, False))
    np.testing.assert_array_equal(kept.refused_kg, plain.refused_kg)
    np.testing.assert_array_equal(kept.buried_kg, plain.buried_kg)
    assert plain.state.shape == (1, 1, 0)
