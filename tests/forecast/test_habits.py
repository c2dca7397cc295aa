"""The shape of week and year that a place's layers teach."""

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sourloam.forecast import Question, forecast_vessel
from sourloam.forecast.habits import Habits, Laid, habits_of
from sourloam.forecast.invented import log_of, truths
from sourloam.forecast.scoring import crps, half_day

MONDAY = np.datetime64("2025-09-01", "D")
DAY_TO_DAY = 0.5


def laid(kg, expected=1.0, first=MONDAY):
    kg = np.asarray(kg, dtype=float)
    return Laid(first + np.arange(len(kg)), kg, np.full(len(kg), expected))


def uneven(days, seed=1):
    return np.exp(0.4 * np.random.default_rng(seed).standard_normal(days))


def weekdays_only(days):
    return uneven(days) * (np.arange(days) % 7 < 5)


def test_an_even_log_leaves_the_week_as_the_site_says():
    found = habits_of(laid(uneven(70)), DAY_TO_DAY)
    assert found.week == pytest.approx(np.ones(7), abs=0.2)
    assert np.all(found.year == 0)


def test_days_without_scraps_are_learned_within_two_weeks_and_surely_in_two_months():
    two, eight = (habits_of(laid(weekdays_only(7 * n)), DAY_TO_DAY).week for n in (2, 8))
    assert np.all(two[5:] < 0.4)
    assert np.all(eight[5:] < 0.05)
    assert two[:5].mean() == pytest.approx(1.3, abs=0.12)
    assert eight[:5].mean() == pytest.approx(7 / 5, abs=0.03)


def test_one_week_tells_hardly_anything():
    week = habits_of(laid(weekdays_only(7)), DAY_TO_DAY).week
    assert np.all(np.abs(week - 1) < 0.85)
    assert habits_of(laid([1.0]), DAY_TO_DAY).week == pytest.approx(np.ones(7))


def test_feeding_every_other_day_is_no_pattern_of_the_week():
    kg = np.where(np.arange(56) % 2 == 0, 2.0, 0.0)
    assert habits_of(laid(kg), DAY_TO_DAY).week == pytest.approx(np.ones(7), abs=0.05)


def test_a_week_that_the_site_names_is_not_counted_twice():
    days = np.arange(56)
    expected = np.where(days % 7 < 5, 1.0, 0.0)
    found = habits_of(Laid(MONDAY + days, expected * uneven(56), expected), DAY_TO_DAY)
    assert found.week[:5] == pytest.approx(np.ones(5), abs=0.2)


def test_a_year_of_log_teaches_its_wave_and_half_a_year_nothing():
    days = np.arange(420)
    wave = np.exp(0.25 * np.cos(2 * np.pi * days / 365.25))
    found = habits_of(laid(uneven(420) * wave), DAY_TO_DAY)
    top = found.on(MONDAY + days)
    assert np.corrcoef(top, wave)[0, 1] > 0.75
    assert 0.3 < np.log(top.max() / top.min()) / 0.5 < 1.3
    assert np.all(habits_of(laid((uneven(420) * wave)[:180]), DAY_TO_DAY).year == 0)


def test_nothing_laid_teaches_nothing():
    for told in (laid([]), laid(np.zeros(30)), laid(uneven(30), expected=0.0)):
        found = habits_of(told, DAY_TO_DAY)
        assert np.array_equal(found.week, Habits.flat().week)


@settings(derandomize=True, max_examples=60, deadline=None)
@given(st.lists(st.floats(0, 50), max_size=60), st.floats(0.01, 20), st.floats(0, 3))
def test_what_a_whole_week_is_expected_to_bring_stays(kg, expected, day_to_day):
    week = habits_of(laid(kg, expected), day_to_day).week
    assert np.all(week >= 0)
    assert week.mean() == pytest.approx(1.0)


def test_a_cafe_closed_on_weekends_is_foreseen_better_than_with_a_flat_week(place, pail):
    """The site says every day; the truth brings the same scraps on five days of seven."""
    dates = np.datetime64(place.first, "D") + np.arange(len(place.expected_kg))
    weekday = (dates.astype(int) + 3) % 7
    flat = replace(place, expected_kg=np.full(len(dates), 0.5))
    really = replace(flat, expected_kg=np.where(weekday < 5, 0.7, 0.0))
    rng = np.random.default_rng(4)
    drawn = truths(really, pail, 40, rng)
    scores = []
    for which in range(40):
        log = log_of(really, drawn, which, rng)
        now = half_day(log)
        if now is None or now + 3 >= drawn.full_day[which]:
            continue
        kg = np.zeros(now + 1)
        for layer in log.until(now).layers:
            kg[layer.day] += layer.kg
        told = Laid(dates[: now + 1], kg, flat.expected_kg[: now + 1])
        shaped = habits_of(told, flat.day_to_day).on(dates)
        learned = replace(flat, expected_kg=flat.expected_kg * shaped)
        asked = Question(place.first + dt.timedelta(days=now), 60, 200)
        row = []
        for kitchen in (flat, learned):
            seen = forecast_vessel(
                log, pail, kitchen, kitchen.before, asked, np.random.default_rng(which)
            )
            coming = np.arange(now + 1, now + 6)
            row += [
                crps(np.minimum(seen.full_day, 110), min(drawn.full_day[which], 110)),
                np.mean([crps(seen.level[:, d], drawn.level[which, d]) for d in coming]),
            ]
        scores.append(row)
    assert len(scores) > 20
    full_flat, level_flat, full_learned, level_learned = np.mean(scores, axis=0)
    assert level_learned < 0.95 * level_flat
    assert full_learned < full_flat
