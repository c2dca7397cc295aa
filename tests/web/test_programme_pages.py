"""A programme's pages: one screen in the morning, any place in two taps, rounds, log, figures."""

import csv
import datetime as dt
import html
import re
from unittest.mock import patch

import numpy as np
import pytest
from django.contrib.auth.models import User
from django.db.models import F
from django.urls import reverse
from house_of_tests import PASSWORD, entry

import sourloam
from sourloam.impact import Saved
from sourloam.impact.saved import MEMBERS
from sourloam.logbook import models, programmes
from sourloam.logbook.models import PlaceSaved
from sourloam.web.programmes import log as programme_log_page


@pytest.fixture
def town(home, people):
    """The place in a programme with a hub; its resting vessel waits to be fetched."""
    made = programmes.make_programme(people["coordinator"], "Town exchange")
    programmes.add_place(people["coordinator"], made, home.id)
    made.latitude, made.longitude, made.hub = 52.0, 5.0, "Yard"
    made.save()
    where = {"latitude": 52.01, "longitude": 5.01, "opens": None, "closes": None, "how": "Bell"}
    programmes.settle(people["coordinator"], made, home.id, where)
    return made


def text_of(answer):
    assert answer.status_code == 200, answer.status_code
    return answer.content.decode()


def test_the_morning_answers_everything_on_one_page_with_few_questions(
    town, home, as_, django_assert_max_num_queries
):
    client = as_("coordinator")
    with django_assert_max_num_queries(14):
        text = text_of(client.get(f"/g/{town.pk}/"))
    for part in ("Full vessels, if none is fetched", "Bran to make this week", "Bed space"):
        assert part in text
    assert "How do we know?" in text
    assert "<svg" in text


def test_any_place_is_two_taps_away(town, home, as_):
    client = as_("coordinator")
    text = text_of(client.get(f"/g/{town.pk}/places?q=ALDER+flat"))
    link = re.search(r'class="sign" href="(.*?)"', text)[1]
    page = text_of(client.get(link))
    assert "Flat at 4 Alder Row" in page
    assert "Green pail" in page
    assert "No place here is called “zebra”." in text_of(client.get(f"/g/{town.pk}/places?q=zebra"))


def test_a_round_is_planned_driven_weighed_and_printed(town, home, as_):
    client, today = as_("coordinator"), programmes.today(town)
    assert "No round is planned" in text_of(client.get(f"/g/{town.pk}/round"))
    answer = client.post(f"/g/{town.pk}/round", {"day": today.isoformat()})
    text = text_of(client.get(answer.headers["Location"]))
    assert "1 stop, 1 vessel" in text
    assert "Bell" in text
    assert "licence" in text
    assert "hold gas" in text
    weighed = {"place": home.id, "kg": "12,5", "vessels": "1", "clean": "1", "back": "round"}
    client.post(f"/g/{town.pk}/log/fetched", weighed)
    driven = text_of(client.get(f"/g/{town.pk}/round/{today}"))
    assert "12.5 kg" in driven
    assert "taken on" in driven
    assert "taken on" in text_of(
        client.get(reverse("web:programme_place", args=[town.pk, home.id]))
    )
    assert "that a round took counts as gone" in text_of(client.get(f"/g/{town.pk}/"))
    assert programmes.plan_for(town, today + dt.timedelta(days=1)).stops == ()
    sheet = client.get(f"/g/{town.pk}/round/{today}/sheet.pdf")
    assert sheet.content.startswith(b"%PDF")
    assert "12.5 kg" in text_of(client.get(f"/g/{town.pk}/figures"))
    models.ProgrammeRound.objects.filter(programme=town, day=today).delete()
    later = text_of(client.get(f"/g/{town.pk}/round"))
    assert "No round is planned" not in later, "the next one is shown"


def test_the_log_is_read_by_kind_by_words_and_page_by_page(town, as_, people, monkeypatch):
    monkeypatch.setattr(programme_log_page, "_PAGE", 2)
    day = programmes.today(town) - dt.timedelta(days=9)
    client = as_("coordinator")
    for n in range(3):
        sent = {"people": n + 1, "note": f"evening {n}", "day": day.isoformat()}
        client.post(f"/g/{town.pk}/log/training", sent)
    client.post(f"/g/{town.pk}/log/question", {"note": "May meat go in?"})
    first = text_of(client.get(f"/g/{town.pk}/log?kind=training"))
    assert "evening 2" in first
    assert "evening 0" not in first
    assert "May meat" not in first
    assert "1 to 2 of 3" in first
    assert "evening 0" in text_of(client.get(f"/g/{town.pk}/log?kind=training&page=2"))
    found = text_of(client.get(f"/g/{town.pk}/log?q=MEAT"))
    assert "May meat" in found
    assert "evening" not in found
    late = {"people": 1, "day": (day + dt.timedelta(days=30)).isoformat()}
    told = client.post(f"/g/{town.pk}/log/training", late, follow=True)
    assert "day: choose one from" in text_of(told)


def test_figures_of_some_months_come_as_a_page_and_as_a_table(town, home, as_):
    client, month = as_("coordinator"), programmes.today(town).strftime("%Y-%m")
    client.post(f"/g/{town.pk}/log/training", {"people": 7})
    address = f"/g/{town.pk}/figures?from={month}&to={month}"
    page = text_of(client.get(address))
    assert "7 people came" in page
    assert "vessels at places" in page
    assert "0 people came" in text_of(client.get(f"/g/{town.pk}/figures?to=2020-01"))
    table = client.get(f"{address}&table=csv")
    assert table["Content-Type"].startswith("text/csv")
    lines = list(csv.reader(table.content.decode("utf-8-sig").splitlines()))
    assert ["trainings", "1", "7 people came"] in [line[:3] for line in lines]
    assert all(line[0] in html.unescape(page) for line in lines[1:-1])
    assert "What it means for the climate" in text_of(client.get(f"/g/{town.pk}/figures?from=x"))


def test_figures_come_on_paper_for_the_time_that_the_page_shows(town, as_):
    client = as_("coordinator")
    page = text_of(client.get(f"/g/{town.pk}/figures?from=2026-01"))
    paper = f"/g/{town.pk}/figures.pdf?from=2026-01"
    assert f'href="{paper}"' in page
    assert f'href="{paper}&amp;paper=letter"' in page
    with patch("sourloam.web.views.programme_figures.figures_paper", return_value=b"%PDF") as made:
        answer = client.get(f"{paper}&paper=letter")
    assert answer["Content-Type"] == "application/pdf"
    told, printing = made.call_args.args
    assert (told.period, told.climate) == ("From Jan 2026 on", None)
    assert [one.of for one in told.figures if one.of == "trainings"] == ["trainings"]
    assert (printing.paper, printing.language) == ("letter", "en")
    assert as_("stranger").get(paper).status_code == 404


def test_a_word_that_was_sent_takes_the_place_off_the_list(town, home, as_, people):
    quiet = programmes.facts_in(town)[0].as_json()
    quiet["entry_days"] = [(dt.date.today() - dt.timedelta(days=n)).isoformat() for n in (99, 96)]
    from sourloam.logbook.models import PlaceSummary

    PlaceSummary.objects.update(facts=quiet)
    client = as_("coordinator")
    text = text_of(client.get(f"/g/{town.pk}/"))
    assert "1 place wants somebody today" in text
    assert re.search(r'\. <span class="range">About \d+ in 100 \(.*?\)\.</span>', text)
    client.post(f"/g/{town.pk}/log/word", {"place": home.id, "back": "morning"})
    text = text_of(client.get(f"/g/{town.pk}/"))
    assert "Nobody wants anything today" in text
    assert "1 place was written to or visited" in text


@pytest.mark.parametrize(
    ("path", "sent", "said"),
    [
        ("log/fetched", {"kg": "much", "place": "{home}"}, "kg: write a number from 0"),
        ("log/hours", {"hours": "-3"}, "hours: write a number from 0"),
        ("log/training", {"people": "4"}, "Written down"),
        ("p/{home}/where", {"latitude": "52"}, "Give latitude and longitude, or neither."),
        ("p/{home}/where", {"opens": "noon"}, "Opens: write a time such as 08:30"),
        ("settings", {"name": "Town", "opens": "08:00"}, "Say when the round starts and ends."),
    ],
)
def test_what_was_wrong_is_told_in_one_line(town, home, as_, path, sent, said):
    client = as_("coordinator")
    where = f"/g/{town.pk}/{path.format(home=home.id)}"
    given = {key: value.format(home=home.id) for key, value in sent.items()}
    answer = client.post(where, given, follow=True)
    assert said in answer.content.decode()


def test_the_hub_is_set_and_a_helper_comes_in_by_a_link(town, as_, people):
    client = as_("coordinator")
    given = {
        "name": "Town exchange", "hub": "Mill", "latitude": "52,5", "longitude": "5.5",
        "opens": "07:30", "closes": "12:00", "room": "30", "payload": "500", "bran": "3",
        "round_days": "14",
    }  # fmt: skip
    assert client.post(f"/g/{town.pk}/settings", given).status_code == 302
    town.refresh_from_db()
    assert (town.hub, town.latitude, town.room) == ("Mill", 52.5, 30)
    client.post(f"/g/{town.pk}/invite", {"role": "helper"})
    text = text_of(client.get(f"/g/{town.pk}/settings"))
    link = re.search(r"/g/join/[\w-]+", text)[0]
    stranger = as_("stranger")
    assert stranger.get(f"/g/{town.pk}/").status_code == 404
    assert stranger.post(link).headers["Location"] == reverse("web:programme", args=[town.pk])
    assert stranger.get(f"/g/{town.pk}/").status_code == 200
    assert stranger.get(f"/p/{town.places.get().place_id}/").status_code == 404


def link_of(town, client, role):
    client.post(f"/g/{town.pk}/invite", {"role": role})
    return re.search(r"/g/join/[\w-]+", text_of(client.get(f"/g/{town.pk}/settings")))[0]


@pytest.mark.parametrize("role", ["coordinator", "helper", "reader"])
def test_somebody_new_makes_a_name_by_a_link_and_has_its_role(town, as_, client, role):
    path = link_of(town, as_("coordinator"), role)
    client.logout()
    assert "Join Town exchange" in text_of(client.get(path))
    weak = client.post(path, {"username": "Newcomer", "password": "short"})
    assert (weak.status_code, town.members.count()) == (422, 1)
    answer = client.post(path, {"username": "Newcomer", "password": PASSWORD})
    assert answer.url == reverse("web:programme", args=[town.pk])
    assert client.get(answer.url).status_code == 200
    assert town.members.get(person__username="Newcomer").role == role


def test_somebody_new_makes_a_name_and_a_place_and_brings_it_in(town, as_, client):
    path = link_of(town, as_("coordinator"), "place")
    client.logout()
    answer = client.post(path, {"username": "Newcomer", "password": PASSWORD})
    assert answer.url == path
    assert "What your place is called" in text_of(client.get(path))
    assert "A name has 1 to 80 letters." in text_of(client.post(path, {"name": " "}))
    client.post(path, {"name": "12 Quince Street"})
    brought = town.places.get(place__name="12 Quince Street").place
    assert brought.memberships.get().role == "coordinator"
    assert not town.members.filter(person__username="Newcomer").exists()
    assert client.get(f"/g/{town.pk}/").status_code == 404


def test_a_link_that_was_withdrawn_or_is_too_old_makes_no_name(town, as_, client):
    path = link_of(town, as_("coordinator"), "helper")
    given = {"username": "Newcomer", "password": PASSWORD}
    later = dt.timedelta(days=15)
    town.links.update(expires_at=F("expires_at") - later)
    client.logout()
    assert client.post(path, given).status_code == 404
    town.links.update(expires_at=F("expires_at") + later)
    there = reverse("web:programme_withdraw_link", args=[town.pk, town.links.get().pk])
    assert as_("coordinator").post(there).status_code == 302
    client.logout()
    answer = client.post(path, given)
    assert (answer.status_code, User.objects.filter(username="Newcomer").count()) == (404, 0)
    assert "It was taken back or is too old." in answer.content.decode()


def test_whoever_coordinates_a_place_sees_its_programmes_and_may_leave(town, home, as_):
    client = as_("coordinator")
    assert "Town exchange" in text_of(client.get(f"/p/{home.id}/place"))
    client.post(f"/p/{home.id}/leave/{town.pk}")
    assert programmes.facts_in(town) == []


def test_somebody_with_programmes_and_no_place_begins_with_the_morning(town, as_, people):
    from sourloam.logbook.models import ProgrammeMember

    ProgrammeMember.objects.create(programme=town, person=people["stranger"], role="reader")
    answer = as_("stranger").get("/")
    assert answer.headers["Location"] == reverse("web:programme", args=[town.pk])


def test_spanish_and_pounds(town, home, as_, people):
    from sourloam.logbook.models import Preference

    Preference.objects.create(person=people["coordinator"], units="us", language="es")
    client = as_("coordinator")
    client.post(f"/g/{town.pk}/log/fetched", {"place": home.id, "kg": "22", "back": "log"})
    row = programmes.entries(town)[0]
    assert row.body["kg"] == pytest.approx(9.98, abs=0.01)
    client.cookies["django_language"] = "es"
    text = text_of(client.get(f"/g/{town.pk}/"))
    assert "Salvado que hacer esta semana" in text


def test_entries_of_a_place_do_not_show_in_a_programme_beyond_its_facts(town, home, as_, people):
    """A helper sees numbers and states, no notes that people wrote in their own log."""
    from sourloam.logbook.models import ProgrammeMember
    from sourloam.logbook.recording import record_entry

    ProgrammeMember.objects.create(programme=town, person=people["stranger"], role="helper")
    note = entry(home.id, "noted", {"vessel": "blue", "note": "Ana was ill"})
    assert record_entry(people["coordinator"], note).stored
    programmes.refresh(home.place)
    assert "Ana was ill" not in text_of(as_("stranger").get(f"/g/{town.pk}/p/{home.id}"))


def test_the_first_ones_shown_are_of_every_kind(db):
    from programme_reasons import helps

    from sourloam.web.programmes.morning import _of_each

    shown = [one.risks[0].what for one in _of_each(helps())]
    assert shown == ["failed", "failed", "nowhere", "nowhere", "stopped", "stopped"]


WAYS = ("ferment", "ferment_if_burnt", "landfill", "incinerator", "compost_works", "heap")


def test_the_climate_is_told_with_its_range_and_its_age(town, home, as_, people):
    client = as_("coordinator")
    before = text_of(client.get(f"/g/{town.pk}/figures"))
    assert "Nothing is reckoned yet" in before
    assert "1 place waits to be reckoned" in before
    drawn = np.linspace(0.5, 1.5, MEMBERS)
    worlds = {way: 10 * (number + 1) * drawn for number, way in enumerate(WAYS)}
    day = programmes.today(town) - dt.timedelta(days=3)
    PlaceSaved.objects.create(
        place_id=home.id,
        seq=1,
        day=day,
        version=sourloam.__version__,
        worlds=Saved(200 * drawn, worlds).as_json(),
    )
    programmes.write(people["coordinator"], town, "round", {"km": 40})
    text = text_of(client.get(f"/g/{town.pk}/figures"))
    assert "200 (120 to 280) kg of scraps, 1 place" in text
    assert "Against the landfill, 100 years on:" in text
    assert "40 km" in text
    assert "waits to be reckoned" not in text
    assert 'class="d-' in text.split('class="climate"')[1]


def test_a_line_of_the_log_is_told_in_the_readers_units_and_number():
    from sourloam.logbook.models import Programme, ProgrammeEntry
    from sourloam.web.programmes.house import Yard
    from sourloam.web.programmes.place import entry

    body = {"kg": 10.0, "vessels": 1, "contamination_kg": 1.0, "people": 1, "km": 2.5}
    row = ProgrammeEntry(kind="fetched", day=dt.date(2026, 3, 1), body=body)
    said = entry(row, Yard(Programme(), "coordinator", "us", dt.date(2026, 3, 2)))["said"]
    assert said == "22 lb, of it 2.2 lb that did not belong, 1 vessel, 1 person, 2.5 km"


def test_a_programme_without_places_says_how_they_come_in(people, as_):
    made = programmes.make_programme(people["coordinator"], "Town exchange")
    text = as_("coordinator").get(reverse("web:programme", args=[made.pk])).content.decode()
    assert "No place has come in yet" in text
    assert reverse("web:programme_places", args=[made.pk]) in text
    assert "of 0 places" not in text


def test_one_programme_stands_beside_the_date_and_several_in_a_list(town, as_, people):
    client = as_("coordinator")
    link = f'· <a href="/g/{town.pk}/">{town.name}</a></p>'
    assert link in text_of(client.get("/"))
    programmes.make_programme(people["coordinator"], "Second")
    page = text_of(client.get("/"))
    assert link not in page
    assert page.count('class="sign" href="/g/') == 2
