"""Verdicts on invented cases are calibrated, and rarely clear a troubled vessel."""

import numpy as np
import pytest

from sourloam.triage import diagnose, judged
from sourloam.triage.scoring import Invented, Talked, invented, score, talk_about
from sourloam.triage.signs import CLASHES

BELIEFS = judged("vessel")


def test_causes_come_as_often_as_they_usually_do():
    cases = invented(BELIEFS, 4000, np.random.default_rng(2))
    air = np.mean([case.cause == "air" for case in cases])
    assert air == pytest.approx(BELIEFS.usual("new")[1], abs=0.015)


def test_signs_of_a_case_come_as_often_as_their_share():
    cases = [c for c in invented(BELIEFS, 4000, np.random.default_rng(3)) if c.cause == "air"]
    mould = np.mean(["green_mould" in case.signs for case in cases])
    assert mould == pytest.approx(0.75, abs=0.07)


def test_no_case_holds_signs_that_exclude_each_other():
    cases = invented(BELIEFS, 500, np.random.default_rng(5), unsure_shares=True)
    assert not any(pair <= case.signs for case in cases for pair in CLASHES)


def test_a_conversation_ends_in_a_score_far_below_that_before_any_sign():
    cases = invented(BELIEFS, 80, np.random.default_rng(4), unsure_shares=True)
    found = score([talk_about(case, BELIEFS) for case in cases], BELIEFS)
    assert found.brier < 0.45 * found.brier_before
    assert found.right > found.stated - 0.08
    assert found.right > 0.8
    assert found.false_clear < 0.1


def test_scores_by_hand():
    well = diagnose(
        ["sour_smell", "sour_strip", "vinegar_smell", "unchanged"], ["rotten_smell", "green_mould"]
    )
    assert well.well
    talks = [Talked(Invented("cold", frozenset()), well, 3)]
    found = score(talks, BELIEFS)
    shares = np.array(well.shares)
    cold = BELIEFS.causes.index("cold")
    assert found.brier == pytest.approx((shares**2).sum() - 2 * shares[cold] + 1)
    assert (found.sure, found.right, found.false_clear, found.questions) == (1, 0, 1, 3)
