"""Days on which the ground can take a burial, and seasons named by temperature."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sourloam.climate import (
    EVIDENCE,
    ClimateError,
    Ground,
    from_mean_and_swing,
    from_monthly_means,
    ground_frozen,
    ground_temperature_c,
    ground_workable,
    monthly_means_c,
    packaged_record,
    season_of,
)
from sourloam.evidence import book

CENTRAL = book().central(EVIDENCE)


def workable(air):
    spade, trench = (ground_temperature_c(air, d, Ground(), CENTRAL) for d in (0.1, 0.28))
    return ground_workable(spade, trench, CENTRAL)[0]


def test_ground_is_frozen_below_nought_at_the_spade_and_not_at_nought():
    assert ground_frozen([-0.4, 0.0, 3.0], CENTRAL).tolist() == [[True, False, False]]


def test_ground_takes_a_burial_when_open_and_warm_enough_below():
    found = ground_workable([-1, 2, 2, 9], [6.0, 5.5, 5.7, 9], CENTRAL)
    assert found.tolist() == [[False, False, True, True]]


@settings(derandomize=True, max_examples=30, deadline=None)
@given(st.floats(-10, 20), st.floats(0, 10), st.integers(0, 2**31))
def test_warmer_ground_never_takes_fewer_burials(trench, warmer, seed):
    drawn = book().sample(EVIDENCE, 20, np.random.default_rng(seed))
    cold, warm = (ground_workable([t], [t], drawn) for t in (trench, trench + warmer))
    assert np.all(warm | ~cold)


def test_a_cold_inland_winter_shuts_the_ground_for_months_and_a_hot_place_never():
    assert 100 < (~workable(from_mean_and_swing(6, 15, 200).mean_c)).sum() < 200
    assert workable(from_mean_and_swing(26, 3, 200).mean_c).all()


def test_the_ground_of_the_south_shuts_in_july_and_of_the_north_in_january():
    north, south = (workable(from_mean_and_swing(7, 10, day).mean_c) for day in (200, 17))
    assert not north[20]
    assert north[200]
    assert south[20]
    assert not south[200]


def test_winter_is_the_coldest_three_months_of_the_packaged_record():
    found = season_of(monthly_means_c(packaged_record("mild-oceanic")), CENTRAL)
    assert found == ("winter",) * 2 + ("spring",) * 3 + ("summer",) * 3 + ("autumn",) * 3 + (
        "winter",
    )


@settings(derandomize=True, max_examples=40, deadline=None)
@given(st.integers(0, 11), st.floats(5, 20))
def test_seasons_turn_with_the_months(shift, swing):
    means = 10 - swing * np.cos(2 * np.pi * (np.arange(12) - 1) / 12)
    north = season_of(means, CENTRAL)
    assert season_of(np.roll(means, shift), CENTRAL) == tuple(np.roll(north, shift))
    assert north[1] == "winter"
    assert north[7] == "summer"


def test_a_place_without_seasons_has_one_all_year():
    assert (
        season_of([26, 27, 28, 28, 28, 27, 27, 27, 27, 27, 26, 26], CENTRAL) == ("all year",) * 12
    )


def test_seasons_of_a_curve_are_those_of_its_means():
    means = [24, 23, 21, 17, 13, 10, 9, 11, 14, 17, 20, 23]
    curve = from_monthly_means(means)
    assert season_of(monthly_means_c(curve), CENTRAL) == season_of(means, CENTRAL)
    assert season_of(means, CENTRAL)[6] == "winter"


def test_seasons_want_twelve_months():
    with pytest.raises(ClimateError, match="twelve monthly means"):
        season_of([1, 2], CENTRAL)
