"""Possible futures: the years that were, in random order; or a mean year with weather."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sourloam.climate import (
    ClimateError,
    Daily,
    from_mean_and_swing,
    from_monthly_means,
    packaged_record,
    year_ensemble,
)
from sourloam.climate.almanac import LEAP_PLACE, place_of, year_table
from sourloam.climate.weather import EVIDENCE
from sourloam.evidence import book

RECORD = packaged_record("mild-oceanic")
CENTRAL = book().central(EVIDENCE)


def day(text):
    return np.datetime64(text, "D")


def rng():
    return np.random.default_rng(7)


def daily_of(start, values, **more):
    values = np.asarray(values, dtype=float)
    return Daily(day(start), values, values, **more)


def test_each_year_of_a_future_is_a_year_that_was():
    future = year_ensemble(RECORD, day("2030-01-01"), 365, 40, rng(), CENTRAL)
    by_year = {
        y: RECORD.mean_c[
            RECORD.dates.astype("datetime64[Y]") == day(f"{y}-01-01").astype("datetime64[Y]")
        ]
        for y in range(2012, 2016)
    }
    by_year[2012] = np.delete(by_year[2012], LEAP_PLACE)
    drawn = [
        [y for y, values in by_year.items() if np.array_equal(values, member)] for member in future
    ]
    assert all(len(years) == 1 for years in drawn)
    assert {years[0] for years in drawn} == set(by_year)


def test_a_future_that_starts_in_june_runs_on_over_new_year_within_one_drawn_year():
    values = np.arange(3 * 365 + 366)
    record = daily_of("2021-01-01", values)
    future = year_ensemble(record, day("2029-06-01"), 365, 30, rng(), CENTRAL)
    steps = np.diff(future, axis=1)
    new_year = steps[:, 213]  # from 31 December to 1 January
    assert set(np.unique(new_year)) <= {1.0, -float(values[-1])}
    assert (new_year == 1).any()
    assert np.all(steps[:, :200] == 1)


def test_the_29_february_is_there_when_the_future_has_one_and_the_record_not():
    record = daily_of("2021-01-01", np.arange(730))
    future = year_ensemble(record, day("2028-02-28"), 3, 20, rng(), CENTRAL)
    assert np.diff(future, axis=1) == pytest.approx(np.full((20, 2), 0.5), rel=1e-12)


def test_a_record_that_starts_in_mid_year_is_used_from_there():
    record = daily_of("2020-09-15", np.arange(365 * 2 + 100))
    table = year_table(record.dates, record.mean_c)
    assert table.shape == (2, 366)
    assert table[0, place_of(np.array([day("2020-09-15")]))[0]] == 0
    future = year_ensemble(record, day("2030-09-15"), 365, 20, rng(), CENTRAL)
    assert set(future[:, 0]) == {0.0, 365.0}


def test_places_of_days_agree_from_march_on_in_every_year():
    dates = np.array(["2019-03-01", "2020-03-01", "2020-02-29", "2021-12-31"], "datetime64[D]")
    assert place_of(dates).tolist() == [60, 60, 59, 365]


@settings(derandomize=True, max_examples=25, deadline=None)
@given(st.integers(0, 3000), st.integers(1, 900), st.integers(1, 5), st.integers(366, 1500))
def test_every_future_is_finite_and_of_the_record(offset, days, members, length):
    record = daily_of("2016-02-29", np.arange(length) % 17)
    start = day("2024-01-01") + offset
    future = year_ensemble(record, start, days, members, rng(), CENTRAL)
    assert future.shape == (members, days)
    assert np.isfinite(future).all()


def test_the_same_seed_gives_the_same_future():
    one, two = (year_ensemble(RECORD, day("2030-03-01"), 400, 5, rng(), CENTRAL) for _ in "ab")
    assert np.array_equal(one, two)


def test_a_smooth_year_gets_weather_whose_mean_is_the_year_itself():
    curve = from_mean_and_swing(10, 9, 200)
    future = year_ensemble(curve, day("2030-01-01"), 365, 2000, rng(), CENTRAL)
    assert future.mean(axis=0) == pytest.approx(curve.mean_c, abs=0.5)
    assert future.mean() == pytest.approx(10, abs=0.03)


def test_weather_is_as_wild_and_as_lasting_as_its_rows_say():
    sd_by_swing, _, persistence, year_sd = (float(CENTRAL[key][0]) for key in EVIDENCE)
    curve = from_mean_and_swing(10, 9, 200)
    future = year_ensemble(curve, day("2030-01-01"), 365, 3000, rng(), CENTRAL)
    rest = future - curve.mean_c
    assert rest.std() == pytest.approx(np.hypot(9 * sd_by_swing, year_sd), rel=0.02)
    daily = (9 * sd_by_swing) ** 2
    together = (persistence * daily + year_sd**2) / (daily + year_sd**2)
    assert np.corrcoef(rest[:, 100], rest[:, 101])[0, 1] == pytest.approx(together, abs=0.03)


def test_weather_without_seasons_keeps_its_least_wildness():
    curve = from_monthly_means([26.0] * 12)
    future = year_ensemble(curve, day("2030-01-01"), 200, 1500, rng(), CENTRAL)
    least, year_sd = (
        float(CENTRAL[f"climate.weather.{key}"][0]) for key in ("least_sd", "year_sd")
    )
    assert future.std() == pytest.approx(np.hypot(least, year_sd), rel=0.03)


def test_a_record_of_one_year_gets_weather_about_its_smooth_course():
    one = daily_of("2014-01-01", RECORD.mean_c[731 : 731 + 365])
    future = year_ensemble(one, day("2030-01-01"), 365, 800, rng(), CENTRAL)
    assert future.std(axis=0).min() > 1.5
    assert future.mean() == pytest.approx(one.mean_c.mean(), abs=0.1)


def test_less_than_a_year_is_refused_by_name():
    short = daily_of("2020-01-01", np.zeros(364), name="attic")
    with pytest.raises(ClimateError, match="attic: 364 days; give at least one whole year"):
        year_ensemble(short, day("2030-01-01"), 10, 2, rng(), CENTRAL)


@pytest.mark.parametrize(("members", "days"), [(0, 5), (5, 0)])
def test_no_members_or_no_days_is_refused(members, days):
    with pytest.raises(ValueError, match="at least 1"):
        year_ensemble(RECORD, day("2030-01-01"), days, members, rng(), CENTRAL)


def test_parameters_of_another_number_of_members_are_refused():
    drawn = book().sample(EVIDENCE, 3, rng())
    with pytest.raises(ValueError, match="expected 1 or 5"):
        year_ensemble(RECORD, day("2030-01-01"), 10, 5, rng(), drawn)
