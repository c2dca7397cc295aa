"""Which signs spoke for the first cause, and what the log raised."""

import pytest

from sourloam.triage import Context, diagnose, judged, raised, speaking


def test_the_sign_that_moves_the_first_cause_most_comes_first():
    beliefs = judged("vessel")
    verdict = diagnose(["rotten_smell", "drips"], ["condensation"], beliefs=beliefs)
    told = speaking(verdict, beliefs)
    assert {one.sign for one in told} == {"rotten_smell", "drips", "condensation"}
    pulls = [abs(one.with_first / one.with_others - 1) for one in told]
    assert pulls[0] == max(pulls)
    row = beliefs.signs.index("drips")
    mine = next(one for one in told if one.sign == "drips")
    assert mine.with_first == pytest.approx(
        beliefs.share[row, beliefs.causes.index(verdict.first.cause)]
    )
    absent = next(one for one in told if one.sign == "condensation")
    assert not absent.there


def test_a_cold_room_raises_the_cold_and_a_usual_one_nothing():
    assert raised(diagnose(["weak_smell"], context=Context(room_c=20.0))) == ()
    (cause, by), *_ = raised(diagnose(["weak_smell"], context=Context(room_c=5.0)))
    assert cause == "cold"
    assert by > 1
