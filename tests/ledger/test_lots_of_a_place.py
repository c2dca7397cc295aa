"""Lots of bran over all vessels: who had of which, and what is left of each."""

import datetime as dt

import pytest

from sourloam.ledger import fold
from sourloam.ledger.lot_standing import way_of
from strategies.ledger_entries import START, entry


def bag(number, lot, day, mass_kg=1.0):
    return entry(number, "bran_received", {"lot": lot, "mass_kg": mass_kg}, day)


def layer(number, day, vessel, lot=None, bran_g=20.0):
    body = {"vessel": vessel, "amount": {"mass_kg": 1.0}, "bran_g": bran_g}
    return entry(number, "fed", body | ({"lot": lot} if lot else {}), day)


def test_a_lot_knows_its_layers_in_the_order_of_days_over_all_vessels():
    layers = [layer(2, 5, "b", "may-1"), layer(3, 3, "a", "may-1"), layer(4, 7, "a", "may-1")]
    lot = fold([bag(1, "may-1", 0), *layers]).lot("may-1")
    assert [(use.vessel, use.layer.day) for use in lot.uses] == [
        (v, (START + dt.timedelta(days=d)).date()) for v, d in (("a", 3), ("b", 5), ("a", 7))
    ]
    assert lot.left_kg == pytest.approx(0.94)


def test_a_lot_that_nobody_wrote_down_began_with_its_first_layer():
    lot = fold([layer(2, 5, "b", "found"), layer(3, 3, "a", "found")]).lot("found")
    assert lot.stored == lot.began == (START + dt.timedelta(days=3)).date()


def test_layers_that_name_no_lot_are_taken_off_the_oldest_that_was_there():
    bags = [bag(1, "old", 0, 0.05), bag(2, "new", 10, 1.0)]
    layers = [layer(10 + d, d, "ab"[d % 2], None) for d in (2, 4, 12, 13)]
    place = fold([*bags, *layers])
    assert place.lot("old").unnamed_kg == pytest.approx(0.05)
    assert place.lot("new").unnamed_kg == pytest.approx(0.03)
    assert place.bran_left_kg == pytest.approx(1.05 - 0.08)


def test_layers_since_a_day_are_those_of_every_vessel_from_that_day_on():
    layers = [
        layer(n, day, vessel) for n, (day, vessel) in enumerate(((1, "a"), (4, "b"), (6, "a")))
    ]
    since = (START + dt.timedelta(days=4)).date()
    assert [r.day.day - since.day for r in fold(layers).layers_since(since)] == [2, 0]


@pytest.mark.parametrize(("said", "held"), [(None, 0.5), (0.0, 0.05), (0.7, 0.7), (1.0, 0.95)])
def test_dry_air_that_was_stated_is_not_taken_for_unknown(said, held):
    body = {"drying": "fan"} | ({} if said is None else {"humidity": said})
    assert way_of(fold([entry(1, "bran_way_set", body)]), None).humidity == held
