"""What rounds and visits changed counts until the place's own log tells."""

from dataclasses import replace

import pytest
from programme_facts import TODAY, ago, filling, free, place, resting

from sourloam.programme import Deed, after_deeds, calls, drawn, full_by, needing_help
from sourloam.programme.facts import BranFacts, Ended, VesselFacts

OLD = VesselFacts("old", "Old pail", "resting", 14.0, ago(30), touched=ago(30), began=ago(60))
FAILED = VesselFacts("red", "Red pail", "failed", 12.0, ago(9), touched=ago(9), began=ago(40))


def fetched(days, **numbers):
    return Deed("fetched", ago(days), {"kg": 12.5, **numbers})


def after(one, *deeds):
    return after_deeds(one, deeds, TODAY)


def gone(one):
    return [(v.name, v.fetched_on) for v in one.fetched]


def test_a_weighing_takes_the_vessels_that_stood_full_for_longest():
    stands = place(vessels=(filling(), FAILED, OLD))
    one = after(stands, fetched(2))
    assert gone(one) == [("Old pail", ago(2))]
    assert gone(after(stands, fetched(2, vessels=2.0))) == [
        ("Red pail", ago(2)),
        ("Old pail", ago(2)),
    ]
    assert gone(after(stands, fetched(5), fetched(2))) == [
        ("Red pail", ago(2)),
        ("Old pail", ago(5)),
    ]
    assert full_by([stands], TODAY, (0,))[0].vessels[1] > full_by([one], TODAY, (0,))[0].vessels[1]


def test_what_was_taken_is_neither_a_reason_to_go_nor_on_the_next_round():
    stands = place(vessels=(FAILED, resting()))
    one = after(stands, fetched(2, vessels=2.0, clean=2.0))
    assert calls([stands], [], {}, TODAY, TODAY)[0].full == 2
    assert calls([one], [], {}, TODAY, TODAY) == []
    assert needing_help([one], TODAY, drawn()) == []
    assert one.free == 2


@pytest.mark.parametrize("change", [{"since": ago(1)}, {"touched": ago(1)}])
def test_what_was_full_or_written_of_after_the_round_still_stands(change):
    assert gone(after(place(vessels=(replace(OLD, **change),)), fetched(2))) == []


def test_a_weighing_without_vessels_takes_none():
    assert gone(after(place(vessels=(OLD,)), fetched(2, vessels=0.0))) == []


def test_what_the_places_own_log_tells_of_the_round_counts_once():
    away = Ended(ago(40), ago(9), ago(1), away=True)
    emptied = place(vessels=(free(), OLD), ended=(away,))
    one = after(emptied, fetched(2, clean=1.0))
    assert gone(one) == []
    assert one.spare == 0
    buried = after(replace(emptied, ended=(replace(away, away=False),)), fetched(2))
    assert gone(buried) == [("Old pail", ago(2))]


def test_a_clean_vessel_that_was_left_is_free_until_a_filling_begins():
    assert after(place(vessels=(OLD,)), fetched(2, clean=1.0)).spare == 1
    begun = filling(began=ago(1))
    assert after(place(vessels=(OLD, begun)), fetched(2, clean=1.0)).spare == 0


def test_bran_that_was_left_is_in_store_until_the_place_tells_of_bran_itself():
    out = place(bran=BranFacts(0.0, (0.015, 0.02, 0.03)))
    left = Deed("bran", ago(5), {"kg": 2.0})
    assert [risk.what for risk in needing_help([out], TODAY, drawn())[0].risks] == ["bran"]
    one = after(out, left)
    assert one.bran.left_kg == one.bran.given_kg == pytest.approx(2.0 - 5 * 0.02)
    assert needing_help([one], TODAY, drawn()) == []
    told = after(replace(out, bran=replace(out.bran, left_kg=1.5, came=ago(4))), left)
    assert (told.bran.left_kg, told.bran.given_kg) == (1.5, 0.0)
    more = after(replace(out, bran=replace(out.bran, left_kg=1.5)), left)
    assert more.bran.left_kg == 3.5
