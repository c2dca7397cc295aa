"""The ferment model against published ferments; the figures lie in src/.../validation/trials."""

from pathlib import Path

import pytest

from sourloam.validation import assumptions_table, validate, validation_table, with_tables

DOCUMENT = Path(__file__).parents[2] / "docs" / "validation.md"


@pytest.fixture(scope="module")
def found():
    return validate()


def readings(found, trial, arm, quantity):
    return [
        r
        for result in found.arms
        for r in result.readings
        if (r.trial, r.arm, r.quantity) == (trial, arm, quantity)
    ]


def test_the_published_comparison_is_what_the_model_says_today(found):
    # After a change of the model: sourloam validate --write docs/validation.md
    document = DOCUMENT.read_text(encoding="utf-8")
    tables = {"comparison": validation_table(found), "inputs": assumptions_table(found)}
    assert with_tables(document, tables) == document


# Tang et al. (2024), doi 10.1016/j.psep.2024.10.032: below 4.2 on day 3 and still on day 60.
def test_kitchen_waste_with_dry_meal_and_culture_is_sour_on_day_3_and_stays(found):
    assert all(r.agrees for r in readings(found, "kitchen_waste", "culture", "ph"))


# Palkar et al. (2017), doi 10.20546/ijcmas.2017.612.444: 5 % molasses spoiled by day 12.
def test_fish_with_little_molasses_does_not_keep(found):
    assert readings(found, "fish_waste", "5 % molasses", "ph")[0].agrees


# Scientific Reports 10:17782 (2020): by day 56 pH 5.28 > 4.80 > 4.07 > 3.98.
def test_lucerne_needs_sugar_more_than_culture(found):
    arms = ("nothing added", "culture", "sucrose", "sucrose and culture")
    last = [readings(found, "lucerne", arm, "ph")[-1] for arm in arms]
    medians = [r.median for r in last]
    assert medians == sorted(medians, reverse=True)
    assert medians[1] - medians[2] > 0.5
    assert last[3].agrees


# Frontiers in Microbiology 12:655095 (2021), chosen with: pH on days 2 and 3. The model comes
# 0.2 to 0.35 pH behind, and says so in docs/validation.md.
def test_maize_is_below_4_5_on_day_2_and_behind_the_measured(found):
    for arm in ("nothing added", "first culture", "second culture"):
        late = [r for r in readings(found, "maize_72_hours", arm, "ph") if r.day >= 2]
        assert late[0].median < 4.5
        assert [0 < r.error < 0.4 for r in late] == [True, True]


# Moon (1979), doi 10.1111/j.1365-2621.1979.tb06462.x: below 4.55 within 12 days.
def test_inoculated_vegetable_waste_sours_within_12_days(found):
    assert readings(found, "vegetable_processing", "best conditions", "ph")[0].agrees


def test_the_ph_error_against_published_series_does_not_grow_unseen(found):
    # The aim was 0.35; docs/validation.md tells the miss: cool grass, and poor mixes rot too far.
    assert found.score("kept").ph_rmse < 0.49
    assert found.score("chosen with").ph_rmse < 0.45


def test_seven_to_nine_kept_readings_in_ten_lie_in_the_band(found):
    assert 0.70 <= found.score("kept").ph_inside <= 0.90
    assert 0.70 <= found.score("kept").inside <= 0.90
