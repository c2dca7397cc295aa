"""Presets are shares; streams keep their means and their calendars."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sourloam.scraps import (
    CLASSES,
    MEALS,
    PRESETS,
    USUAL_PRESET,
    Calendar,
    Household,
    Meals,
    Measured,
    daily_mass_kg,
    household_week,
    preset,
)
from sourloam.scraps.streams import _apart

YEAR = np.arange("2025-01-01", "2026-01-01", dtype="datetime64[D]")
EVEN = Calendar()


@pytest.mark.parametrize("name", PRESETS)
def test_shares_of_a_preset_add_up_to_one_in_every_member(sampled, name):
    shares = preset(name, sampled)
    assert shares.shape == (500, len(CLASSES))
    assert np.all(shares >= 0)
    np.testing.assert_allclose(shares.sum(axis=1), 1, rtol=1e-14)
    assert np.ptp(shares, axis=0).max() > 0


def test_an_unknown_preset_is_refused(central):
    with pytest.raises(KeyError):
        preset("feast", central)


def test_every_stream_has_a_usual_preset():
    assert set(USUAL_PRESET) == {"household", *MEALS}
    assert set(USUAL_PRESET.values()) <= set(PRESETS)


def test_a_cafe_that_lives_on_coffee_is_half_grounds(central):
    assert 0.4 < preset("cafe", central)[0, CLASSES.index("coffee_tea")] < 0.5


def test_days_of_a_household_average_to_people_times_rate_times_capture(central):
    rng = np.random.default_rng(3)
    decades = np.arange("2000-01-01", "2100-01-01", dtype="datetime64[D]")
    mass = daily_mass_kg(Household(2.5), EVEN, decades, central, rng)
    assert mass.shape == (1, decades.size)
    expected = 2.5 * 0.20 * 0.70
    assert mass.mean() == pytest.approx(expected, rel=0.02)
    assert mass.std() / mass.mean() == pytest.approx(0.60, rel=0.05)


def test_without_a_generator_a_day_is_the_mean_day(central):
    mass = daily_mass_kg(Meals("school_lunch", 120), EVEN, YEAR, central, None)
    np.testing.assert_allclose(mass, 120 * 0.075, rtol=1e-12)


def test_a_meal_cooked_on_site_adds_its_trimmings(central):
    served = daily_mass_kg(Meals("school_lunch", 1), EVEN, YEAR[:1], central, None)
    cooked = daily_mass_kg(Meals("school_lunch_cooked_on_site", 1), EVEN, YEAR[:1], central, None)
    assert (cooked - served)[0, 0] == pytest.approx(0.045, rel=1e-9)


def test_sites_of_a_kind_differ_and_each_keeps_its_level(sampled):
    mass = daily_mass_kg(Household(1, 1.0), EVEN, YEAR, sampled, np.random.default_rng(4))
    low, high = np.quantile(mass.mean(axis=1), [0.1, 0.9])
    assert low == pytest.approx(0.10, rel=0.08)
    assert high == pytest.approx(0.35, rel=0.08)
    halves = np.corrcoef(mass[:, :180].mean(axis=1), mass[:, 180:].mean(axis=1))[0, 1]
    assert halves > 0.9


def widths(stream, sampled):
    """Width of the logarithm of the year's mean between its 10 and 90 % points, and the mean."""
    mean = daily_mass_kg(stream, EVEN, YEAR, sampled, np.random.default_rng(5)).mean(axis=1)
    low, high = np.quantile(mean, [0.1, 0.9])
    return np.log(high / low), mean


def test_many_households_together_are_surer_than_one_and_less_sure_than_if_all_were_alone(sampled):
    """Of a variance s2 of one, n households keep s2 * (shared + (1 - shared) / n), nearly."""
    one, _ = widths(Household(2.5, 0.6), sampled)
    nine, mean = widths(Household(22.5, 0.6, households=9), sampled)
    shared = sampled["waste.household.per_person.shared"][0]
    assert nine / one == pytest.approx(np.sqrt(shared + (1 - shared) / 9), rel=0.1)
    level = sampled["waste.household.per_person"].mean() * 22.5 * 0.6
    assert mean.mean() == pytest.approx(level, rel=0.03)


def test_a_household_of_several_has_the_spread_of_any_other(sampled):
    key = "waste.household.per_person"
    first = sampled[key]
    every = _apart(key, 4, sampled, np.random.default_rng(2))
    assert (every[:, 0] == first).all()
    for household in range(1, 4):
        assert every[:, household].std() == pytest.approx(first.std(), rel=0.08)
        assert np.median(every[:, household]) == pytest.approx(np.median(first), rel=0.06)
        common = np.corrcoef(np.log(first), np.log(every[:, household]))[0, 1]
        assert common == pytest.approx(sampled[f"{key}.shared"][0], abs=0.1)


def test_what_households_capture_differs_too_where_it_is_not_stated(sampled):
    one, _ = widths(Household(2.5), sampled)
    many, _ = widths(Household(50, households=20), sampled)
    assert 0.35 < many / one < 0.75


def test_days_of_many_households_even_each_other_out(sampled):
    def rough(stream):
        days = daily_mass_kg(stream, EVEN, YEAR, sampled, np.random.default_rng(5))
        return np.median(days.std(axis=1) / days.mean(axis=1))

    assert rough(Household(40, 0.6, households=16)) < 0.35 * rough(Household(2.5, 0.6))


def test_a_weighed_mean_keeps_its_own_spread_and_mean(sampled):
    stream = Measured(0.3, spread=0.1, day_to_day=0.0)
    mass = daily_mass_kg(stream, EVEN, YEAR[:3], sampled, np.random.default_rng(5))
    assert mass.mean() == pytest.approx(0.3, rel=0.02)
    assert mass[:, 0].std() / 0.3 == pytest.approx(0.1, rel=0.1)
    np.testing.assert_array_equal(mass[:, 0], mass[:, 2])


def test_the_same_generator_gives_the_same_days(sampled):
    first, second = (
        daily_mass_kg(Household(2), EVEN, YEAR, sampled, np.random.default_rng(9)) for _ in "ab"
    )
    np.testing.assert_array_equal(first, second)


def test_schools_rest_at_weekends_and_in_the_holidays(central):
    holiday = (np.datetime64("2025-07-01"), np.datetime64("2025-08-31"), 0.0)
    calendar = Calendar(weekday_factors=(1, 1, 1, 1, 1, 0, 0), closures=(holiday,))
    mass = daily_mass_kg(Meals("school_lunch", 100), calendar, YEAR, central, None)[0]
    by_date = dict(zip(YEAR.tolist(), mass, strict=True))
    for date, kg in by_date.items():
        open_day = date.weekday() < 5 and date.month not in (7, 8)
        assert (kg > 0) == open_day, date


def test_weekday_and_month_are_those_of_the_calendar_on_the_wall():
    days = np.arange("1969-01-01", "2031-01-01", dtype="datetime64[D]")
    weekdays = Calendar(weekday_factors=tuple(range(7))).factors(days)
    months = Calendar(season_factors=tuple(range(12))).factors(days)
    dates = days.tolist()
    assert weekdays.tolist() == [date.weekday() for date in dates]
    assert months.tolist() == [date.month - 1 for date in dates]


def test_closures_multiply_where_they_overlap_and_include_both_ends():
    def d(text):
        return np.datetime64(text)

    calendar = Calendar(
        closures=((d("2025-05-02"), d("2025-05-04"), 0.5), (d("2025-05-04"), d("2025-05-05"), 0.5))
    )
    days = np.arange("2025-05-01", "2025-05-07", dtype="datetime64[D]")
    assert calendar.factors(days).tolist() == [1, 0.5, 0.5, 0.25, 0.5, 1]


@given(st.floats(0, 3.5))
@settings(max_examples=30, derandomize=True)
def test_a_household_week_has_mean_one(weekend):
    assert np.mean(household_week(weekend)) == pytest.approx(1, rel=1e-12)


def test_a_household_week_of_1_2_leaves_0_92_for_working_days():
    assert household_week(1.2)[0] == pytest.approx(0.92, rel=1e-12)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: Household(2, households=0), "at least 1"),
        (lambda: Household(0), "people"),
        (lambda: Household(float("nan")), "people"),
        (lambda: Household(2, 1.2), "capture"),
        (lambda: Meals("banquet", 3), "expected one of school_lunch"),
        (lambda: Meals("cafe_cover", -1), "per_day"),
        (lambda: Measured(0.3, spread=-0.1), "spread"),
        (lambda: Measured(float("inf")), "kg_per_day"),
        (lambda: Calendar(weekday_factors=(1, 1)), "2 factors, expected 7"),
        (lambda: Calendar(season_factors=(-1,) * 12), "not below 0"),
        (
            lambda: Calendar(
                closures=((np.datetime64("2025-02-01"), np.datetime64("2025-01-01"), 0),)
            ),
            "ends before it begins",
        ),
        (lambda: household_week(4), "weekend factor 4"),
    ],
)
def test_a_wrong_stream_or_calendar_is_refused_in_words(make, words):
    with pytest.raises(ValueError, match=words):
        make()
