"""Programme pages with no place, with one that never wrote, and with names of eighty letters: each
sentence is true, and nothing is told that is not there."""

import datetime as dt
import html
import re

import pytest

from sourloam.logbook import programmes
from sourloam.logbook.models import Programme
from sourloam.logbook.people import make_place
from sourloam.programme import Fleet
from sourloam.web.programmes.figures import fleet_page
from sourloam.web.programmes.house import Yard
from sourloam.web.programmes.months import months_page, without_gaps

UNTRUE = (
    "what lies there is enough",
    "Open beds take",
    "has those letters",
    "0 places",
    "0 lines",
    "0 kg",
    "0 – 0",
    "Each drawn vessel",
    "waits to be reckoned",
)
PAGES = ("", "places", "round", "log", "figures", "settings")
LONG = "Saltings-and-Ropewalk-Neighbours-Vessel-Exchange-of-the-Lower-Mill-and-Its-Lanes"


def said(client, programme, path):
    answer = client.get(f"/g/{programme.pk}/{path}")
    assert answer.status_code == 200
    main = answer.content.decode().partition("<main")[2]
    return html.unescape(re.sub(r"<[^>]+>", " ", main))


@pytest.fixture
def empty(people) -> Programme:
    return programmes.make_programme(people["coordinator"], LONG)


@pytest.fixture
def silent(people) -> Programme:
    """One place in which nobody wrote anything."""
    made = programmes.make_programme(people["coordinator"], "One place")
    home = make_place(people["coordinator"], LONG)
    programmes.add_place(people["coordinator"], made, home.pk)
    return made


@pytest.mark.parametrize("path", PAGES)
def test_a_programme_without_places_tells_nothing_of_places(empty, as_, path):
    text = said(as_("coordinator"), empty, path)
    assert not [line for line in UNTRUE if line in text], text
    assert len(LONG) == 80


@pytest.mark.parametrize(
    ("path", "line"),
    [
        ("", "No place has come in yet"),
        ("places", "No place has come in yet"),
        ("round", "It needs places first."),
        ("log", "Nothing is in the log yet"),
        ("figures", "begins with the first place"),
    ],
)
def test_an_empty_page_says_what_comes_first(empty, as_, path, line):
    assert line in said(as_("coordinator"), empty, path)


@pytest.mark.parametrize("path", PAGES)
def test_a_place_that_never_wrote_is_not_told_as_one_that_has_enough(silent, as_, path):
    text = said(as_("coordinator"), silent, path)
    shown = text.replace("0 kg weighed", "").replace("0 kg ferment", "")
    untrue = [line for line in UNTRUE if line in shown and line not in ("0 kg", "0 places")]
    assert not untrue, text


@pytest.mark.parametrize(
    ("path", "line"),
    [
        ("", "no place fed a vessel of late"),
        ("", "No vessel stands full, and none is foreseen to by"),
        ("", "No place with a bed of its own has anything to bury within 28 days."),
        ("places", "1 place"),
        ("places?q=zebra", "No place here is called “zebra”."),
        ("places?show=full", "No place is on this list today."),
        ("round", "say first where that lies"),
        ("figures", "No place has logged scraps yet."),
        ("figures", "no place has put scraps into a vessel"),
        ("figures?from=2020-01&to=2020-02", "No place logged scraps in this time."),
    ],
)
def test_one_silent_place_is_told_as_that(silent, as_, path, line):
    assert line in " ".join(said(as_("coordinator"), silent, path).split())


def test_its_own_page_says_that_nothing_was_written(silent, as_):
    place = silent.places.get().place_id
    text = said(as_("coordinator"), silent, f"p/{place}")
    assert "Nothing was written in its log yet." in text
    assert "Nothing is wrong here" not in text


def test_a_search_of_the_log_that_finds_nothing_says_so(empty, as_, people):
    programmes.write(people["coordinator"], empty, "training", {"people": 3})
    text = said(as_("coordinator"), empty, "log?q=zebra")
    assert "No line holds “zebra”." in text
    assert "1 line in the log" in text


def test_a_round_without_stops_says_that_nothing_is_to_be_fetched(silent, as_, people):
    silent.latitude, silent.longitude = 52.0, 5.0
    silent.save()
    today = programmes.today(silent)
    programmes.plan(people["coordinator"], silent, today)
    text = said(as_("coordinator"), silent, f"round/{today.isoformat()}")
    assert "Nothing to fetch on this day" in text
    assert "comes home" not in text


def test_a_round_of_another_day_is_not_what_todays_button_plans_anew(silent, as_, people):
    silent.latitude, silent.longitude = 52.0, 5.0
    silent.save()
    client, today = as_("coordinator"), programmes.today(silent)
    programmes.plan(people["coordinator"], silent, today + dt.timedelta(days=3))
    assert "Plan today's round anew" not in said(client, silent, "")
    programmes.plan(people["coordinator"], silent, today)
    assert "Plan today's round anew" in said(client, silent, "")


def test_months_without_scraps_are_months_too():
    found = without_gaps([(dt.date(2026, 11, 1), 3.0), (dt.date(2027, 2, 1), 4.0)])
    assert [(month.month, kg) for month, kg in found] == [(11, 3), (12, 0), (1, 0), (2, 4)]
    assert without_gaps([]) == []


def test_scraps_by_month_are_drawn_and_the_most_is_said():
    yard = Yard(Programme(), "reader", "us", dt.date(2026, 3, 2))
    found = months_page(yard, [(dt.date(2026, 1, 1), 10.0), (dt.date(2026, 2, 1), 20.0)])
    assert found["said"] == "Most in Feb 2026: 44 lb."
    assert found["drawing"].count('class="d-fresh"') == 2
    assert "60 lb" in found["drawing"]
    assert [row["kg"] for row in found["rows"]] == ["22 lb", "44 lb"]


def test_work_of_less_than_an_hour_is_told_in_minutes_and_equal_ends_once():
    three = (1.9, 2.0, 2.1)
    fleet = Fleet(three, three, three, 0.25, three, (0.05, 0.1, 0.2), 3)
    told = fleet_page(Yard(Programme(), "reader", "metric", dt.date(2026, 3, 2)), fleet)
    assert told["hours"] == "6 min (3 – 12)"
    assert told["vessels"] == "2"
    assert told["weekly"] == "0.25"
