"""The tables on forecasts and rescues: made by running, and honest about a miss."""

import datetime as dt

import pytest

from sourloam.cli.trouble import Refusal
from sourloam.cli.validate_learning import cost, forecasts, rescues
from sourloam.demo.habits import PLACES, read_site
from sourloam.forecast import kitchen
from sourloam.forecast.scoring import Score
from sourloam.validation.forecasts import Cost, Invented, Season, forecast_table, prove_invented
from sourloam.validation.rescues import rescue_table


def quiet(_stage, _share):
    pass


def table(held, trials=500, ours=2.0):
    names = ("full_day", "finish_day", "liquid_week_ml", "level_in_a_week", "ph_newest_layer")
    scores = tuple(Score(name, trials, held, 0.5, (50,) * 10, 1.0) for name in names)
    one = Invented(scores, ours, 5.0, 8.0, 20, 400, 1)
    return forecast_table(one, Season(60, 1.5, 3.0, 4.0, 2.0, 0.85), [Cost(500, 1, 50.0)])


def test_a_share_outside_the_goal_is_called_missed_and_one_inside_met():
    assert table(0.75).count("**missed**") == 5
    assert table(0.80).count("| met |") == 5
    assert "**missed**" not in table(0.80)


def test_vessels_that_fail_are_counted_by_the_chance_that_was_stated():
    names = ("full_day",)
    scores = tuple(Score(name, 4, 0.8, 0.5, (50,) * 10, 1.0) for name in names)
    chances = ((0.01, False), (0.05, False), (0.2, True), (0.9, True))
    one = Invented(scores, 2.0, 5.0, 8.0, 20, 400, 1, chances)
    text = forecast_table(one, Season(60, 1.5, 3.0, 4.0, 2.0, 0.85), [])
    assert "2 of 4 failed, 1.2 were foreseen" in text
    assert (
        "Brier score (0 best) 0.1632; stating the share that failed for each would give 0.2500"
        in text
    )
    assert "| 30-100 % | 1 | 1 | 0.9 |" in text


def test_the_best_naive_forecast_is_the_one_to_beat():
    assert "| **below the best naive forecast** | **60%** | **25%** |" in table(0.8)


def test_invented_vessels_are_foreseen_and_most_ranges_hold():
    site, _ = read_site(PLACES[0])
    place, shape = kitchen(site, dt.date(2025, 9, 1), 500), site.to_vessels()[0]
    found = prove_invented(place, shape, 40, 120, 5, quiet)
    assert found.not_scored < 15
    assert all(score.trials == 40 - found.not_scored for score in found.scores)
    # Forty vessels: within four standard errors of 80 %.
    assert all(score.held > 0.54 for score in found.scores)
    assert found.ours < found.so_far < found.last_rate
    assert len(found.chances) == 40 - found.not_scored
    assert cost(place, shape, 50, 2).ms > cost(place, shape, 50, 1).ms > 0


@pytest.mark.slow
def test_verdicts_on_few_cases_halve_the_brier_score():
    rows = [row.split("|") for row in rescue_table(60, 2, quiet).splitlines()[2:8]]
    assert [row[1].strip() for row in rows] == ["vessel"] * 3 + ["ground"] * 3
    assert all(float(row[4]) < 0.7 * float(row[3]) for row in rows)


def test_a_document_without_a_place_for_the_table_is_refused_before_any_work(tmp_path):
    page = tmp_path / "page.md"
    page.write_text("nothing")
    with pytest.raises(Refusal, match="forecasts begins"):
        forecasts(page, 500, 400, 1)
    with pytest.raises(Refusal, match="rescues begins"):
        rescues(None, page, 1)
