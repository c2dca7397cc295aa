"""The invented programme in a store: its facts follow from its entries, its keeper runs it."""

import datetime as dt
from itertools import islice
from unittest.mock import patch

import pytest

from sourloam.demo.town import town
from sourloam.logbook import programmes
from sourloam.logbook.demo.town import load_town, plan_tomorrow
from sourloam.logbook.models import (
    Entry,
    Membership,
    Place,
    PlaceSummary,
    Programme,
    ProgrammeEntry,
    ProgrammePlace,
)
from sourloam.logbook.people import make_first_keeper
from sourloam.programme import drawn, figures


@pytest.fixture
def loaded(db):
    return load_town(dt.date.today(), 4, lambda _said, _share: None)


def test_the_programme_waits_for_its_first_keeper_and_can_be_run(loaded):
    assert loaded > 100
    programme = Programme.objects.get()
    for place in Place.objects.all():
        programmes.refresh(place)
    assert PlaceSummary.objects.count() == 4
    facts = programmes.facts_in(programme)
    assert sum(one.kg for one in facts) > 20
    plan_tomorrow()
    _day, planned = programmes.next_round(programme)
    waiting = [one for one in facts if one.standing_full]
    assert {stop.call.id for stop in planned.stops} >= {one.id for one in waiting}
    person = make_first_keeper("Ana", "a short sentence here")
    assert programme.members.get().person == person
    assert not Membership.objects.exists()
    rows = programmes.entries(programme)
    found = figures(facts, programmes.deeds(rows), programmes.today(programme), drawn())
    assert found.trainings == 12
    assert found.trained > 30
    assert not any(one.fetched for one in facts)


def test_what_a_round_fetched_had_stood_full_there_and_is_logged_as_gone(db):
    today = dt.date(2026, 11, 30)
    flats = list(islice((one for one in town(today, 12) if len(one.handed) > 1), 1))
    with patch("sourloam.demo.town.town", lambda _today, _places: iter(flats)):
        load_town(today, 1, lambda _said, _share: None)
    rows = ProgrammeEntry.objects.filter(kind="fetched")
    assert rows.count() > 1
    joined = dict(ProgrammePlace.objects.values_list("place_id", "joined"))
    for row in rows:
        assert row.day >= joined[row.place_id]
        gone = Entry.objects.filter(
            place_id=row.place_id,
            kind="emptied",
            at__date__gte=row.day,
            at__date__lt=row.day + dt.timedelta(days=7),
        )
        assert gone.exists()
