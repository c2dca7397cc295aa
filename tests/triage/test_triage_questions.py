"""One question at a time, the most telling one, until enough is known."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sourloam.triage import SIGNS, Context, diagnose, judged, next_question
from sourloam.triage.questions import _gain, _shared
from sourloam.triage.signs import GROUPS, asked_outright

MODEST = settings(derandomize=True, max_examples=25, deadline=None)


def converse(has, beliefs, context=None, limit=40):
    """Ask until no question is left; ``has`` holds the signs that are there."""
    seen, absent, asked = set(), set(), []
    verdict = diagnose(seen, absent, context, beliefs)
    while (question := next_question(verdict, (), beliefs)) and len(asked) < limit:
        asked.append(question.id)
        here = [o for o in question.options if o in has]
        more, less = question.answers(here if question.several else here[:1])
        seen |= set(more)
        absent |= set(less)
        verdict = diagnose(seen, absent, context, beliefs)
    return verdict, asked


@MODEST
@given(st.sampled_from(["vessel", "ground"]), st.integers(0, 10**6))
def test_every_conversation_ends_and_never_asks_twice(stage, seed):
    beliefs = judged(stage)
    rng = np.random.default_rng(seed)
    column = rng.integers(len(beliefs.causes))
    has = {
        s for s, p in zip(beliefs.signs, beliefs.share[:, column], strict=True) if rng.random() < p
    }
    _, asked = converse(has, beliefs)
    assert len(asked) == len(set(asked))
    assert len(asked) < 40


def test_a_sure_verdict_is_not_questioned_further():
    verdict = diagnose(["leak", "lid_loose"], ["opened_often"])
    assert verdict.sure
    assert next_question(verdict) is None


def test_a_contradiction_is_not_talked_away():
    assert next_question(diagnose(["dry_crumbly", "drips"])) is None


def test_rot_is_asked_about_what_tells_its_causes_apart():
    question = next_question(diagnose(["rotten_smell", "foul_liquid"]))
    assert SIGNS[question.options[0]].group in ("history", "liquid", "feel", "tightness", "growth")


def test_no_question_is_asked_that_the_log_answers():
    context = Context(bran_share=0.02, room_c=20, undrained_days=2, animal_share=0.0)
    _, asked = converse({"rotten_smell"}, judged("vessel"), context)
    known = {"bran_thin", "stands_cold", "stands_hot", "rarely_drained", "much_animal"}
    assert not known & set(asked)


def test_a_question_that_nobody_can_answer_is_not_asked_again():
    verdict = diagnose(["rotten_smell"])
    first = next_question(verdict)
    second = next_question(verdict, first.options)
    assert second.id != first.id


def test_the_strip_is_one_question_with_several_answers():
    verdict = diagnose(["weak_smell"])
    skip = set()
    while (question := next_question(verdict, skip)) and question.id != "strip":
        skip |= set(question.options)
    assert question.id == "strip"
    assert question.answers(["sour_strip"]) == (("sour_strip",), ())
    assert question.answers([]) == ((), question.options)
    for wrong in (["frozen"], ["sour_strip", "high_strip"]):
        with pytest.raises(KeyError):
            question.answers(wrong)


def test_a_sign_that_parts_two_even_causes_for_sure_is_worth_one_bit():
    chances = np.array([[1.0, 1e-12], [1e-12, 1.0]])
    assert _gain(chances, np.array([0.5, 0.5])) == pytest.approx(1.0, rel=1e-3)


def test_a_sign_as_common_under_every_cause_is_worth_nothing():
    chances = np.array([[0.3, 0.3], [0.7, 0.7]])
    assert _gain(chances, np.array([0.2, 0.8])) == pytest.approx(0, abs=1e-12)


def test_white_fluff_is_first_asked_what_it_smells_of():
    question = next_question(diagnose(["white_bloom"]))
    assert question.id == "smell"
    assert question.several
    assert {"sour_smell", "rotten_smell"} < set(question.options)
    seen, absent = question.answers(["sour_smell", "vinegar_smell"])
    assert seen == ("sour_smell", "vinegar_smell")
    assert "rotten_smell" in absent
    assert diagnose(["white_bloom", *seen], absent).first.cause == "nothing_wrong"


def test_no_sign_is_asked_in_two_questions_at_once():
    from sourloam.triage.questions import _open

    verdict, beliefs = diagnose(["white_bloom"]), judged("vessel")
    asked = [option for q in _open(verdict, beliefs, ()) for option in q.options]
    assert len(asked) == len(set(asked)) > 40


def test_a_list_of_signs_tells_at_least_what_its_best_sign_tells_alone():
    from sourloam.triage.questions import _joint, _one_of

    beliefs = judged("vessel")
    now = beliefs.usual("new")
    smells = tuple(s for s in beliefs.signs if SIGNS[s].group == "smell")
    together = _gain(_joint(smells, beliefs), now)
    assert together > max(_gain(_one_of((s,), beliefs), now) for s in smells)
    assert np.allclose(_joint(smells, beliefs).sum(axis=0), 1)


@pytest.mark.parametrize("stage", ["vessel", "ground"])
def test_signs_asked_outright_are_of_the_stage_and_need_no_telling(stage):
    found = asked_outright(stage)
    assert {(sign.stage, sign.effort == "told") for sign in found} == {(stage, False)}
    places = [GROUPS.index(sign.group) for sign in found]
    assert places == sorted(places)


def test_one_way_to_find_out_is_told_where_it_serves_every_answer():
    by_how = {}
    for sign in SIGNS.values():
        by_how.setdefault(sign.how, []).append(sign.id)
    how, alike = max(by_how.items(), key=lambda pair: len(pair[1]))
    other = next(ids[0] for told, ids in by_how.items() if told != how)
    assert _shared(tuple(alike)) == how
    assert _shared((alike[0], other)) == ""
