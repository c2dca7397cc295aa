"""Lots: traced both ways, stock, when to start the next batch."""

import datetime as dt
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sourloam.bran.lots import (
    LotEvent,
    Stocked,
    left_kg,
    outlook,
    trace_lot,
    trace_vessel,
)

DAY = dt.date(2026, 3, 1)
calm = settings(derandomize=True, max_examples=60, deadline=None)


def later(days):
    return DAY + dt.timedelta(days=days)


EVENTS = (
    LotEvent("made", later(0), "A", 10),
    LotEvent("handed_out", later(5), "A", 2, place="Hall"),
    LotEvent("handed_out", later(6), "A", 3, place="School"),
    LotEvent("used", later(8), "A", 0.5, place="Hall", vessel="Hall 1"),
    LotEvent("used", later(9), "A", 0.2, vessel="Store 1"),
    LotEvent("made", later(20), "B", 8, of_lots=("A",)),
    LotEvent("used", later(25), "B", 0.4, vessel="Store 2"),
    LotEvent("bought", later(30), "C", 5),
    LotEvent("used", later(31), "C", 0.1, vessel="Hall 1", place="Hall"),
    LotEvent("used", later(32), "C", 0.1, vessel="Store 3"),
    LotEvent("recalled", later(40), "A"),
)


def test_from_a_failed_vessel_to_its_lot_and_to_all_other_vessels_on_it():
    found = trace_vessel(EVENTS, "Store 1")
    assert found.lots == ("A",)
    assert found.other_vessels == ("Hall 1", "Store 2")
    assert found.places == ("Hall", "School")


def test_a_lot_started_from_a_bad_one_is_under_suspicion_too():
    found = trace_vessel(EVENTS, "Store 2")
    assert found.lots == ("B",)
    assert found.started_from == ("A",)
    assert found.other_vessels == ("Hall 1", "Store 1")


def test_vessels_on_another_lot_are_left_alone():
    assert trace_vessel(EVENTS, "Store 3").other_vessels == ("Hall 1",)


def test_from_a_lot_to_every_place_and_vessel():
    found = trace_lot(EVENTS, "A")
    assert found.place_kg == (("Hall", 2), ("School", 3))
    assert found.vessel_kg == (("Hall 1", 0.5), ("Store 1", 0.2))
    assert found.later_lots == ("B",)
    assert found.recalled == later(40)
    assert found.left_kg == pytest.approx(10 - 2 - 3 - 0.2)


def test_bran_used_where_it_was_handed_out_left_the_store_once():
    left = left_kg(EVENTS)
    assert left["A"] == pytest.approx(4.8)
    assert left["B"] == pytest.approx(7.6)
    assert left["C"] == pytest.approx(4.8)


@calm
@given(st.integers(0, 10**6))
def test_the_order_in_which_events_are_told_does_not_matter(seed):
    mixed = list(EVENTS)
    random.Random(seed).shuffle(mixed)
    assert trace_vessel(mixed, "Store 2") == trace_vessel(EVENTS, "Store 2")
    assert trace_lot(mixed, "A") == trace_lot(EVENTS, "A")
    assert left_kg(mixed) == pytest.approx(left_kg(EVENTS))


def test_lots_that_were_started_from_each_other_make_no_endless_round():
    events = (
        LotEvent("made", DAY, "A", 1, of_lots=("B",)),
        LotEvent("made", DAY, "B", 1, of_lots=("A",)),
        LotEvent("used", DAY, "A", 0.1, vessel="one"),
        LotEvent("used", DAY, "B", 0.1, vessel="two"),
    )
    assert trace_vessel(events, "one").other_vessels == ("two",)


def test_stock_runs_out_and_the_next_batch_is_started_in_time():
    found = outlook((Stocked("A", 1.0, later(100)),), [0.1] * 60, DAY, lead_days=7)
    assert found.runs_out == later(10)
    assert found.start_by == later(3)
    assert found.spoils_kg == 0


def test_a_lot_that_grows_old_does_not_count_and_the_older_one_is_used_first():
    stock = (Stocked("new", 1.0, later(100)), Stocked("old", 1.0, later(4)))
    found = outlook(stock, [0.1] * 60, DAY, lead_days=30)
    # five days of the old lot (0.5 kg), its other half spoils; then ten days of the new one
    assert found.runs_out == later(15)
    assert found.spoils_kg == pytest.approx(0.5)
    assert found.start_by == DAY


def test_a_weak_lot_is_gone_sooner_and_covers_less_of_the_demand():
    weak = Stocked("A", 1.0, later(100), times=2.0)
    assert outlook((weak,), [0.1] * 60, DAY, lead_days=0).runs_out == later(5)
    assert weak.worth_kg == 0.5


def test_stock_that_lasts_asks_for_nothing():
    found = outlook((Stocked("A", 10, later(400)),), [0.1] * 60, DAY, lead_days=20)
    assert found.runs_out is None
    assert found.start_by is None


@calm
@given(
    st.lists(st.tuples(st.floats(0, 5), st.integers(0, 60)), max_size=6),
    st.lists(st.floats(0, 1), min_size=1, max_size=60),
)
def test_what_is_used_spoils_or_is_left_adds_up(lots, demand):
    stock = [Stocked(str(i), kg, later(until)) for i, (kg, until) in enumerate(lots)]
    found = outlook(stock, demand, DAY, 10)
    total = sum(kg for kg, _ in lots)
    days = len(demand) if found.runs_out is None else (found.runs_out - DAY).days
    assert sum(demand[:days]) + found.spoils_kg <= total + 1e-6
    assert found.spoils_kg >= 0


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"kind": "lost"}, "choose from made"),
        ({"lot": ""}, "name the lot"),
        ({"mass_kg": -1.0}, "give 0 or more"),
        ({"mass_kg": float("nan")}, "give 0 or more"),
        ({"kind": "used"}, "in which vessel"),
        ({"kind": "handed_out"}, "to which place"),
    ],
)
def test_an_event_that_cannot_be_is_told_in_one_line(wrong, words):
    with pytest.raises(ValueError, match=words):
        LotEvent(**{"kind": "made", "day": DAY, "lot": "A", "mass_kg": 1.0, **wrong})
