"""A quick answer keeps what did not move, and agrees with a full plan of the same members."""

from dataclasses import replace

import numpy as np
import pytest

from sourloam.planning.case import foresee
from sourloam.planning.work import carry_out
from sourloam.site import Site
from sourloam.web.setup import quick_plan as q
from sourloam.web.setup.wishes import Wishes, document


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
    assert np.array_equal(again.filled.full_day, fresh.filled.full_day)
    assert np.array_equal(again.resting.rest_days, fresh.resting.rest_days)


def test_beds_and_risk_do_not_fill_vessels_anew(monkeypatch):
    q.quick_plan(made())
    monkeypatch.setattr(q, "fill", None)
    monkeypatch.setattr(q, "rest", None)
    assert q.quick_plan(made(area_m2=12)).needed
    assert q.quick_plan(made(risk=0.2)).needed
    with pytest.raises(TypeError):
        q.quick_plan(made(people=7))


@pytest.mark.slow
def test_a_quick_answer_is_a_full_plans_within_a_vessel():
    for wishes in ({}, {"people": 6, "litres": 30}):
        site = Site.model_validate(made(**wishes))
        full = carry_out(foresee(site, 1, q.MEMBERS, q._SEED), lambda *_: None)
        quick = q.quick_plan(made(**wishes))
        assert abs(quick.needed - full.counted[quick.kind.vessel.name].needed) <= 1
        rests = [np.median(one.resting.rest_days) for one in (quick, full)]
        assert rests[0] == pytest.approx(rests[1], rel=0.05)
