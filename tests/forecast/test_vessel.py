"""What a forecast of one vessel says, and what makes it change."""

import datetime as dt
import json
from dataclasses import replace

import numpy as np
import pytest

from sourloam.forecast import Layer, Look, Question, Reading, Strip, forecast_vessel
from sourloam.ledger import Foreseen

MEMBERS = 300


def foresee(log, pail, place, day, seed=1, belief=None, horizon=75):
    question = Question(log.began + dt.timedelta(days=day), horizon, MEMBERS)
    return forecast_vessel(
        log, pail, place, belief or place.before, question, np.random.default_rng(seed)
    )


def width(days):
    low, high = np.quantile(days, [0.1, 0.9], method="nearest")
    return high - low


def test_a_forecast_is_what_the_list_of_what_is_due_asks_for(log, pail, place):
    seen = foresee(log, pail, place, 19)
    assert isinstance(seen, Foreseen)
    assert seen.full_on > seen.today
    assert seen.finished_on > seen.full_on
    assert seen.next_drain_on >= seen.today
    assert seen.next_drain_ml > 0
    assert 0 <= seen.chance_of_failing <= 1


def test_the_same_log_and_seed_give_the_same_forecast(log, pail, place):
    first, second = (foresee(log, pail, place, 19, seed=4).summary() for _ in range(2))
    assert first == second


def test_a_forecast_narrows_as_entries_come(log, pail, place):
    widths = [width(foresee(log, pail, place, day).full_day) for day in (1, 9, 19)]
    assert widths[0] > widths[1] > widths[2]
    assert widths[2] < 0.5 * widths[0]


def test_what_was_written_after_today_does_not_count(log, pail, place):
    early = foresee(log, pail, place, 9).summary()
    assert early == foresee(log.until(9), pail, place, 9).summary()


def test_a_fuller_mark_brings_the_day_of_being_full_nearer(log, pail, place):
    marks = (*log.marks[:-1], Reading(19, 0.75))
    usual, fuller = (
        foresee(log, pail, place, 19),
        foresee(replace(log, marks=marks), pail, place, 19),
    )
    assert np.median(fuller.full_day) < np.median(usual.full_day) - 1


def test_one_slip_of_the_pen_moves_a_forecast_little_and_is_called_surprising(log, pail, place):
    slip = replace(log, marks=tuple(sorted((*log.marks, Reading(12, 0.95)), key=lambda r: r.day)))
    usual, told = foresee(log, pail, place, 19), foresee(slip, pail, place, 19)
    assert abs(np.median(told.full_day) - np.median(usual.full_day)) < 0.35 * (
        np.median(usual.full_day) - 19
    )
    found = [(one.what, one.day, one.side) for one in told.surprises]
    assert ("mark", 12, 1) in found
    assert "Less full foreseen than seen" in told.summary()["notes"][0]


def test_an_ordinary_log_surprises_nobody(log, pail, place):
    assert foresee(log, pail, place, 19).surprises == ()


def test_a_draining_that_nobody_wrote_down_shows_as_too_little_liquid(log, pail, place):
    drains = (*(Reading(d, 120.0) for d in range(3, 19, 3)), Reading(19, 15.0))
    log = replace(log, layers=tuple(Layer(d, 0.5, 0.03) for d in range(20)), drains=drains)
    sides = {(one.what, one.day): one.side for one in foresee(log, pail, place, 19).surprises}
    assert sides.get(("drain", 19)) == -1


def test_strips_that_stay_high_raise_the_chance_of_failing_before_anything_smells(log, pail, place):
    strips = tuple(Strip(d, 5.8) for d in (8, 12, 16, 19))
    usual = foresee(log, pail, place, 19)
    ill = foresee(replace(log, strips=strips), pail, place, 19)
    assert usual.chance_of_failing < 0.05
    assert ill.chance_of_failing > 0.3
    assert "bran that has died" in ill.summary()["notes"][0]
    assert usual.summary()["notes"] == []


def test_a_rotten_smell_raises_the_chance_of_failing(log, pail, place):
    plain = replace(log, strips=())
    smelt = replace(plain, looks=(Look(12, rotten=True), Look(19, rotten=True)))
    assert (
        foresee(smelt, pail, place, 19).chance_of_failing
        > foresee(plain, pail, place, 19).chance_of_failing + 0.2
    )


def test_a_vessel_set_aside_has_no_day_of_being_full_to_come(log, pail, place):
    resting = foresee(replace(log, set_aside=20), pail, place, 22)
    assert resting.full_on is None
    assert resting.summary()["full_on"] is None
    assert resting.finished_on is not None
    assert np.all(np.diff(resting.contents_kg[:, 22:], axis=1) <= 1e-9)


def test_it_never_fills_beyond_the_mark_and_liquid_never_runs_back(log, pail, place):
    seen = foresee(log, pail, place, 19)
    assert np.all(seen.level[:, 20:] <= np.maximum(seen.level[:, [20]], 1.0) + 1e-9)
    assert np.all(seen.liquid_ml >= 0)
    assert np.all(seen.full_day > 19)


def test_older_layers_are_sourer_than_the_newest(log, pail, place):
    ph = np.median(foresee(log, pail, place, 19).layer_ph, axis=1)
    assert len(ph) == 20
    assert ph[0] < 4.2 < ph[-1]
    assert np.all(np.diff(ph) >= -0.05)


def test_the_summary_is_plain_data_with_low_median_high_in_order(log, pail, place):
    summary = json.loads(json.dumps(foresee(log, pail, place, 19).summary()))
    full = summary["full_on"]
    assert full["low"] <= full["median"] <= full["high"]
    assert len(summary["level"]["days"]) == len(summary["level"]["median"]) == 19 + 75 + 1
    assert summary["level"]["days"][0] == "2025-09-01"
    assert summary["next_drain_ml"]["low"] <= summary["next_drain_ml"]["high"]


def test_every_layer_has_the_range_of_its_ph_and_liquid_goes_in_parts_of_a_millilitre(
    log, pail, place
):
    seen = foresee(log, pail, place, 19)
    summary = seen.summary()
    low, high = (summary["layer_ph_range_now"][end] for end in ("low", "high"))
    middle = summary["layer_ph_now"]
    assert len(low) == len(middle) == len(high) == len(seen.layer_ph)
    assert all(a <= b <= c for a, b, c in zip(low, middle, high, strict=True))
    assert high[-1] > low[-1]
    assert summary["ph_newest_now"] == {"low": low[-1], "median": middle[-1], "high": high[-1]}
    assert any(value % 1 for value in summary["liquid_ml"]["median"])


def test_a_vessel_with_nothing_but_a_first_layer_is_foreseen_from_the_place(pail, place, log):
    seen = foresee(replace(log.until(0), strips=()), pail, place, 0, horizon=200)
    assert 20 < np.median(seen.full_day) < 90


def test_a_forgotten_vessel_rests_since_its_last_layer(log, pail, place):
    seen = foresee(log, pail, place, 120)
    assert seen.finished_on < seen.today


def test_today_before_the_log_is_refused_in_one_line(log, pail, place):
    with pytest.raises(ValueError, match="lies before the log begins on 2025-09-01"):
        foresee(log, pail, place, -3)


def test_before_any_sign_the_chance_of_failing_is_about_that_of_trouble(pail, place, log):
    seen = [foresee(replace(log, strips=()), pail, place, 19, seed=s) for s in range(4)]
    assert 0.01 < np.mean([one.chance_of_failing for one in seen]) < 0.06


def test_a_vessel_in_the_cold_is_said_to_be_late_because_of_the_cold(log, pail, place):
    cold = replace(place, room_c=np.full_like(place.room_c, 4.0))
    seen = foresee(replace(log, strips=(), set_aside=20), pail, cold, 22)
    assert seen.chance_of_failing > 0.5
    assert "stands at about 4 °C" in seen.notes[0]


def test_the_chance_of_failing_has_a_range_that_holds_it(log, pail, place):
    told = foresee(log, pail, place, 19).summary()
    between = told["chance_of_failing_range"]
    assert between["low"] <= told["chance_of_failing"] + 1e-4
    assert between["median"] == pytest.approx(told["chance_of_failing"], abs=1e-4)
    assert between["low"] < between["high"] < 0.15


def test_the_day_to_drain_has_a_range_where_the_liquid_decides_and_none_where_the_rhythm_does(
    log, pail, place
):
    by_rhythm = foresee(log, pail, place, 19).summary()["next_drain_on"]
    assert by_rhythm["low"] <= by_rhythm["median"] <= by_rhythm["high"]
    dry = replace(log, drains=(), marks=())
    by_liquid = foresee(dry, pail, place, 2).summary()["next_drain_on"]
    assert by_liquid["low"] != by_liquid["high"]  # the end may lie beyond the time foreseen
