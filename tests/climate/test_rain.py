"""Rain, snow and what the air takes back."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sourloam import climate
from sourloam.evidence import book

IDS = book().ids("rain")
TEN_YEARS = np.arange(np.datetime64("2015-01-01"), np.datetime64("2025-01-01"))


@pytest.fixture(scope="module")
def p():
    return book().sample(IDS, 200, np.random.default_rng(3))


def test_months_rain_as_much_as_was_said(p):
    sums = np.array([20.0, 40, 60, 80, 100, 120, 110, 90, 70, 50, 30, 10])
    rain = climate.daily_rain_m(sums, TEN_YEARS, np.random.default_rng(1), p) * 1000
    month = TEN_YEARS.astype("datetime64[M]").astype(int) % 12
    found = np.array([rain[:, month == k].sum() for k in range(12)]) / 200 / 10
    np.testing.assert_allclose(found, sums, rtol=0.09)


def test_wet_days_come_as_often_and_as_clustered_as_said():
    p = book().central(IDS).with_values({"rain.wet_days": 0.4, "rain.persistence": 0.43})
    wet = climate.daily_rain_m(np.full(12, 60.0), TEN_YEARS, np.random.default_rng(2), p)[0] > 0
    assert wet.mean() == pytest.approx(0.4, abs=0.03)
    after = wet[1:][wet[:-1]].mean() - wet[1:][~wet[:-1]].mean()
    assert after == pytest.approx(0.43, abs=0.04)


@given(st.integers(0, 50), st.floats(-15, 15))
@settings(derandomize=True, max_examples=20, deadline=None)
def test_snow_gives_back_all_that_fell(seed, mean):
    p = book().central(IDS)
    rng = np.random.default_rng(seed)
    rain = rng.exponential(0.003, (1, 120))
    air = mean + 5 * rng.standard_normal((1, 120))
    found = climate.on_the_ground(rain, air, p)
    there = found.water_m.sum() + found.lying_m[0, -1]
    assert there == pytest.approx(rain.sum(), rel=1e-9)
    assert np.all(found.lying_m >= 0)


def test_what_falls_in_frost_lies_and_a_warm_day_melts_some_millimetres():
    p = book().central(IDS)
    rain = np.array([[0.01, 0.0, 0.0]])
    found = climate.on_the_ground(rain, np.array([[-5.0, -5.0, 2.0]]), p)
    np.testing.assert_allclose(found.water_m, [[0, 0, 0.007]], atol=1e-12)
    np.testing.assert_allclose(found.lying_m, [[0.01, 0.01, 0.003]], atol=1e-12)


def test_the_packaged_station_has_wet_winters_and_a_dry_july():
    sums = climate.packaged_rain_mm("mild-oceanic")
    assert len(sums) == 12
    assert sum(sums) == pytest.approx(1106.5, abs=0.5)
    assert sums[6] == pytest.approx(12.0, abs=0.1)


@pytest.mark.parametrize("sums", [[60.0] * 11, [-1.0] + [60.0] * 11, [4000.0] * 12])
def test_impossible_rain_is_refused_in_one_line(sums, p):
    with pytest.raises(climate.ClimateError, match="12 monthly sums"):
        climate.daily_rain_m(sums, TEN_YEARS, np.random.default_rng(1), p)


def test_unstated_rain_is_the_usual_in_every_month(p):
    assert climate.usual_rain_mm(p).shape == (200, 12)
    assert np.median(climate.usual_rain_mm(p)) == pytest.approx(65, rel=0.1)
