"""From a place's ledger to the forecasts of all its vessels."""

import datetime as dt
from dataclasses import replace
from uuid import UUID

import numpy as np
import pytest
from hypothesis import given, settings

from sourloam.forecast import Question, forecast_place, learn_place
from sourloam.forecast.reading import from_ledger
from sourloam.ledger import Entry, fold, parse_body
from sourloam.site import Site
from strategies.ledger_entries import SITE, ledgers

FIRST = dt.datetime(2025, 9, 1, 18, tzinfo=dt.UTC)
HOME = Site.model_validate(SITE)
SPEC = {"name": "pail", "volume": "19 L", "plate": "1 kg"}
TODAY = FIRST.date() + dt.timedelta(days=70)


class Ledger:
    """Writes entries with ids in order."""

    def __init__(self):
        self.entries = []

    def write(self, day, kind, **body):
        at = FIRST + dt.timedelta(days=day)
        number = UUID(int=len(self.entries) + 1, version=4)
        self.entries.append(Entry(number, "home", kind, at, at, parse_body(kind, body)))


@pytest.fixture(scope="module")
def state():
    book = Ledger()
    book.write(0, "measure_set", measure="bowl", name="Bowl", mass_kg=0.5)
    for name in ("one", "two", "three"):
        book.write(0, "vessel_added", vessel=name, name=name, spec=SPEC)
    for day in range(30):
        amount = {"measure": "bowl", "count": 1}
        book.write(day, "fed", vessel="one", amount=amount, kinds="household", bran_g=8)
    for day in range(4, 40, 4):
        book.write(day, "drained", vessel="one", volume_ml=90, use="sink")
    book.write(14, "fill_marked", vessel="one", fraction=0.5)
    book.write(29, "set_aside", vessel="one")
    book.write(35, "ph_read", vessel="one", ph=4.0, of="solid")
    book.write(36, "looked", vessel="one", signs=["rotten_smell"])
    book.write(45, "judged", vessel="one", verdict="sound")
    book.write(46, "emptied", vessel="one", fate="tub")
    book.write(20, "warmth_read", temperature_c=18)
    for day in range(50, 66):
        book.write(day, "fed", vessel="two", amount={"volume_l": 1.5})
    book.write(60, "fed", vessel="three", amount={"measure": "never-set", "count": 1})
    book.write(62, "weighed", vessel="two", mass_kg=7.5, empty_kg=1.5)
    return fold(book.entries)


def test_a_turn_is_read_with_amounts_days_and_ways(state, pail):
    log = from_ledger(state.vessel("one").turns[0], state, pail, "household")
    assert log.began == FIRST.date()
    assert len(log.layers) == 30
    assert log.layers[0].way == "counted"
    assert log.layers[0].kg == pytest.approx(0.5, rel=0.05)
    assert log.layers[0].error == pytest.approx(0.2)
    assert [reading.day for reading in log.drains] == list(range(4, 40, 4))
    assert (log.set_aside, log.verdict) == (29, "sound")
    assert log.strips[0].solid
    assert [look.rotten for look in log.looks] == [True]
    assert [(reading.day, reading.value) for reading in log.warmths] == [(20, 18.0)]


def test_litres_become_mass_through_the_mix_and_a_scale_takes_off_the_vessel(state, pail):
    log = from_ledger(state.vessel("two").turn, state, pail, "household")
    assert {layer.way for layer in log.layers} == {"by_eye"}
    assert 0.35 < log.layers[0].kg < 0.8
    assert log.weighings[0].value == pytest.approx(6.0)


def test_a_layer_by_a_measure_that_was_never_set_is_left_out(state, pail):
    assert from_ledger(state.vessel("three").turn, state, pail, "household").layers == ()


def test_every_vessel_in_use_with_a_known_layer_is_foreseen_and_no_other(state):
    seen = forecast_place(state, HOME, Question(TODAY, members=200))
    assert set(seen) == {"two"}
    assert seen["two"].full_on > TODAY
    assert seen["two"].began == FIRST.date() + dt.timedelta(days=50)


def test_the_same_ledger_gives_the_same_forecasts(state):
    asked = Question(TODAY, members=150)
    one, two = (forecast_place(state, HOME, asked)["two"].summary() for _ in range(2))
    assert one == two


def test_a_place_learns_its_amounts_from_a_finished_vessel(state):
    learned = learn_place(state, HOME, Question(TODAY))
    assert learned.turns == (f"one:{state.vessel('one').turns[0].began.entry}",)
    from sourloam.forecast.place import kitchen_of

    before = kitchen_of(HOME, state, Question(TODAY)).before
    assert learned.belief.rate_sd < 0.5 * before.rate_sd
    assert np.linalg.det(learned.belief.covariance) < 0.5 * np.linalg.det(before.covariance)


def test_what_comes_after_today_teaches_nothing(state):
    early = Question(FIRST.date() + dt.timedelta(days=20))
    assert learn_place(state, HOME, early).turns == ()
    seen = forecast_place(state, HOME, replace(early, members=150))
    assert seen == {} or "two" not in seen


def test_a_vessel_whose_log_begins_with_a_fill_mark_has_that_much_in_it(pail):
    book = Ledger()
    book.write(0, "vessel_added", vessel="one", name="one", spec=SPEC)
    book.write(1, "fill_marked", vessel="one", fraction=0.5)
    told = fold(book.entries)
    log = from_ledger(told.vessel("one").turn, told, pail, "household")
    assert len(log.layers) == 1
    assert log.layers[0].kg == pytest.approx(0.5 * pail.usable_m3 * 940, rel=1e-6)


@settings(derandomize=True, max_examples=25, deadline=None)
@given(ledgers())
def test_no_ledger_however_odd_breaks_a_forecast(entries):
    told = fold(entries)
    last = max((e.at.date() for e in entries), default=FIRST.date())
    asked = Question(last + dt.timedelta(days=1), horizon_days=20, members=40)
    for seen in forecast_place(told, HOME, asked).values():
        summary = seen.summary()
        assert 0 <= summary["chance_of_failing"] <= 1
        assert all(np.isfinite(summary["level"]["median"]))
        assert all(value >= 0 for value in summary["liquid_ml"]["low"])
