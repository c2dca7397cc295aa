"""An answer says what to do, when to look again, where a loss goes, and where to stop."""

import datetime as dt
import json
import uuid

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from signs_described import DESCRIBED

from sourloam.ledger import parse_entry
from sourloam.triage import CAUSES, SIGNS, Context, answer_to, diagnose
from sourloam.triage.caution import cautions_for
from sourloam.triage.first_steps import ALWAYS, MEANWHILE
from sourloam.triage.remedies_vessel import SECOND_TRY
from sourloam.triage.remedy import remedy_for

VESSEL = sorted(s.id for s in SIGNS.values() if s.stage == "vessel")


def stops(answer):
    return {c.id for c in answer.cautions if c.stop}


def cautions(*seen, **context):
    return {c.id for c in cautions_for(diagnose(seen, context=Context(**context)))}


def tries_again(answer):
    return SECOND_TRY in [step.msgid for step in answer.now]


@pytest.mark.parametrize("cause", CAUSES)
def test_every_cause_has_a_remedy_with_its_numbers_filled_in(cause):
    remedy = remedy_for(cause)
    texts = [line.english for line in (*remedy.now, remedy.watch, remedy.next_time)]
    assert all(text and "%(" not in text for text in texts)
    assert 1 <= remedy.again_days <= 30
    assert remedy.now


@pytest.mark.parametrize("cause", CAUSES)
def test_every_answer_is_plain_json(cause):
    answer = answer_to(diagnose(*DESCRIBED[cause]))
    data = json.loads(json.dumps(answer.as_json()))
    assert data["cause"] == cause
    assert data["headline"] == CAUSES[cause].label
    assert data["likely"][1]["share"] < data["likely"][0]["share"]
    assert "judgement" in data["standing"]


@pytest.mark.parametrize(
    ("seen", "caution"),
    [
        ("lid_bulges", "gas"),
        ("cleaner_went_in", "cleaner"),
        ("green_mould", "spores"),
        ("rotten_smell", "foul"),
        ("foul_liquid", "liquid"),
        ("much_animal", "animal"),
        ("animals_dig", "rats"),
        ("soil_smells", "raw"),
        ("sour_smell", "hands"),
    ],
)
def test_a_hazard_brings_its_caution(seen, caution):
    assert caution in cautions(seen)
    if caution != "hands":
        assert caution not in cautions("white_bloom")


def test_gas_stops_the_conversation_before_the_lid_is_opened():
    assert stops(answer_to(diagnose(["lid_bulges"]))) == {"gas"}


@pytest.mark.parametrize(
    ("seen", "context"),
    [
        (["rotten_smell", "much_animal"], Context()),
        (["rotten_smell", "foul_liquid"], Context(animal_share=0.4)),
        (["rotten_smell", "green_mould", "mould_throughout"], Context()),
    ],
)
def test_rotten_meat_and_mould_through_and_through_get_no_second_try(seen, context):
    answer = answer_to(diagnose(seen, context=context))
    assert answer.stop
    assert not tries_again(answer)
    assert answer.lost


def test_a_rotten_plant_only_batch_may_be_tried_once_more():
    answer = answer_to(diagnose(["rotten_smell"], ["much_animal"]))
    assert tries_again(answer)
    assert not answer.stop


@settings(derandomize=True, max_examples=60, deadline=None)
@given(st.sets(st.sampled_from(VESSEL), max_size=6))
def test_what_smells_of_rot_never_goes_without_caution_and_a_way_out(seen):
    answer = answer_to(diagnose(seen | {"rotten_smell"}))
    assert "foul" in {c.id for c in answer.cautions}
    assert answer.verdict.well is False
    assert answer.lost


def test_a_lost_batch_of_a_school_goes_to_collection():
    answer = answer_to(diagnose(["rotten_smell"], context=Context(setting="programme")))
    assert "collection" in answer.lost[0].english


def test_a_lost_batch_with_meat_grows_no_food_this_season():
    answer = answer_to(diagnose(["rotten_smell", "much_animal"]))
    assert "no food crop there this season" in answer.lost[0].english


def test_depths_are_told_in_the_readers_units():
    line = answer_to(diagnose(["rotten_smell"])).lost[0]
    assert "30 cm" in line.english
    assert "12 in" in line.msgid % line.shown("us")


def test_nothing_wrong_needs_no_way_out():
    answer = answer_to(diagnose(*DESCRIBED["nothing_wrong"]))
    assert answer.verdict.well
    assert answer.lost == ()
    assert not answer.stop


@pytest.mark.parametrize("cause", ["air", "thin_cover"])
def test_the_answer_is_an_entry_that_the_ledger_takes(cause):
    answer = answer_to(diagnose(*DESCRIBED[cause]))
    now = dt.datetime(2026, 5, 4, 8, tzinfo=dt.UTC).isoformat()
    raw = {
        "id": str(uuid.uuid4()),
        "place": "alder",
        "kind": "rescued",
        "at": now,
        "written_at": now,
        "supersedes": None,
        "body": answer.entry_body(**{"vessel" if cause == "air" else "bed": "one"}),
    }
    entry = parse_entry(raw)
    assert entry.body.cause == cause
    assert set(entry.body.signs) == set(DESCRIBED[cause][0])


def test_every_sign_has_a_picture_of_its_own():
    assert len({sign.picture for sign in SIGNS.values()}) == len(SIGNS)
    assert all(sign.drawn and sign.label and sign.question for sign in SIGNS.values())


def test_where_one_must_touch_or_measure_it_says_how():
    for sign in SIGNS.values():
        if sign.effort in ("strip", "dig", "hand"):
            assert sign.how, sign.id


def test_a_likely_all_clear_is_said_kindly_but_not_as_sure():
    answer = answer_to(diagnose(["sour_smell"]))
    assert answer.verdict.cause is None
    assert answer.headline.startswith("Probably nothing wrong")
    assert "Bury nothing yet" in answer.now[0].english
    assert answer.question is not None


@pytest.mark.parametrize(
    ("sign", "step"),
    [
        ("tap_stuck", "clear the tap from outside"),
        ("flies", "Close it tight, outdoors, in the shade"),
        ("lid_bulges", "Let gas out slowly"),
        ("green_mould", "Lift small mouldy patches out"),
        ("leak", "Put a tray under it"),
        ("frozen", "tray under it while it thaws"),
        ("coloured_liquid", "The colour follows the food"),
        ("yellow_seedlings", "Sow again after"),
        ("animals_dig", "Heap soil on it"),
    ],
)
def test_a_sign_brings_the_step_it_asks_for_before_its_cause_is_known(sign, step):
    answer = answer_to(diagnose([sign]))
    assert any(step in line.english for line in answer.now)
    assert len(set(answer.now)) == len(answer.now)


@pytest.mark.parametrize("sign", ALWAYS)
@pytest.mark.parametrize("cause", ["standing_liquid", "cold", "nothing_wrong"])
def test_a_clogged_tap_is_cleared_and_gas_let_out_whatever_is_named(sign, cause):
    seen, absent = DESCRIBED[cause]
    answer = answer_to(diagnose({*seen, sign}, set(absent) - {sign}))
    assert {line.msgid for line in answer.now} >= set(ALWAYS[sign])


def test_maggots_in_rot_are_not_stirred_and_shut_in_at_once():
    """Steps of an open case do not stand beside those for rot, which contradict them."""
    now = {line.msgid for line in answer_to(diagnose(["rotten_smell", "flies"])).now}
    assert not now & set(MEANWHILE["flies"])


def test_nobody_reaches_into_mould_that_goes_through_and_through():
    answer = answer_to(diagnose(["green_mould", "mould_throughout"]))
    assert "mould_everywhere" in stops(answer)
    assert not {line.msgid for line in answer.now} & set(MEANWHILE["green_mould"])
    alone = answer_to(diagnose(["green_mould"]))
    assert {line.msgid for line in alone.now} >= set(MEANWHILE["green_mould"])


def test_first_steps_are_of_signs_that_exist():
    assert {*ALWAYS, *MEANWHILE} <= set(SIGNS)


def test_what_is_probably_well_is_not_told_where_a_loss_goes():
    assert answer_to(diagnose(["no_liquid", "sour_smell"])).lost == ()
    assert answer_to(diagnose(["flies"])).lost


def test_first_steps_come_before_any_answer_and_none_of_them_is_unsafe():
    asked = answer_to(diagnose(["flies"]))
    assert asked.question is not None
    assert any("outdoors" in step.english for step in asked.first)
    through = answer_to(diagnose(["green_mould", "mould_throughout"]))
    assert not any("Lift" in step.english for step in through.first)
    assert answer_to(diagnose(["sour_smell"])).first == ()


def test_yellow_seedlings_are_told_once_when_to_sow_again():
    told = " ".join(line.english for line in answer_to(diagnose(["yellow_seedlings"])).now)
    assert "Sow again after" in told
    assert "Until then" in told
    assert "plant nothing there" not in told
