"""What a vessel's page tells of days and amounts to come."""

import datetime as dt
from types import SimpleNamespace

import pytest
from django.utils import translation

from sourloam.ledger.state import VesselState
from sourloam.web.vessel.forecast_part import _liquid_levels, charts, facts, how
from sourloam.web.vessel.foresight import Foresight

TODAY = dt.date(2026, 11, 25)
SEEN = Foresight(
    {
        "finished_on": {"low": "2026-12-01", "median": "2026-12-04", "high": "2026-12-09"},
        "next_drain_on": dict.fromkeys(("low", "median", "high"), "2026-11-27"),
        "next_drain_ml": {"low": 80.0, "median": 120.0, "high": 170.0},
        "liquid_ml": {
            "days": ["2026-11-25", "2026-11-26"],
            **{"low": [10.0, 8.0], "median": [20.0, 18.0], "high": [30.0, 28.0]},
        },
    }
)


def told(stage):
    return [fact["of"] for fact in facts(SEEN, "metric", TODAY, stage)]


def test_a_vessel_at_work_is_told_its_next_draining():
    for stage in ("filling", "resting"):
        assert told(stage) == ["Newest layer sour and steady", "Next draining", "Liquid then"]


def test_a_day_that_has_passed_is_told_as_past():
    later = TODAY + dt.timedelta(days=90)
    assert facts(SEEN, "metric", later)[0]["of"] == "Newest layer sour and steady since about"


def test_the_unit_of_liquid_stands_in_its_title_and_the_axis_keeps_its_figure_whole():
    (chart,) = charts(VesselState("pail"), SEEN, TODAY, "us")
    assert "Liquid let go each day, in US fl oz" in chart
    assert "0.68" not in chart.split("</h3>")[0]
    assert "…" not in chart


@pytest.mark.parametrize(
    ("most", "units", "figures"),
    [
        (1.7, "metric", ["0", "0.5", "1", "1.5"]),
        (28.0, "metric", ["0", "10", "20"]),
        (240.0, "metric", ["0", "100", "200"]),
        (240.0, "us", ["0", "5"]),
        (0.0, "metric", ["0"]),
    ],
)
def test_the_axis_of_liquid_has_round_figures_at_their_height(most, units, figures):
    unit, levels = _liquid_levels(most, units)
    assert unit == ("mL" if units == "metric" else "US fl oz")
    assert [said for _ml, said in levels] == figures
    assert all(ml <= most for ml, _said in levels)
    if units == "metric":
        assert [ml for ml, _said in levels] == pytest.approx([float(said) for said in figures])


def test_what_the_line_and_the_rings_are_stands_above_the_chart():
    days = [f"2026-11-{day}" for day in (20, 25, 30)]
    rows = {"low": [3.9, 3.8, 3.7], "median": [4.4, 4.1, 4.0], "high": [5.0, 4.7, 4.4]}
    read = SimpleNamespace(day=TODAY, body=SimpleNamespace(ph=4.5, of="solid"))
    turn = SimpleNamespace(phs=[read], marks=(), set_aside=TODAY, layers=())
    seen = Foresight({"ph_newest": {"days": days, **rows}})
    (chart,) = charts(SimpleNamespace(turn=turn), seen, TODAY, "metric")
    assert "below pH 4.6 spoilage is held back" in chart
    assert "read from a strip" in chart


def test_a_day_set_by_rule_is_told_without_a_range():
    ranges = {fact["of"]: fact["range"] for fact in facts(SEEN, "metric", TODAY, "filling")}
    assert ranges["Next draining"] == ""
    assert " – " in ranges["Newest layer sour and steady"]


def test_the_chance_of_failing_is_told_with_its_range():
    chance = {"low": 0.004, "median": 0.034, "high": 0.12}
    seen = Foresight(SEEN.raw | {"chance_of_failing": 0.034, "chance_of_failing_range": chance})
    told = facts(seen, "metric", TODAY, "filling")[-1]
    assert (told["middle"], told["range"]) == ("3\u00a0%", "less than 1 % – 12\u00a0%")


def test_a_range_stands_in_the_unit_of_its_middle():
    seen = Foresight({"next_drain_ml": {"low": 0.0, "median": 53.0, "high": 1100.0}})
    (told,) = facts(seen, "metric", TODAY, "filling")
    assert (told["middle"], told["range"]) == ("53 mL", "0 – 1100 mL")


def test_bran_is_foreseen_until_the_vessel_is_full_and_no_longer():
    full = {"low": "2026-12-02", "median": "2026-12-05", "high": "2026-12-11"}
    bran = {"low": 0.08, "median": 0.11, "high": 0.17}
    seen = Foresight(SEEN.raw | {"full_on": full, "bran_left_kg": bran})

    def bran_told(today, stage, *times):
        told = facts(seen, "metric", today, stage, *times)
        return [f for f in told if f["of"] == "Bran until full"]

    assert [(f["middle"], f["range"]) for f in bran_told(TODAY, "filling")] == [
        ("110 g", "80 – 170 g")
    ]
    (weak,) = bran_told(TODAY, "filling", 2.0)
    assert (weak["middle"], weak["range"]) == ("220 g", "160 – 340 g"), "a lot that asks for more"
    (told,) = bran_told(TODAY, "filling", 2.0, 0.035)
    assert told["range"] == "160 – 340 g · in store: 35 g"
    assert bran_told(TODAY, "filling", 2.0, 0.3) == [weak], "as much as is asked for"
    assert not bran_told(TODAY, "failed")
    assert not bran_told(TODAY + dt.timedelta(days=30), "filling")


def test_a_failed_vessel_is_told_no_next_draining():
    assert told("failed") == ["Newest layer sour and steady"]


def test_the_chart_of_liquid_says_that_it_is_what_is_let_go_each_day():
    (chart,) = charts(VesselState("pail"), SEEN, TODAY, "metric")
    assert "Liquid let go each day" in chart
    with translation.override("es"):
        (chart,) = charts(VesselState("pail"), SEEN, TODAY, "metric")
    assert "Líquido que suelta cada día" in chart


def test_one_that_fills_too_slowly_is_told_when_it_is_reckoned_as_closed():
    far = {"low": "2027-02-02", "median": None, "high": None}
    slow = Foresight({"began": "2026-11-01", "full_on": far})
    assert any("closed on 13 December" in line for line in how(slow))
    soon = {"low": "2026-11-28", "median": "2026-12-01", "high": "2026-12-05"}
    assert not any("closed on" in line for line in how(Foresight(slow.raw | {"full_on": soon})))
    assert not any("closed on" in line for line in how(Foresight({"began": "2026-11-01"})))
    assert any("usual dose of bran" in line for line in how(slow)), "what it leaves out is told"
