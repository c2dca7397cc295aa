"""Files of published trials."""

import re

import numpy as np
import pytest

from sourloam.evidence import EvidenceError
from sourloam.scraps.batch import MASSES
from sourloam.validation.closed_layer import draw_inputs, layer_batch
from sourloam.validation.trial import read_trial, trials

GOOD = """
name = "Something"
citation = "Someone (2000) Somewhere"
doi = ""
seen_at = "an abstract"
role = "kept"
role_reason = "invented for this test"
kind = "vegetables"
cut = "chopped"
published = "nothing"
spread_is = "not stated"
[inputs]
"""
for _name, _value, _unit in (
    ("dry_matter", 200, "g/kg fresh"),
    ("sugars", 100, "g/kg dry"),
    ("starch", 100, "g/kg dry"),
    ("protein", 100, "g/kg dry"),
    ("fat", 50, "g/kg dry"),
    ("ash", 50, "g/kg dry"),
    ("buffering", 100, "meq/(kg dry pH)"),
    ("start_ph", 6, "pH"),
    ("lactic_bacteria", 5, "log10 cfu/g"),
    ("enterobacteria", 4, "log10 cfu/g"),
    ("temperature", 20, "°C"),
):
    GOOD += (
        f'{_name} = {{ value = {_value}, low = {_value}, high = {_value}, unit = "{_unit}", '
        'standing = "our judgement", why = "invented" }\n'
    )
GOOD += """
[[arm]]
name = "one"
[[arm.series]]
quantity = "ph"
unit = "pH"
days = [1, 2]
values = [5.0, 4.0]
"""


def every_arm():
    return [(trial, arm) for trial in trials() for arm in trial.arm]


def test_there_are_at_least_six_kept_publications_and_some_chosen_with():
    roles = [trial.role for trial in trials()]
    assert roles.count("kept") >= 6
    assert roles.count("chosen with") >= 3


@pytest.mark.parametrize("trial", trials(), ids=lambda t: t.id)
def test_each_trial_says_where_it_was_read_and_each_assumption_why(trial):
    assert trial.citation
    assert trial.seen_at
    for arm in trial.arm:
        for name, given in trial.inputs_of(arm).items():
            assert given.why, name
            assert given.low <= given.value <= given.high, name


@pytest.mark.parametrize(("trial", "arm"), every_arm(), ids=lambda x: getattr(x, "name", ""))
def test_a_layer_weighs_one_kg_and_holds_nothing_below_nought(trial, arm):
    drawn = draw_inputs(trial, arm, 200, np.random.default_rng(3))
    batch = layer_batch(trial.inputs_of(arm), drawn)
    assert batch.fresh_kg == pytest.approx(np.ones(200), abs=1e-12)
    assert (batch.amounts[:, : len(MASSES)] >= -1e-12).all()
    assert (batch["water"] > 0).all()
    assert batch.ph == pytest.approx(drawn["start_ph"], rel=1e-12)


def test_amounts_are_those_of_the_file():
    trial = read_trial("good", GOOD)
    drawn = draw_inputs(trial, trial.arm[0], 1, np.random.default_rng(1))
    batch = layer_batch(trial.inputs_of(trial.arm[0]), drawn)
    assert batch["water"][0] == pytest.approx(0.8)
    assert batch["sugars"][0] == pytest.approx(0.02)
    assert batch["fibre"][0] == pytest.approx(0.12)
    assert batch["buffer"][0] == pytest.approx(0.02)
    assert batch["lactic_cfu"][0] == pytest.approx(1e8)


def test_added_sugar_dilutes_everything_else():
    sweet = GOOD.replace(
        "[inputs]\n",
        '[inputs]\nadded_sugar = { value = 50, low = 50, high = 50, unit = "g/kg fresh", '
        'standing = "our judgement", why = "invented" }\n',
    )
    trial = read_trial("sweet", sweet)
    drawn = draw_inputs(trial, trial.arm[0], 1, np.random.default_rng(1))
    batch = layer_batch(trial.inputs_of(trial.arm[0]), drawn)
    assert batch["sugars"][0] == pytest.approx(0.02 * 0.95 + 0.05)
    assert batch["buffer"][0] == pytest.approx(0.02 * 0.95)
    assert batch.fresh_kg[0] == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('role = "kept"', 'role = "fitted"', "role"),
        ("values = [5.0, 4.0]", "values = [5.0]", "as many values as days"),
        ("days = [1, 2]", "days = [2, 1]", "days must rise"),
        ("temperature = {", "warmth = {", "lacks temperature"),
        ('cut = "chopped"', 'cut = "torn"', "cut"),
    ],
)
def test_a_slip_in_a_file_is_named_with_its_place(old, new, said):
    with pytest.raises(EvidenceError, match=re.escape("trials/good.toml")) as error:
        read_trial("good", GOOD.replace(old, new))
    assert said in str(error.value)
    assert "\n" not in str(error.value)
