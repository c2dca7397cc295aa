"""The demo's places and their programme in a store: one keeper for both."""

import datetime as dt
from unittest.mock import patch

import pytest

from sourloam import demo
from sourloam.demo import Season
from sourloam.logbook import programmes
from sourloam.logbook.demo.ids import ROW
from sourloam.logbook.demo.season import load_season
from sourloam.logbook.models import Membership, Place, Programme, ProgrammePlace
from sourloam.logbook.people import make_first_keeper


@pytest.fixture(scope="module")
def month():
    """Four weeks of the season: quick to make."""
    return demo.season(dt.date.today(), days=28)


@pytest.fixture
def loaded(db, month: Season) -> Programme:
    with patch("sourloam.demo.season", lambda _today, _seed: month):
        assert load_season(None, dt.date.today()) > 100
    return Programme.objects.get()


def test_whoever_keeps_the_house_keeps_the_places_and_coordinates_the_programme(loaded):
    person = make_first_keeper("Ana", "a short sentence here")
    assert loaded.pk == ROW
    assert [member.role for member in loaded.members.filter(person=person)] == ["coordinator"]
    held = Membership.objects.filter(person=person, role="coordinator")
    assert held.count() == Place.objects.count() == 8
    assert ProgrammePlace.objects.filter(programme=loaded).count() == 8


def test_its_morning_is_there_before_a_forecast_is(loaded):
    found, facts = programmes.morning_of(loaded)
    assert found.places == len(facts) == 8
    assert sum(one.kg for one in facts) > 50
    assert programmes.entries(loaded)


def test_the_round_of_next_week_fetches_all_that_stands_full(loaded):
    day, planned = programmes.next_round(loaded)
    assert 2 <= (day - dt.date.today()).days <= 8
    _morning, facts = programmes.morning_of(loaded)
    waiting = {one.id for one in facts if one.standing_full}
    left_out = {call.id for call, _why in planned.left_out}
    assert waiting <= {stop.call.id for stop in planned.stops} | left_out


def test_a_season_loaded_for_somebody_is_theirs(db, month):
    person = make_first_keeper("Ana", "a short sentence here")
    with patch("sourloam.demo.season", lambda _today, _seed: month):
        load_season(person, dt.date.today())
    assert Programme.objects.get().members.get().person == person
