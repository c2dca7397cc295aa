"""Outcomes teach the judged shares."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sourloam.evidence import book
from sourloam.triage import Outcome, judged, learned

BELIEFS = judged("vessel")
outcomes = st.lists(
    st.builds(
        Outcome,
        cause=st.sampled_from(BELIEFS.causes),
        seen=st.lists(st.sampled_from(BELIEFS.signs), max_size=3).map(tuple),
        setting=st.sampled_from(["trained", "new", "programme"]),
    ),
    max_size=6,
)


def share(beliefs, sign, cause):
    return beliefs.share[beliefs.signs.index(sign), beliefs.causes.index(cause)]


def test_judged_shares_are_those_of_the_tables():
    assert share(BELIEFS, "frozen", "cold") == pytest.approx(0.95)
    assert share(BELIEFS, "frozen", "air") == pytest.approx(0.01)
    rows = [book()[f"triage.prior.trained.{cause}"].value for cause in BELIEFS.causes]
    assert BELIEFS.usual("trained")[0] == pytest.approx(0.75 / sum(rows), rel=1e-9)


def test_judged_shares_spread_about_as_their_rows_say():
    row = book()["triage.sign.warm.air"]
    rows = np.array([BELIEFS.signs.index("warm")])
    drawn = BELIEFS.drawn(rows, 4000, np.random.default_rng(1))[:, 0, BELIEFS.causes.index("air")]
    low, high = np.quantile(drawn, [0.1, 0.9])
    assert low == pytest.approx(row.low, rel=0.1)
    assert high == pytest.approx(row.high, rel=0.06)


def test_a_sign_met_again_and_again_becomes_usual_for_its_cause():
    taught = learned(BELIEFS, [Outcome("cold", seen=("alcohol_smell",))] * 40)
    assert share(BELIEFS, "alcohol_smell", "cold") == pytest.approx(0.05)
    assert share(taught, "alcohol_smell", "cold") > 0.6
    assert share(taught, "alcohol_smell", "hot") == share(BELIEFS, "alcohol_smell", "hot")


def test_a_judgement_counts_as_so_many_vessels_against_real_ones():
    """Rare, 0.05, judged as strongly as 20 vessels; 20 real ones with the sign: 21 of 40."""
    taught = learned(BELIEFS, [Outcome("cold", seen=("alcohol_smell",))] * 20)
    assert book()["triage.rule.most_worth"].value == 20
    assert share(taught, "alcohol_smell", "cold") == pytest.approx(21 / 40, rel=1e-6)


def test_absence_is_learned_too():
    taught = learned(BELIEFS, [Outcome("cold", absent=("frozen",))] * 20)
    assert share(taught, "frozen", "cold") == pytest.approx(19 / 40, rel=1e-6)


def test_a_cause_met_often_in_a_setting_becomes_likelier_there_only():
    taught = learned(BELIEFS, [Outcome("too_wet", setting="programme")] * 20)
    i = BELIEFS.causes.index("too_wet")
    assert taught.usual("programme")[i] > 4 * BELIEFS.usual("programme")[i]
    assert taught.usual("new")[i] == BELIEFS.usual("new")[i]


@settings(derandomize=True, max_examples=30, deadline=None)
@given(outcomes, outcomes)
def test_outcomes_may_come_in_any_order_at_once_or_one_by_one(first, second):
    together = learned(BELIEFS, [*second, *first])
    apart = learned(learned(BELIEFS, first), second)
    assert np.allclose(together.share, apart.share, rtol=1e-12)
    for setting in ("trained", "new", "programme"):
        assert np.allclose(together.usual(setting), apart.usual(setting), rtol=1e-12)


def test_a_cause_of_another_stage_is_refused():
    with pytest.raises(KeyError):
        learned(BELIEFS, [Outcome("thin_cover")])
