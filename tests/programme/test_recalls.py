"""Bran of which another place of a programme warns is left out of its stock."""

import datetime as dt

import pytest
from programme_facts import place

from sourloam.ledger.fold import fold
from sourloam.programme import BranFacts, by_lot, facts_of, heeding, read_facts, read_warnings
from sourloam.programme.facts import LotFacts, LotWarning
from strategies.ledger_entries import START, entry

DAY = START.date()
RECALL = LotWarning("oak-1", DAY, recalled=True)
FAILED = LotWarning("oak-1", DAY, recalled=False)


def stocked(passed=None):
    lots = (LotFacts("oak-1", 0.6, passed), LotFacts("ash-1", 0.3))
    return place("Flat", bran=BranFacts(0.9, (0.01, 0.02, 0.03), lots=lots))


@pytest.mark.parametrize(
    ("passed", "warning", "left"),
    [
        (None, RECALL, 0.3),
        (DAY, RECALL, 0.3),
        (None, FAILED, 0.3),
        (DAY, FAILED, 0.9),
        (DAY - dt.timedelta(days=1), FAILED, 0.3),
    ],
)
def test_a_recall_holds_and_a_failed_test_until_one_has_passed_there(passed, warning, left):
    found = heeding(stocked(passed), by_lot([("hall", [warning])]))
    assert found.bran.left_kg == pytest.approx(left)


def test_what_a_place_itself_found_is_in_its_own_facts_already():
    one = stocked()
    assert heeding(one, by_lot([(one.id, [RECALL])])) is one
    assert heeding(one, {}) is one


def test_facts_tell_the_lots_that_may_be_used_and_those_to_warn_of():
    entries = [
        entry(1, "bran_received", {"lot": "oak-1", "mass_kg": 1.0}, 0),
        entry(2, "bran_received", {"lot": "ash-1", "mass_kg": 2.0}, 0),
        entry(3, "bran_tested", {"lot": "ash-1", "test": "plate", "result": 8.5}, 4),
        entry(4, "bran_recalled", {"lot": "oak-1"}, 5),
        entry(5, "fed", {"vessel": "pail", "amount": {"mass_kg": 1.0}, "bran_g": 20}, 6),
    ]
    facts = facts_of(("a", "House"), fold(entries), {}, DAY + dt.timedelta(days=7))
    (lot,) = facts.bran.lots
    assert (lot.id, lot.passed) == ("ash-1", DAY + dt.timedelta(days=4))
    assert facts.bran.left_kg == pytest.approx(lot.kg)
    (warning,) = facts.warns
    assert warning == LotWarning("oak-1", DAY + dt.timedelta(days=5), recalled=True)
    kept = facts.as_json()
    assert read_facts(kept) == facts
    assert read_warnings(kept["warns"]) == facts.warns
    assert read_warnings(None) == (), "facts kept by an older version"
