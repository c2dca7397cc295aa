"""A batch after tests of its strength."""

import datetime as dt

import numpy as np
import pytest

from sourloam.bran import (
    Case,
    Drying,
    Mixture,
    Trial,
    Wish,
    after_tests,
    answer,
    draw,
    make_batch,
)
from sourloam.bran.steps import Setting
from sourloam.evidence import book

SETTING = Setting(dt.date(2026, 3, 2))


@pytest.fixture(scope="module")
def made():
    case = Case(Wish(5.0, Mixture({"wheat_bran": 1.0})), 22, Drying("oven", 22, 0.5), 5)
    return make_batch(case, draw(book(), 400, np.random.default_rng(5)))


def after(made, *trials):
    anew = after_tests(made, trials, np.random.default_rng(6))
    return anew, answer(anew, SETTING, {}, 5, trials=trials)


def test_without_tests_nothing_changes(made):
    assert after_tests(made, (), np.random.default_rng(6)) is made


def test_a_good_count_late_in_life_moves_the_best_before_out(made):
    anew, told = after(made, Trial("plate", 8.0, day=90))
    assert np.median(anew.strength[:, 90]) == pytest.approx(8.0, abs=0.4)
    assert anew.usual_good_days > 2 * made.usual_good_days
    assert told.tested[0].verdict == "pass"
    assert told.ages[3].advised == 20


def test_what_belongs_to_one_member_stays_together(made):
    anew, _ = after(made, Trial("plate", 8.0, day=90))
    alive = anew.strength[:, 0] > 2
    start = anew.soured.log10_cells_per_g_dry - anew.dried.loss_log10
    expected = start + np.log10(1 - anew.end_moisture)
    assert anew.strength[alive, 0] == pytest.approx(expected[alive])


def test_a_failed_test_condemns_the_lot_from_its_day_on(made):
    _, told = after(made, Trial("sour_drop", np.inf, day=32))
    assert told.ages[0].advised is not None
    assert all(age.advised is None for age in told.ages[2:])
    assert "do not use this lot" in told.tested[0].text


def test_a_later_pass_does_not_undo_a_failure_older_than_it_by_more_than_its_own_time(made):
    trials = (Trial("sour_drop", np.inf, day=10), Trial("plate", 8.0, day=20))
    _, told = after(made, *trials)
    by_month = {age.months: age for age in told.ages}
    assert by_month[1].advised is not None  # day 30: the pass of day 20 is the latest that holds
    assert by_month[2].advised is None  # day 61: the pass has lapsed, the failure has not


@pytest.mark.parametrize(
    ("trials", "held"),
    [
        ((), False),
        ((Trial("sour_drop", 20.0, day=1),), False),
        ((Trial("sour_drop", np.inf, day=1),), True),
        ((Trial("sour_drop", np.inf, day=1), Trial("plate", 8.0, day=9)), False),
        ((Trial("slurry", 5.6, day=1),), True),
        ((Trial("slurry", 5.6, day=1), Trial("sour_drop", 20.0, day=3)), False),
        ((Trial("sour_drop", 20.0, day=0), Trial("slurry", 5.6, day=1)), True),
    ],
)
def test_a_lot_that_its_tests_hold_back_gets_a_warning_in_place_of_a_label(made, trials, held):
    _, told = after(made, *trials)
    assert told.held_back is held
    text = "\n".join(told.label)
    assert ("DO NOT USE: lot BRAN-20260302" in text) is held
    assert ("Dose at first" in text) is not held
