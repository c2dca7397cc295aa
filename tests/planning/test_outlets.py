"""Where ferment goes when beds take only so much, and people bury only so much."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sourloam.planning.outlets import NEVER, Outlets, opening
from sourloam.planning.rotation import (
    BURIED,
    EMPTY,
    PARTED,
    PASSED_ON,
    RESTING,
    Rhythm,
    Turns,
    rotate,
)

RHYTHM = Rhythm(burial_interval_days=5, burial_phase_days=0, wash_days=1, longest_rest_days=42)


def outlets(days, bed_kg=(1e9,), free=None, dig_h=np.inf, present=None, eve=()):
    """Each vessel asks for an hour."""
    open_days = np.ones((1, len(bed_kg), days), dtype=bool) if free is None else free
    eves = np.zeros(days, dtype=bool)
    eves[list(eve)] = True
    return Outlets(
        bed_kg=np.array([bed_kg]),
        opens_in=opening(open_days),
        dig_h=np.array([float(dig_h)]),
        vessel_h=np.ones((1, 1)),
        present=np.ones(days, dtype=bool) if present is None else present,
        eve=eves,
        longest=200,
    )


def turns(days, limits, kg=1.0, rest=3.0):
    shape = (1, days)
    return Turns(
        np.full(shape, kg),
        np.full((1, *shape), 10.0),
        np.full(shape, rest),
        (limits.opens_in == 0).any(axis=1),
        limits,
    )


def test_beds_that_take_all_change_nothing():
    plain = turns(60, outlets(60))
    bare = Turns(plain.scraps_kg, plain.capacity_kg, plain.rest_days, plain.open_ground)
    with_beds, without = (rotate(t, (0, 0), RHYTHM) for t in (plain, bare))
    np.testing.assert_array_equal(with_beds.state, without.state)
    assert with_beds.passed_vessels.sum() == 0


def test_beds_take_what_they_may_in_a_year_and_the_rest_is_passed_on():
    """20 kg a year and 10 in each vessel: two are buried, then none until the year is over."""
    turned = rotate(turns(400, outlets(400, bed_kg=(20.0,))), (0, 0), RHYTHM)
    assert turned.buried_kg[0, :365].sum() == 20
    assert turned.buried_vessels[0, :365].nonzero()[0].tolist() == [15, 25]
    assert turned.passed_vessels[0, :365].sum() > 30
    assert turned.buried_kg[0, 365:].sum() == 20


def test_a_vessel_may_be_shared_over_beds():
    shared = rotate(turns(60, outlets(60, bed_kg=(6.0, 4.0))), (0, 0), RHYTHM)
    assert shared.buried_kg.sum() == 10
    assert (shared.fate == PARTED).sum() == 0


def test_what_the_beds_still_take_is_buried_of_a_vessel_and_its_rest_passed_on_that_day():
    """14 kg a year and 10 in each vessel: one whole, then four tenths of the next."""
    turned = rotate(turns(60, outlets(60, bed_kg=(14.0,))), (0, 0), RHYTHM)
    fates, days = turned.fate[0], turned.buried_kg[0].nonzero()[0]
    assert turned.buried_kg[0, days].tolist() == [10, 4]
    assert (fates[:, days[0]] == BURIED).sum() == (fates[:, days[1]] == PARTED).sum() == 1
    assert turned.buried_share[0, :, days[1]].sum() == pytest.approx(0.4)
    assert turned.passed_kg[0, days[1]] == 6
    assert turned.buried_vessels.sum() == 1  # whole ones


def test_for_less_than_a_fifth_of_a_vessel_no_bed_is_opened():
    turned = rotate(turns(60, outlets(60, bed_kg=(11.9,))), (0, 0), RHYTHM)
    assert turned.buried_kg.sum() == 10
    assert (turned.fate == PARTED).sum() == 0


def test_a_vessel_is_kept_whole_for_a_bed_that_will_take_all_of_it():
    free = np.zeros((1, 2, 60), dtype=bool)
    free[:, 0] = True
    free[:, 1, 30:] = True
    turned = rotate(turns(60, outlets(60, bed_kg=(4.0, 500.0), free=free)), (0,) * 4, RHYTHM)
    assert turned.buried_kg[0, :30].sum() == 0
    assert turned.passed_kg.sum() == 0
    assert turned.buried_kg[0, 30] > 0


def test_people_bury_no_more_in_a_day_than_they_have_time_for():
    free = np.ones((1, 1, 200), dtype=bool)
    free[..., :100] = False
    limits = outlets(200, free=free, dig_h=2.5)
    turned = rotate(turns(200, limits), (0,) * 12, RHYTHM)
    on_the_day = turned.buried_vessels[0]
    assert on_the_day.max() == 2
    assert on_the_day[100:130].nonzero()[0].tolist() == [0, 5, 10, 15, 20, 25]
    slow = rotate(turns(200, outlets(200, free=free, dig_h=0.5)), (0,) * 12, RHYTHM)
    assert slow.buried_vessels.max() == 1  # one vessel they always can


def test_hours_of_the_week_are_not_given_twice_when_a_long_holiday_begins_in_it():
    free = np.ones((1, 1, 60), dtype=bool)
    free[..., :30] = False
    limits = outlets(60, free=free, dig_h=2.0, eve=(32,))
    turned = rotate(turns(60, limits), (0,) * 8, RHYTHM)
    assert turned.buried_vessels[0, 30] == 2
    assert turned.buried_vessels[0, 31:35].sum() == 0


def test_each_kind_of_vessel_rests_and_asks_for_hours_of_its_own():
    plain = turns(60, outlets(60))
    both = Turns(
        plain.scraps_kg,
        np.concatenate([plain.capacity_kg, plain.capacity_kg]),
        np.stack([np.full((1, 60), 3.0), np.full((1, 60), 20.0)]),
        plain.open_ground,
    )
    state = rotate(both, (0, 1), RHYTHM).state[0]
    assert (state[0, 9:12] == RESTING).all()
    assert state[0, 12] != RESTING
    assert (state[1, 19:39] == RESTING).all()
    assert state[1, 39] != RESTING


def test_vessels_wait_for_beds_that_will_take_them_and_not_for_those_that_will_not():
    free = np.ones((1, 1, 200), dtype=bool)
    free[..., :100] = False
    patient = rotate(turns(200, outlets(200, bed_kg=(1000.0,), free=free)), (0,) * 12, RHYTHM)
    assert patient.passed_vessels[0, :100].sum() == 0
    hopeless = rotate(turns(200, outlets(200, bed_kg=(20.0,), free=free)), (0,) * 12, RHYTHM)
    assert hopeless.passed_vessels[0, :50].sum() > 0
    assert hopeless.buried_kg.sum() == pytest.approx(20)


def test_before_a_long_holiday_ready_vessels_are_emptied_and_none_is_left_filling():
    present = np.ones(80, dtype=bool)
    present[33:70] = False
    limits = outlets(80, present=present, eve=(32,))
    scraps = turns(80, limits)
    scraps.scraps_kg[:, 33:70] = 0.0
    turned = rotate(scraps, (0, 0, 0), RHYTHM)
    assert (turned.state[0, :, 32] != 1).all()
    assert turned.buried_vessels[0, 33:70].sum() == 0
    assert (turned.state[0] == RESTING)[:, 33].any()


def test_days_until_a_bed_opens():
    flags = np.array([False, False, True, False, False])
    assert opening(flags).tolist() == [2, 1, 0, 2, 1]
    assert (opening(np.zeros(5, dtype=bool)) >= NEVER).all()


@settings(derandomize=True, max_examples=40, deadline=None)
@given(bed=st.floats(0, 400), dig=st.floats(0, 6), kg=st.floats(0.1, 3), number=st.integers(1, 6))
def test_scraps_are_buried_passed_on_refused_waiting_or_inside(bed, dig, kg, number):
    turned = rotate(
        turns(300, outlets(300, bed_kg=(bed,), dig_h=dig), kg=kg), (0,) * number, RHYTHM
    )
    gone = turned.buried_kg + turned.passed_kg + turned.refused_kg
    total = gone.sum() + turned.waiting_kg[0, -1] + turned.inside_kg[0, -1]
    assert total == pytest.approx(300 * kg, rel=1e-9)
    assert turned.buried_kg.sum() <= bed * (1 + 1e-12)
    fates = turned.fate[0]
    assert (fates == BURIED).sum() == turned.buried_vessels.sum()
    assert (fates == PASSED_ON).sum() == turned.passed_vessels.sum()
    shares = turned.buried_share[0]
    assert ((shares == 1) == (fates == BURIED)).all()
    assert ((shares > 0) == ((fates == BURIED) | (fates == PARTED))).all()
    assert (turned.state[0][fates > 0] <= EMPTY + 1).all()


def test_the_middle_year_counts_on_ground_that_is_open_in_enough_of_the_years():
    """Ten years, a bed open from day 5 on in all of them and from day 2 on in seven."""
    free = np.ones((10, 1, 9), dtype=bool)
    free[:, :, :2] = False
    free[7:, :, 2:5] = False
    base = outlets(9)
    many = Outlets(
        bed_kg=np.full((10, 1), 10.0),
        opens_in=opening(free),
        dig_h=np.full(10, 5.0),
        vessel_h=np.ones((1, 10)),
        present=base.present,
        eve=base.eve,
        longest=200,
    )
    assert many.middle(0.5).opens_in[0, 0].tolist() == [2, 1, 0, 0, 0, 0, 0, 0, 0]
    assert many.middle(0.8).opens_in[0, 0].tolist() == [5, 4, 3, 2, 1, 0, 0, 0, 0]
