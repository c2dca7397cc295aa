"""Bran that layers ask for: by the lot in use, at least what is given, in one definition."""

import datetime as dt
from dataclasses import replace

import pytest

from sourloam.ledger import fold
from sourloam.ledger.due import due
from sourloam.ledger.lot_demand import (
    ahead,
    demand,
    fresh_demand,
    good_kg,
    order_kg,
    pace,
    times_usual,
)
from sourloam.ledger.lot_dose import asked, in_use, short_of
from sourloam.ledger.lots import WarnedOf
from strategies.ledger_entries import START, entry

DAYS = 21
TODAY = START.date() + dt.timedelta(days=DAYS)


def place(power, given_g, kg=0.5, layers=DAYS, mass_kg=0.3):
    """A layer a day with so much bran of one lot, in which a count found so many living cells."""
    body = {"vessel": "pail", "amount": {"mass_kg": kg}, "bran_g": given_g, "lot": "oak-1"}
    return fold(
        [
            entry(1, "bran_received", {"lot": "oak-1", "mass_kg": mass_kg}, 0),
            entry(2, "bran_tested", {"lot": "oak-1", "test": "plate", "result": power}, DAYS - 1),
            *(entry(10 + day, "fed", body, day) for day in range(DAYS - layers, DAYS)),
        ]
    )


@pytest.fixture(scope="module")
def weak():
    return place(6.6, 3.0, mass_kg=0.2)


def test_a_weak_lot_counts_as_what_it_asks_for_not_as_what_was_given(weak):
    lot, _all = in_use(weak, "oak-1", TODAY)
    (layer, *_) = weak.layers()
    dose = asked(weak, lot, layer.body.amount, "household")
    assert dose.weak
    assert dose.grams > 10
    daily = demand(weak, None, TODAY).daily_kg[0]
    assert daily == pytest.approx(dose.grams / 1000, rel=0.01)
    assert daily > fresh_demand(weak, None, TODAY).daily_kg[0] > 0.003


def test_it_lasts_by_that_dose_and_both_days_are_told(weak):
    found = pace(weak, None, TODAY)
    assert (found.lot, found.given_g) == ("oak-1", 3.0)
    left = weak.lot("oak-1").left_kg
    for day, grams in ((found.asked_until, found.asked_g), (found.given_until, 3.0)):
        assert (day - TODAY).days == pytest.approx(1000 * left / grams, abs=1.01)
    assert found.asked_until == ahead(weak, None, TODAY).runs_out
    assert found.asked_g == short_of(weak, weak.layers()[-1].body.model_dump(), TODAY).grams


def test_enough_bran_is_counted_as_it_is_given():
    plenty = place(8.5, 30.0, mass_kg=1.0)
    assert pace(plenty, None, TODAY) is None
    assert demand(plenty, None, TODAY).daily_kg[0] == pytest.approx(0.03)
    assert times_usual(plenty, None, TODAY) == pytest.approx(3.0, rel=0.01), (
        "60 g a kilogram, usual 20"
    )


def test_a_strong_lot_that_is_given_sparingly_asks_for_the_usual_dose():
    sparing = place(8.5, 3.0)
    found = pace(sparing, None, TODAY)
    assert found.asked_g == 10.0
    assert demand(sparing, None, TODAY) == fresh_demand(sparing, None, TODAY)
    assert times_usual(sparing, None, TODAY) == pytest.approx(1.0, rel=0.01)


def test_the_list_of_work_orders_in_time_for_the_dose_that_the_lot_asks_for(weak):
    (piece,) = (d for d in due(weak, {}, None, TODAY, 40) if d.what == "bran")
    assert piece.why.data["until"] == ahead(weak, None, TODAY).runs_out
    assert piece.body["mass_kg"] == order_kg(weak, None, TODAY) > 60 * 0.003


def test_where_none_may_be_used_the_work_says_so_and_no_amount_of_nought(weak):
    recalled = WarnedOf("oak-1", "Hall", TODAY, recalled=True)
    barred = replace(weak, warnings=(recalled,))
    assert good_kg(barred, None, TODAY) == 0
    (piece,) = (d for d in due(barred, {}, None, TODAY, 40) if d.what == "bran")
    assert piece.why.english == "No bran that may be used is left."
    assert pace(barred, None, TODAY) is None


def test_layers_without_a_word_of_bran_ask_for_none():
    quiet = place(8.5, None)
    assert demand(quiet, None, TODAY) is None
    assert pace(quiet, None, TODAY) is None


def test_less_than_a_kilogram_is_told_in_grams(weak):
    (piece,) = (d for d in due(weak, {}, None, TODAY, 40) if d.what == "bran")
    assert f"About {1000 * weak.lot('oak-1').left_kg:.0f} g of bran" in piece.why.english
