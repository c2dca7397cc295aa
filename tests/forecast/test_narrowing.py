"""How a forecast narrows with each entry, and which inputs move it."""

import json
from dataclasses import replace

import numpy as np
import pytest

from sourloam.forecast import Strip
from sourloam.forecast.coordinates import COUNT, NAMES
from sourloam.forecast.movers import LABELS, movers
from sourloam.forecast.narrowing import narrowed, told_days


def width(row):
    low, high = (np.datetime64(row["full_on"][key]) for key in ("low", "high"))
    return (high - low).astype(int)


@pytest.fixture(scope="module")
def rows(place, pail):
    from sourloam.forecast import Layer, Logged, Reading

    log = Logged(
        place.first,
        layers=tuple(Layer(d, 0.33, 0.2, "counted") for d in range(26)),
        marks=tuple(Reading(d, 0.028 * d) for d in range(5, 26, 5)),
    )
    return log, narrowed(log, pail, place, place.before)


def test_the_range_of_the_day_of_being_full_narrows_as_entries_come(rows):
    _log, found = rows
    assert found[0]["day"] == "2025-09-01"
    assert width(found[0]) > 25
    assert width(found[-1]) < 0.5 * width(found[0])


def test_rows_are_plain_data_and_made_only_once(rows, place, pail, monkeypatch):
    log, found = rows
    kept = json.loads(json.dumps(found))
    monkeypatch.setattr("sourloam.forecast.narrowing.forecast_vessel", None)
    assert narrowed(log, pail, place, place.before, kept) == kept


def test_a_corrected_entry_makes_the_days_from_it_on_anew(rows, place, pail):
    log, found = rows
    first, *others = log.layers
    changed = replace(log, layers=(first, *others[:-1], replace(others[-1], kg=0.6)))
    again = narrowed(changed, pail, place, place.before, found)
    assert again[0] is found[0]
    assert [row["day"] for row in again] == [row["day"] for row in found]


def test_a_longer_log_keeps_days_of_a_shorter_one(rows):
    log, _ = rows
    shorter, longer = (set(told_days(log.until(day))) for day in (11, 25))
    assert len(longer) <= 8
    assert {day for day in longer if day <= 11} <= shorter


def test_strips_that_stay_high_show_since_when_it_looks_ill(rows, place, pail):
    log, _ = rows
    ill = replace(log, strips=tuple(Strip(d, 5.8) for d in (8, 12, 16, 20, 24)))
    chances = [row["chance_of_failing"] for row in narrowed(ill, pail, place, place.before)]
    assert chances[0] < 0.1
    assert chances[-1] > 0.3


def test_the_input_that_makes_the_answer_is_named_first():
    rng = np.random.default_rng(1)
    z, rate, souring = rng.standard_normal((400, COUNT)), rng.standard_normal(400), np.ones(400)
    answer = np.exp(-2 * rate + 0.8 * z[:, NAMES.index("vessel.packing")])
    first, second = movers(answer, z, rate, souring)
    assert (first.what, second.what) == ("rate", "packing")
    assert first.share > 0.7 > 0.25 > second.share
    assert first.what in LABELS


def test_an_answer_that_never_varies_is_moved_by_nothing():
    rng = np.random.default_rng(1)
    z = rng.standard_normal((100, COUNT))
    assert movers(np.full(100, np.inf), z, z[:, 0], z[:, 1]) == ()
