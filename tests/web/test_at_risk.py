"""A vessel likely to fail says so first; its chance is the same wherever it is told."""

import datetime as dt
from types import SimpleNamespace

from django.utils import translation

from sourloam.forecast.vessel import WHY_COLD, WHY_ILL
from sourloam.ledger.state import PlaceState, VesselState
from sourloam.web.forms import Asking, units_of
from sourloam.web.forms.vessel_work import emptied
from sourloam.web.vessel import foretold
from sourloam.web.vessel.at_risk import is_at_risk, remedy
from sourloam.web.vessel.forecast_part import facts
from sourloam.web.vessel.foresight import Foresight
from sourloam.web.vessel.page import headline

TODAY = dt.date(2026, 11, 25)


def seen(template=WHY_COLD, chance=1.0, warmth=6):
    note = template.format(percent=round(100 * chance), warmth=warmth)
    full = dict.fromkeys(("low", "median", "high"), "2027-01-04")
    return Foresight({"notes": [note], "chance_of_failing": chance, "full_on": full})


def test_the_headline_says_so_first():
    tub = VesselState("tub")
    assert headline(tub, "filling", seen(), TODAY) == f"{tub.name} is likely to fail"
    assert headline(tub, "filling", seen(chance=0.1), TODAY).endswith("full about 4 January")


def test_what_is_over_is_no_longer_likely():
    assert not is_at_risk("ready", seen())
    assert not is_at_risk("filling", None)


def test_a_cold_vessel_is_brought_where_it_is_warm():
    assert "It stands at about 6" in remedy(seen(), "metric")
    assert "43\u00a0°F" in remedy(seen(), "us").replace(" °F", "\u00a0°F")
    for other in (seen(WHY_ILL), seen(warmth=21)):
        assert "bring it" not in remedy(other, "metric")
    with translation.override("es"):
        assert "Está a unos 6" in remedy(seen(), "metric")


def test_one_page_tells_one_chance():
    (why,) = foretold.why(seen(), "metric")
    chance = facts(seen(), "metric", TODAY, "filling")[-1]["middle"]
    assert why.startswith("In 99 of 100 runs")
    assert chance.startswith("99")


def test_a_failed_vessel_has_no_chance_of_failing():
    assert "Chance of failing" in [one["of"] for one in facts(seen(), "metric", TODAY, "filling")]
    assert "Chance of failing" not in [
        one["of"] for one in facts(seen(), "metric", TODAY, "failed")
    ]


def test_the_day_of_being_sour_says_when_it_was_reckoned_as_closed():
    sour = {"low": "2026-12-31", "median": "2027-01-03", "high": "2027-01-07"}
    slow = Foresight(seen(chance=0.1).raw | {"began": "2026-10-20", "finished_on": sour})
    told = {one["of"]: one["range"] for one in facts(slow, "metric", TODAY, "filling")}
    assert "full or not" in told["Newest layer sour and steady"]
    quick = Foresight(slow.raw | {"began": "2026-12-20"})
    told = {one["of"]: one["range"] for one in facts(quick, "metric", TODAY, "filling")}
    assert "full or not" not in told["Newest layer sour and steady"]


def test_what_failed_goes_into_the_bin_first_and_burying_is_warned_of():
    def fate(stage):
        ask = Asking(PlaceState(), units_of("metric"), vessel=SimpleNamespace(stage=stage))
        return emptied(ask)[0]

    assert fate("failed").choices[0][0] == "thrown"
    assert len(fate("failed").choices) == len(fate("resting").choices)
    assert "near food" in fate("failed").hint
    assert fate("resting").hint == ""
