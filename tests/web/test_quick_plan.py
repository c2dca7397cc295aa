"""A quick answer keeps what did not move, and agrees with a full plan of the same members."""

import json
import re
import tomllib
from dataclasses import replace
from importlib import resources
from types import SimpleNamespace

import numpy as np
import pytest

from sourloam.planning.case import foresee
from sourloam.planning.work import carry_out
from sourloam.site import Site
from sourloam.web.setup import quick_plan as q
from sourloam.web.setup.answer import answer
from sourloam.web.setup.sliders import wish_fields
from sourloam.web.setup.wishes import Wishes, document, wishes_of


def forget():
    for kept in (q._waits, q._vessels):
        kept._found.clear()
    q._answered.cache_clear()


@pytest.fixture(autouse=True)
def nothing_kept():
    forget()


def made(**wishes):
    return document(replace(Wishes(name="Mill House"), **wishes))


def test_what_is_kept_from_another_answer_changes_nothing():
    fresh = q.quick_plan(made(people=5, area_m2=3))
    forget()
    q.quick_plan(made(people=2))
    q.quick_plan(made(people=5, area_m2=20))
    again = q.quick_plan(made(people=5, area_m2=3))
    assert again.curve[0].chance == fresh.curve[0].chance
    assert again.needed == fresh.needed
    assert np.array_equal(again.filled[0].full_day, fresh.filled[0].full_day)
    assert np.array_equal(again.resting.rest_days, fresh.resting.rest_days)


def test_beds_and_risk_do_not_fill_vessels_anew(monkeypatch):
    q.quick_plan(made())
    monkeypatch.setattr(q, "fill", None)
    monkeypatch.setattr(q, "rest", None)
    assert q.quick_plan(made(area_m2=12)).needed
    assert q.quick_plan(made(risk=0.2)).needed
    with pytest.raises(TypeError):
        q.quick_plan(made(people=7))


def _taken(found):
    return np.median(found.burying.taken_share)


def demo_place(name):
    text = (resources.files("sourloam.demo") / "places" / f"{name}.toml").read_text("utf-8")
    return json.loads(json.dumps(tomllib.loads(text), default=str))


def test_sliders_that_nobody_moved_leave_every_demo_place_as_it_was_described():
    names = [p.name[:-5] for p in (resources.files("sourloam.demo") / "places").iterdir()]
    for name in names:
        base = demo_place(name)
        assert document(wishes_of(Site.model_validate(base)), base) == base, name
    assert len(names) >= 8


def test_beds_described_one_by_one_are_where_the_slider_for_beds_stands():
    base = demo_place("flat")
    base["ground"]["bed_area"] = "1 m²"
    assert wishes_of(Site.model_validate(base)).area_m2 == 12
    shown = {one["name"]: one for one in wish_fields(Wishes(area_m2=12), base, "metric")["sliders"]}
    assert shown["area_m2"]["min"] == "12", "they are there: the slider adds to them"


def test_set_up_names_the_beds_of_a_place_as_a_plan_does():
    said = answer(demo_place("flat"), "metric")
    assert said.sentence.startswith("You need 3 vessels: 19 L pail. You have 3.")
    share = int(re.search(r"Your 12 m² of beds take about (\d+)\s% of the ferment", said.ground)[1])
    assert share == pytest.approx(20, abs=4), "`sourloam plan` says 20 %, with 500 members"
    facts = {fact["of"]: fact for fact in said.facts}
    area = int(re.match(r"\d+", facts["Bed for a year of it"]["middle"])[0])
    assert area == pytest.approx(59, abs=6)
    assert any("Wall bed, Pumpkin bed, Salad bed" in line for line in said.how)


def test_no_year_of_few_is_not_called_never():
    said = answer(demo_place("flat"), "metric").sentence
    assert re.search(r"less than 4\s%", said), "`sourloam plan` finds 2 in 100"


def test_numbers_that_few_years_leave_open_are_told():
    def quick(*chances):
        curve = tuple(
            SimpleNamespace(number=n, chance=chance, low=low, high=high)
            for n, (low, chance, high) in enumerate(chances, 1)
        )
        case = SimpleNamespace(site=SimpleNamespace(place=SimpleNamespace(risk=0.05)))
        return SimpleNamespace(curve=curve, number=2, case=case)

    span = q.Quick.span.fget
    sure = quick((0.5, 0.7, 0.9), (0, 0, 0.04), (0, 0, 0.04))
    assert span(sure) == (2, 2)
    open_ = quick((0.04, 0.06, 0.1), (0.02, 0.03, 0.08), (0, 0, 0.04))
    assert span(open_) == (1, 3)


def test_outdoors_a_quick_answer_is_that_of_a_plan_of_as_many_years():
    base = demo_place("garden")
    quick = q.quick_plan(base)
    full = carry_out(foresee(Site.model_validate(base), 1, q.MEMBERS, q._SEED), lambda *_: None)
    counted = full.counted[quick.kind.vessel.name]
    assert quick.needed == counted.needed
    assert [odds.chance for odds in quick.curve] == [odds.chance for odds in counted.curve]
    assert _taken(quick) == _taken(full)
    base["room"] = {"kind": "indoors", "temperature": "19 °C"}
    assert len(q.quick_plan(base).filled) == 1


@pytest.mark.slow
def test_a_quick_answer_is_a_full_plans_within_a_vessel():
    for wishes in ({}, {"people": 6, "litres": 30}):
        site = Site.model_validate(made(**wishes))
        full = carry_out(foresee(site, 1, q.MEMBERS, q._SEED), lambda *_: None)
        quick = q.quick_plan(made(**wishes))
        assert abs(quick.needed - full.counted[quick.kind.vessel.name].needed) <= 1
        assert _taken(quick) == pytest.approx(_taken(full), abs=0.03)
        rests = [np.median(one.resting.rest_days) for one in (quick, full)]
        assert rests[0] == pytest.approx(rests[1], rel=0.05)
