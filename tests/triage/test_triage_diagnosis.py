"""Signs lead to causes as Bayes' rule says; doubt is said, never covered."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from signs_described import DESCRIBED

from sourloam.evidence import book
from sourloam.triage import CAUSES, SIGNS, Context, SignError, diagnose, judged
from sourloam.triage.signs import CLASHES

MODEST = settings(derandomize=True, max_examples=60, deadline=None)
VESSEL = sorted(s.id for s in SIGNS.values() if s.stage == "vessel")
GROUND = sorted(s.id for s in SIGNS.values() if s.stage == "ground")
told = st.sampled_from([VESSEL, GROUND]).flatmap(
    lambda signs: st.dictionaries(st.sampled_from(signs), st.booleans(), max_size=9)
)


def shares(verdict):
    return {one.cause: one.share for one in verdict.likely}


def parted(findings):
    return [s for s, there in findings.items() if there], [
        s for s, there in findings.items() if not there
    ]


def test_signs_and_causes_are_many():
    assert len(SIGNS) >= 25
    assert len(CAUSES) >= 15
    assert {"sour_smell", "white_bloom", "green_mould", "rotten_smell", "weak_smell"} <= set(SIGNS)
    assert "weak_bran" in CAUSES


@pytest.mark.parametrize("cause", CAUSES)
def test_each_cause_is_found_from_its_description(cause):
    verdict = diagnose(*DESCRIBED[cause])
    assert verdict.cause == cause
    assert verdict.first.share > 0.6


@MODEST
@given(told)
def test_shares_are_positive_and_sum_to_one(findings):
    verdict = diagnose(*parted(findings))
    assert sum(verdict.shares) == pytest.approx(1, rel=1e-9)
    assert min(verdict.shares) > 0
    assert all(one.low <= one.share <= one.high for one in verdict.likely)
    ordered = [one.share for one in verdict.likely]
    assert ordered == sorted(ordered, reverse=True)


@MODEST
@given(told, st.randoms(use_true_random=False))
def test_the_order_of_signs_is_nothing(findings, random):
    seen, absent = parted(findings)
    first = diagnose(seen, absent)
    random.shuffle(seen)
    random.shuffle(absent)
    assert diagnose(seen, absent) == first


@MODEST
@given(told, st.sampled_from(CLASHES))
def test_signs_that_exclude_each_other_never_end_in_a_name(findings, pair):
    stage = {SIGNS[s].stage for s in pair}.pop()
    seen = {s for s, there in findings.items() if there and SIGNS[s].stage == stage} | pair
    verdict = diagnose(seen)
    assert verdict.doubt == "contradiction"
    assert verdict.cause is None
    assert tuple(sorted(pair)) in verdict.contradictory


@pytest.mark.parametrize(
    "seen",
    [
        ["frozen", "sour_smell", "sour_strip", "rotten_smell", "lid_bulges"],
        ["sour_smell", "rotten_smell", "flies", "sour_strip", "ammonia_smell"],
        ["frozen", "lid_bulges", "ammonia_smell"],
        ["dry_crumbly", "much_liquid", "leak"],
        ["tap_stuck", "cleaner_went_in", "pink_mould"],
        ["earth_smell", "animals_dig", "salt_crust"],
    ],
)
def test_signs_that_no_cause_explains_end_in_doubt(seen):
    verdict = diagnose(seen)
    assert verdict.cause is None
    assert verdict.doubt in ("unexplained", "rare", "open", "contradiction")


def test_nothing_told_is_no_all_clear():
    assert diagnose([]).doubt == "nothing_told"
    assert diagnose([], ["rotten_smell", "green_mould", "flies"]).cause is None


def test_two_causes_stand_to_each_other_as_worked_by_hand():
    """Prior x P(rotten) x P(foul liquid)^0.7 for animal food and for a wet load:
    0.04 x 0.75 x 0.75^0.7 against 0.06 x 0.75 x 0.3^0.7."""
    found = shares(diagnose(["rotten_smell", "foul_liquid"]))
    by_hand = (0.04 * 0.75 * 0.75**0.7) / (0.06 * 0.75 * 0.3**0.7)
    assert found["animal_food"] / found["too_wet"] == pytest.approx(by_hand, rel=1e-6)


def test_rot_without_more_is_left_open_between_its_causes():
    verdict = diagnose(["rotten_smell", "foul_liquid"])
    assert verdict.doubt == "open"
    assert verdict.first.share < 0.3
    assert shares(verdict)["nothing_wrong"] < 0.01


def test_one_sign_alone_gives_bayes_rule_undamped():
    beliefs = judged("vessel")
    weights = beliefs.usual("new") * beliefs.share[beliefs.signs.index("warm")]
    expected = dict(zip(beliefs.causes, weights / weights.sum(), strict=True))
    found = shares(diagnose(["warm"]))
    assert found == pytest.approx(expected, rel=1e-9)


def test_a_sign_looked_for_and_not_there_speaks_against_its_cause():
    with_it = shares(diagnose(["rotten_smell"]))["soil_inside"]
    without = shares(diagnose(["rotten_smell"], ["soil_went_in"]))["soil_inside"]
    assert without < 0.2 * with_it


def test_no_odds_pass_the_greatest_ones_that_such_signs_give():
    seen, absent = DESCRIBED["air"]
    verdict = diagnose([*seen, "mould_throughout", "opened_often"], [*absent, "rotten_smell"])
    odds = verdict.first.share / (1 - verdict.first.share)
    assert odds == pytest.approx(book()["triage.rule.cap"].value, rel=1e-6)


def test_a_strip_once_read_is_not_counted_twice():
    once = diagnose(["sour_strip"])
    again = diagnose(["sour_strip"], ["high_strip", "middling_strip"])
    assert again.shares == once.shares


@pytest.mark.parametrize(
    ("field", "beyond", "usual", "cause"),
    [
        ("room_c", 8, 20, "cold"),
        ("room_c", 36, 20, "hot"),
        ("bran_share", 0.005, 0.02, "thin_bran"),
        ("animal_share", 0.3, 0.02, "animal_food"),
        ("water_share", 0.9, 0.75, "too_wet"),
        ("sugar_share", 0.005, 0.04, "low_sugar"),
        ("filling_days", 60, 20, "slow_filling"),
        ("rest_days", 3, 20, "too_early"),
        ("undrained_days", 9, 2, "standing_liquid"),
        ("openings_a_day", 5, 0.7, "air"),
        ("leaky", True, False, "broken_vessel"),
        ("bran_failed", True, False, "weak_bran"),
        ("bran_months", 20, 3, "weak_bran"),
    ],
)
def test_what_the_log_knows_makes_its_cause_likelier(field, beyond, usual, cause):
    plain = shares(diagnose(["rotten_smell"]))[cause]
    raised = shares(diagnose(["rotten_smell"], context=Context(**{field: beyond})))[cause]
    calm = shares(diagnose(["rotten_smell"], context=Context(**{field: usual})))[cause]
    assert raised > 1.5 * plain
    assert calm <= plain * 1.001


def test_a_foreseen_failure_weighs_against_nothing_wrong():
    plain = shares(diagnose(["weak_smell"]))["nothing_wrong"]
    bad = shares(diagnose(["weak_smell"], context=Context(chance_of_failing=0.9)))
    good = shares(diagnose(["weak_smell"], context=Context(chance_of_failing=0.02)))
    assert bad["nothing_wrong"] < 0.6 * plain
    assert good["nothing_wrong"] > 1.3 * plain


def test_a_foreseen_chance_counts_for_half_the_odds_among_what_the_model_can_foresee():
    """The logarithm of those odds is the mean of the usual and the foreseen one; a tap, a fly or a
    leak, of which the model knows nothing, stays as likely as it was."""
    from sourloam.triage.context import FORESEEN
    from sourloam.triage.weighing import prior

    beliefs = judged("vessel")
    known = np.array([cause in FORESEEN for cause in beliefs.causes])
    usual = beliefs.usual("new")
    for failing in (0.002, 0.8):
        mixed = prior(beliefs, Context(chance_of_failing=failing))
        well = usual[0] / usual[known].sum()
        expected = np.sqrt(well * (1 - failing) / failing)
        assert mixed[0] / mixed[known].sum() == pytest.approx(expected, rel=1e-6)
        assert mixed.sum() == pytest.approx(1)
        assert mixed[~known][1:] == pytest.approx(usual[~known][1:])


@pytest.mark.parametrize("failing", [None, 0.001, 0.03])
@pytest.mark.parametrize("sign", ["lid_bulges", "flies", "tap_stuck", "leak", "rotten_smell"])
def test_a_good_forecast_never_makes_a_plain_trouble_well(sign, failing):
    verdict = diagnose([sign], context=Context(chance_of_failing=failing, setting="trained"))
    assert not verdict.well
    if sign in ("flies", "leak", "tap_stuck"):
        assert verdict.first.cause != "nothing_wrong"


@MODEST
@given(told, st.sampled_from([None, 0.001]))
def test_nothing_wrong_explains_each_sign_that_was_seen(findings, failing):
    verdict = diagnose(*parted(findings), context=Context(chance_of_failing=failing))
    if verdict.well:
        assert not verdict.unexplained


def test_an_answer_that_the_log_gave_is_not_counted_again():
    cold = Context(room_c=8)
    assert (
        diagnose(["weak_smell"], context=cold).shares
        == diagnose(["weak_smell", "stands_cold"], context=cold).shares
    )


@pytest.mark.parametrize(
    ("seen", "absent", "line"),
    [
        (["sower_smell"], [], "nearest is sour_smell"),
        (["leak"], ["leak"], "say one of the two"),
        (["leak", "earth_smell"], [], "ask about one at a time"),
    ],
)
def test_a_wrong_list_is_refused_in_one_line(seen, absent, line):
    with pytest.raises(SignError, match=line) as refused:
        diagnose(seen, absent)
    assert "\n" not in str(refused.value)


def test_the_share_of_each_cause_lies_in_a_range_that_has_some_width():
    for one in diagnose({"rotten_smell"}).likely:
        assert one.low <= one.share <= one.high
        assert one.low < one.high
