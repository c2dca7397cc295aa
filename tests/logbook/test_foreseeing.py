"""Forecasts wait as a mark in the database, are computed apart, and never in the way."""

import datetime as dt
import io

import pytest
from logbook_bodies import BODIES
from logbook_cast import fed, raw

from sourloam.logbook import foreseeing, renewing
from sourloam.logbook.models import Forecast, PlaceNow
from sourloam.logbook.recording import record_entry
from sourloam.programme import night

pytestmark = pytest.mark.django_db
NOON = dt.datetime(2026, 7, 10, 12, tzinfo=dt.UTC)


@pytest.fixture
def furnished(cast):
    def write(kind, body, day):
        when = (NOON - dt.timedelta(days=day)).isoformat()
        answer = record_entry(
            cast.coordinator, raw(cast.home.pk, kind, body, at=when, written_at=when)
        )
        assert answer.stored, answer.detail

    write("place_described", BODIES["place_described"], 30)
    for vessel in ("blue", "green"):
        write("vessel_added", {**BODIES["vessel_added"], "vessel": vessel}, 29)
        for day in range(20, 8, -2):
            write("fed", {"vessel": vessel, "amount": {"mass_kg": 0.8}}, day)
    cast.write = write
    return cast


def now_of(cast):
    return PlaceNow.objects.get(place=cast.home)


def test_what_waits_is_computed_once_and_then_waits_no_more(furnished):
    assert foreseeing.waiting(NOON) == [furnished.home.pk]
    assert renewing.renew(furnished.home.pk, NOON) == 2
    assert foreseeing.waiting(NOON) == []
    assert now_of(furnished).trouble == ""
    found = Forecast.objects.get(vessel="blue")
    assert found.seq == now_of(furnished).done_seq == furnished.home.entries.count()
    assert 0 <= found.summary["chance_of_failing"] <= 1
    assert found.summary["today"] == "2026-07-10"


def test_news_of_one_vessel_leaves_the_forecast_of_another_alone(furnished):
    renewing.renew(furnished.home.pk, NOON)
    green = Forecast.objects.get(vessel="green")
    furnished.write("fed", {"vessel": "blue", "amount": {"mass_kg": 0.8}}, 1)
    assert foreseeing.waiting(NOON) == [furnished.home.pk]
    assert renewing.renew(furnished.home.pk, NOON) == 1
    assert Forecast.objects.get(vessel="green").made_at == green.made_at
    assert Forecast.objects.get(vessel="blue").seq > green.seq


def test_a_new_day_makes_all_forecasts_anew(furnished):
    renewing.renew(furnished.home.pk, NOON)
    tomorrow = NOON + dt.timedelta(days=1)
    assert foreseeing.waiting(tomorrow) == [furnished.home.pk]
    assert renewing.renew(furnished.home.pk, tomorrow) == 2


def test_the_day_begins_where_the_place_is(furnished):
    furnished.home.zone = "Pacific/Auckland"
    furnished.home.save(update_fields=["zone"])
    morning = NOON - dt.timedelta(hours=3)  # still the 10th there
    renewing.renew(furnished.home.pk, morning)
    assert foreseeing.waiting(morning) == []
    assert foreseeing.waiting(NOON + dt.timedelta(minutes=1)) == [furnished.home.pk]


def test_an_emptied_vessel_has_no_forecast_any_more(furnished):
    renewing.renew(furnished.home.pk, NOON)
    furnished.write("set_aside", {"vessel": "blue"}, 5)
    furnished.write("emptied", {"vessel": "blue", "fate": "buried"}, 0)
    renewing.renew(furnished.home.pk, NOON)
    assert [f.vessel for f in Forecast.objects.all()] == ["green"]


def test_a_place_that_nobody_described_has_no_forecast_and_waits_no_more(cast):
    record_entry(cast.keeper, fed(cast.home.pk))
    assert renewing.renew(cast.home.pk, NOON) == 0
    assert foreseeing.waiting(NOON) == []


def test_a_fault_in_computing_is_kept_as_one_line_and_the_log_goes_on(furnished, monkeypatch):
    def fall(*_args):
        raise ValueError("no such day")

    monkeypatch.setattr(night, "forecast_with_past", fall)
    assert renewing.renew(furnished.home.pk, NOON) == 0
    assert now_of(furnished).trouble == "ValueError: no such day"
    assert not Forecast.objects.exists()
    assert record_entry(furnished.keeper, fed(furnished.home.pk)).status == 201


def test_a_stored_entry_wakes_the_process_and_a_dead_one_does_no_harm(cast):
    pipe = io.BytesIO()
    foreseeing.listen(pipe)
    record_entry(cast.keeper, fed(cast.home.pk))
    assert pipe.getvalue() == b"\n"
    pipe.close()
    assert record_entry(cast.keeper, fed(cast.home.pk)).status == 201
    foreseeing.listen(None)


def test_a_repeated_entry_wakes_nobody(cast):
    sent = fed(cast.home.pk)
    record_entry(cast.keeper, sent)
    pipe = io.BytesIO()
    foreseeing.listen(pipe)
    record_entry(cast.keeper, sent)
    foreseeing.listen(None)
    assert pipe.getvalue() == b""


def test_fewer_members_may_be_asked_for(furnished):
    assert renewing.renew(furnished.home.pk, NOON, members=120) == 2
    assert {one.summary["members"] for one in Forecast.objects.all()} == {120}
