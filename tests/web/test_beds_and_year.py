"""What may be planted when, and the vessels' year."""

import datetime as dt
from types import SimpleNamespace

import numpy as np
from django.urls import reverse

from sourloam.ledger.opening import Opening
from sourloam.web.ground.plantable import suits_from
from sourloam.web.place.season import spans
from sourloam.web.vessel.foresight import Foresight

YEAR = np.arange(730)
NORTH = Opening(  # warmest on 20 July, 11 °C in the mean, 8 °C up and down
    dt.date(2026, 1, 1),
    np.ones(730, dtype=bool),
    11 + 8 * np.cos(2 * np.pi * (YEAR - 200) / 365),
)


def test_peas_wait_for_warm_soil_and_beans_longer():
    today = dt.date(2026, 1, 10)
    pea, bean = (suits_from(NORTH, crop, today) for crop in ("pea", "bean"))
    assert pea < bean
    assert bean == dt.date(2026, 5, 29), "16 °C is reached 52 days before the warmest day"


def test_a_mild_november_is_no_spring():
    november = dt.date(2026, 11, 10)
    assert NORTH.soil_c[(november - NORTH.first).days] > 4
    assert suits_from(NORTH, "beetroot", november).month in (2, 3, 4)


def test_too_cold_a_place_grows_no_melon():
    cold = Opening(NORTH.first, NORTH.open, NORTH.soil_c - 6)
    assert suits_from(cold, "muskmelon", dt.date(2026, 3, 1)) is None


def test_the_bed_page_says_when_the_trench_may_be_planted(home, as_):
    text = as_("reader").get(reverse("web:beds", args=[home.id])).content.decode()
    assert "What may be planted when" in text
    assert "on the trench of" in text


def record(day, **body):
    return SimpleNamespace(day=dt.date(2026, *day), body=SimpleNamespace(**body))


def turn(**more):
    kept = {"began": record((9, 1)), "set_aside": None, "ended": None, "judgements": ()}
    return SimpleNamespace(**(kept | more))


def year(foreseen=None, **more):
    vessel = SimpleNamespace(turns=(turn(**more),))
    return spans(vessel, foreseen, NORTH, dt.date(2026, 10, 1))


def test_a_vessel_fills_then_rests_then_is_ready_as_foreseen():
    seen = {
        "full_on": {"low": "2026-10-05", "median": "2026-10-09", "high": "2026-10-20"},
        "finished_on": {"low": "2026-10-25", "median": "2026-10-30", "high": "2026-11-20"},
    }
    found = year(Foresight(seen))
    assert [state for _a, _b, state in found] == ["filling", "resting", "ready"]
    assert [a for a, _b, _s in found[1:]] == [dt.date(2026, 10, 9), dt.date(2026, 10, 30)]


def test_closed_ground_holds_what_is_ready():
    shut = NORTH.open.copy()
    shut[320:400] = False
    closed = Opening(NORTH.first, shut, NORTH.soil_c)
    ready = (record((10, 20), verdict="sound"),)
    vessel = SimpleNamespace(turns=(turn(set_aside=record((9, 20)), judgements=ready),))
    states = [s for _a, _b, s in spans(vessel, None, closed, dt.date(2026, 11, 1))]
    assert states == ["filling", "resting", "ready", "held"]


def test_a_failed_vessel_is_failed_from_its_judgement_to_its_end():
    bad = (record((9, 25), verdict="failed"),)
    found = year(set_aside=record((9, 20)), judgements=bad, ended=record((9, 28)))
    assert found[-1] == (dt.date(2026, 9, 25), dt.date(2026, 9, 28), "failed")


def test_the_shelf_shows_the_year_of_its_vessels(home, as_):
    text = as_("reader").get(reverse("web:shelf", args=[home.id])).content.decode()
    assert "The vessels&#x27; year" in text or "The vessels' year" in text
    assert 'class="d-s-filling"' in text


def test_a_bare_bed_says_why_nothing_waits_and_from_when_the_soil_lets_seed_in():
    from sourloam.web.ground.plantable import by_warmth, season_said

    autumn, summer = (
        SimpleNamespace(ground=NORTH, today=dt.date(2026, *day)) for day in ((11, 30), (6, 20))
    )
    first = by_warmth(autumn)[0]
    told = first["when"].removeprefix("from ")
    assert season_said(autumn) == (
        f"The soil is too cold to sow until about {told}; then {first['what']}."
    )
    assert season_said(summer).startswith("The soil is warm enough now for ")
    assert season_said(SimpleNamespace(ground=None, today=autumn.today)) == ""


def test_trenches_of_one_day_stand_on_one_line_and_the_drawing_is_explained(home, as_):
    trench = {"depth_m": 0.3, "width_m": 0.3, "length_m": 1.0, "cover_m": 0.2, "along_m": 2.0}
    home.write("buried", {"vessel": "tin", "bed": "wall", **trench}, 3)
    text = as_("reader").get(reverse("web:beds", args=[home.id])).content.decode()
    assert text.count("on the 2 trenches of") == 1
    assert "trench still at work: no seed, no roots" in text
    assert "in 1 ferment is at work" in text
    assert "older trench" not in text, "only what is drawn is explained"


def test_the_last_month_stands_before_the_edge_where_it_has_no_room():
    from sourloam.drawing import SeasonPicture, Strip, draw_season

    strips = (Strip("Blue pail", ((0.0, 90.0, "filling"),)),)
    svg = draw_season(SeasonPicture(100.0, strips, ((10.0, "Jul"), (99.0, "March")), "The year"))
    assert 'text-anchor="end">March<' in svg
    assert 'text-anchor="end">Jul<' not in svg
