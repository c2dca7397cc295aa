"""A place's clock can be changed; what was written keeps its moment, its day is read anew."""

import datetime as dt

import pytest
from django.urls import reverse


def change(client, home, **form):
    asked = {"name": "Flat at 4 Alder Row", "zone": "Europe/Dublin", **form}
    return client.post(reverse("web:change_place", args=[home.id]), asked)


def test_a_coordinator_changes_name_and_clock(home, as_):
    client = as_("coordinator")
    assert change(client, home, name="Flat on the hill", zone="Pacific/Auckland").status_code == 302
    home.place.refresh_from_db()
    assert (home.place.name, home.place.zone) == ("Flat on the hill", "Pacific/Auckland")
    text = client.get(reverse("web:people", args=[home.id])).content.decode()
    assert "Flat on the hill" in text
    assert "Name and clock" in text


@pytest.mark.parametrize("role", ["keeper", "gardener", "reader"])
def test_nobody_else_does(home, as_, role):
    client = as_(role)
    assert change(client, home, zone="Pacific/Auckland").status_code == 403
    assert (
        "Name and clock" not in client.get(reverse("web:people", args=[home.id])).content.decode()
    )
    home.place.refresh_from_db()
    assert home.place.zone == "Europe/Dublin"


@pytest.mark.parametrize(
    "wrong", [{"zone": "Nowhere/At_all"}, {"zone": ""}, {"name": ""}, {"name": "x" * 81}]
)
def test_what_can_not_be_is_told_and_changes_nothing(home, as_, wrong):
    answer = change(as_("coordinator"), home, **wrong)
    assert answer.status_code == 422
    assert 'class="note"' in answer.content.decode()
    home.place.refresh_from_db()
    assert home.place.zone == "Europe/Dublin"


def test_the_log_is_told_by_the_new_clock_and_forecasts_are_made_anew(home, as_):
    from sourloam.logbook.models import PlaceNow

    at = dt.datetime(2025, 7, 3, 17, 30, tzinfo=dt.UTC).isoformat()
    home.write("noted", {"vessel": "blue", "note": "Moved."}, at=at, written_at=at)
    PlaceNow.objects.filter(place=home.place).update(done_for=dt.date.today())
    client, page = as_("coordinator"), reverse("web:vessel", args=[home.id, "blue"]) + "?log=all"
    assert "3 Jul 2025, 18:30" in client.get(page).content.decode()
    change(client, home, zone="Pacific/Auckland")
    assert "4 Jul 2025, 05:30" in client.get(page).content.decode()
    assert PlaceNow.objects.get(place=home.place).done_for is None


def test_forms_know_the_clock_of_the_place(home, as_):
    text = as_("keeper").get(reverse("web:vessel", args=[home.id, "blue"])).content.decode()
    assert 'data-zone="Europe/Dublin"' in text
    assert "By the clock of the place, Europe/Dublin." in text


def test_a_form_without_script_reads_the_time_by_the_clock_of_the_place(home, as_):
    form = {"vessel": "blue", "note": "x", "at": "2025-07-03T18:30"}
    as_("keeper").post(reverse("web:log", args=[home.id, "noted"]), form)
    newest = home.place.entries.order_by("-seq").first()
    assert newest.at == dt.datetime(2025, 7, 3, 17, 30, tzinfo=dt.UTC)


def test_a_clock_may_be_named_by_its_city(home, as_):
    assert change(as_("coordinator"), home, zone=" buenos aires ").status_code == 302
    home.place.refresh_from_db()
    assert home.place.zone == "America/Argentina/Buenos_Aires"


def test_clocks_are_offered_while_one_types_not_in_one_long_list(home, as_):
    text = as_("coordinator").get(reverse("web:change_place", args=[home.id])).content.decode()
    assert '<option value="Europe/Madrid">Madrid</option>' in text
    assert "<select" not in text
