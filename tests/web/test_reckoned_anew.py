"""A vessel's page says when entries came since its forecast, and looks again by itself."""

import datetime as dt

import pytest
from django.urls import reverse

ANEW = "Entries came since; this is being reckoned anew."


@pytest.fixture
def foreseen(home, as_):
    """The page of the blue pail, foreseen up to now."""
    from sourloam.logbook.models import Forecast, PlaceNow

    day = (dt.date.today() + dt.timedelta(days=9)).isoformat()
    summary = {"full_on": {"low": day, "median": day, "high": day}}
    Forecast.objects.create(place=home.place, vessel="blue", seq=1, summary=summary)
    now = PlaceNow.objects.get(place=home.place)
    PlaceNow.objects.filter(place=home.place).update(done_seq=now.wanted_seq)

    def page(vessel="blue"):
        return as_("keeper").get(reverse("web:vessel", args=[home.id, vessel])).content.decode()

    return page


def test_a_forecast_of_all_entries_is_final(foreseen):
    assert ANEW not in foreseen()
    assert "data-again" not in foreseen()


def test_an_entry_on_the_vessel_sets_it_back(home, foreseen):
    home.write("drained", {"vessel": "blue", "volume_ml": 90.0})
    assert ANEW in foreseen()
    assert "data-again" in foreseen()


def test_an_entry_on_the_place_sets_all_vessels_back(home, foreseen):
    home.write("measure_set", {"measure": "bowl", "name": "Bowlful", "volume_l": 2.0})
    assert ANEW in foreseen()


def test_an_entry_on_another_vessel_does_not(home, foreseen):
    home.write("fed", {"vessel": "green", "amount": {"mass_kg": 1.0}})
    assert ANEW not in foreseen()


def test_a_vessel_that_was_never_foreseen_is_looked_for_again(home, foreseen):
    home.write("fed", {"vessel": "tin", "amount": {"mass_kg": 1.0}})
    page = foreseen("tin")
    assert "The forecast is being made." in page
    assert "data-again" in page
