"""Readings beside the model, scores, tables, figures."""

import dataclasses
import json

import numpy as np
import pytest

from sourloam.validation import (
    Reading,
    trials,
    validate,
    validation_charts,
    validation_table,
    with_tables,
)
from sourloam.validation.scores import score_of


@pytest.fixture(scope="module")
def found():
    return validate(60, 3)


def reading(**changes):
    base = Reading("t", "a", "kept", "ph", "pH", "is", 7.0, 4.2, None, 4.0, 4.1, 4.3)
    return dataclasses.replace(base, **changes)


def test_a_value_agrees_inside_the_band_only():
    assert reading().agrees
    assert not reading(measured=4.31).agrees
    assert not reading(measured=3.99).agrees
    assert reading().error == pytest.approx(-0.1)


def test_a_bound_agrees_where_the_median_keeps_it():
    assert reading(relation="below", measured=4.2).agrees
    assert not reading(relation="below", measured=4.05).agrees
    assert reading(relation="above", measured=4.0).agrees
    assert not reading(relation="above", measured=4.2).agrees


def test_scores_count_what_they_say(found):
    kept = [r for a in found.arms for r in a.readings if r.role == "kept" and not a.arm.void]
    ph = [r for r in kept if r.quantity == "ph" and r.relation == "is"]
    score = found.score("kept")
    assert score.ph_readings == len(ph)
    assert score.ph_rmse == pytest.approx(np.sqrt(np.mean([r.error**2 for r in ph])))
    assert score.ph_inside == pytest.approx(np.mean([r.low <= r.measured <= r.high for r in ph]))
    assert score.values + score.bounds == len(kept)
    assert score.ph_width == pytest.approx(np.median([r.high - r.low for r in ph]))
    trial_rmse = [
        np.sqrt(np.mean([r.error**2 for r in ph if r.trial == name]))
        for name in {r.trial for r in ph}
    ]
    assert score.ph_rmse_by_publication == pytest.approx(np.sqrt(np.mean(np.square(trial_rmse))))
    last = {(r.trial, r.arm): r for r in sorted(ph, key=lambda r: r.day)}
    by_arm = np.sqrt(np.mean([r.error**2 for r in last.values()]))
    assert score.ph_rmse_last == pytest.approx(by_arm)
    assert score.trials == sum(trial.role == "kept" for trial in trials())


def test_every_reading_of_every_file_is_compared(found):
    written = sum(len(s.days) for t in trials() for arm in t.arm for s in arm.series)
    assert sum(len(result.readings) for result in found.arms) == written
    assert all(np.isfinite(r.median) for result in found.arms for r in result.readings)


def test_quantities_are_scored_each_by_its_own_readings(found):
    bacteria = [r for a in found.arms for r in a.readings if r.quantity == "lactic_bacteria"]
    kept = [r for r in bacteria if r.role == "kept"]
    score = next(q for q in found.score("kept").quantities if q.quantity == "lactic_bacteria")
    assert score.readings == len(kept) == 16
    assert score.inside == pytest.approx(np.mean([r.agrees for r in kept]))
    assert score.middle == pytest.approx(np.median([r.error for r in kept]))


def test_lucerne_is_read_whole():
    # Scientific Reports 10:17782, Tables 2 and 3: every non-zero butyric reading and each count.
    lucerne = next(t for t in trials() if t.id == "lucerne")
    butyric = [s for arm in lucerne.arm for s in arm.series if s.quantity == "butyric"]
    assert [s.values for s in butyric if s.relation == "is"] == [
        [1.86, 3.05, 4.10, 6.67],
        [0.12, 0.63, 0.85],
    ]
    counts = [s.values for a in lucerne.arm for s in a.series if s.quantity == "lactic_bacteria"]
    assert [len(values) for values in counts] == [4, 4, 4, 4]
    assert counts[0][-1] == 7.90


def test_an_empty_set_has_no_score():
    score = score_of("kept", ())
    assert np.isnan(score.ph_rmse)
    assert score.values == 0


def test_the_same_seed_says_the_same_and_another_differs(found):
    again = validate(60, 3)
    other = validate(60, 4)
    medians = [[r.median for result in v.arms for r in result.readings] for v in (found, again)]
    assert medians[0] == medians[1]
    assert medians[0] != [r.median for result in other.arms for r in result.readings]


def test_members_below_one_are_refused():
    with pytest.raises(ValueError, match="members: 0"):
        validate(0)


def test_json_holds_numbers_only(found):
    text = json.dumps(found.as_dict(), allow_nan=False)
    assert json.loads(text)["members"] == 60


def test_the_table_shows_misses_in_plain_sight(found):
    table = validation_table(found)
    misses = sum(not r.agrees and not r.void for result in found.arms for r in result.readings)
    assert misses > 0
    void = sum(r.void for result in found.arms for r in result.readings)
    assert table.count("| not scored |") == void > 0
    assert table.count("| **no** |") == misses
    for trial in trials():
        assert trial.citation in table


def test_tables_go_between_their_markers_and_nowhere_else():
    document = (
        "Before\n<!-- x begins: written by `sourloam validate`, do not edit by hand -->\nold\n"
        "<!-- x ends -->\nAfter\n"
    )
    renewed = with_tables(document, {"x": "new"})
    assert "old" not in renewed
    assert "new" in renewed
    assert renewed.startswith("Before\n")
    assert renewed.endswith("After\n")
    assert with_tables(renewed, {"x": "new"}) == renewed


def test_a_document_without_the_markers_is_refused():
    with pytest.raises(ValueError, match="x begins"):
        with_tables("nothing here", {"x": "new"})


def test_a_figure_is_written_with_every_reading(tmp_path):
    one = [trial for trial in trials() if trial.id == "kitchen_waste"]
    (path,) = validation_charts(validate(20, 1, one), tmp_path)
    text = path.read_text(encoding="utf-8")
    assert path.name == "validation-kitchen-waste.svg"
    assert text.startswith("<svg")
    assert text.count('aria-roledescription="point"') == 3
