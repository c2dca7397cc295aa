"""A round is planned for the day one looks at, not over one that stands; all left out are told."""

import datetime as dt
import re

import pytest

from sourloam.logbook import programmes
from sourloam.programme import Call, Van, drawn, plan_round
from sourloam.web.programmes import round as programme_round_page
from sourloam.web.programmes.house import Yard


@pytest.fixture
def town(home, people):
    made = programmes.make_programme(people["coordinator"], "Town exchange")
    programmes.add_place(people["coordinator"], made, home.id)
    made.latitude, made.longitude = 52.0, 5.0
    made.save()
    where = {"latitude": 52.01, "longitude": 5.01, "opens": None, "closes": None, "how": ""}
    programmes.settle(people["coordinator"], made, home.id, where)
    return made


def chosen(client, path):
    found = re.search(r'<option value="([\d-]+)" selected>', client.get(path).content.decode())
    return found and found[1]


def test_the_day_that_is_looked_at_is_the_one_to_be_planned(town, as_):
    client, today = as_("coordinator"), programmes.today(town)
    for ahead in (0, 1, 6, 20):
        day = (today + dt.timedelta(days=ahead)).isoformat()
        assert chosen(client, f"/g/{town.pk}/round/{day}") == day
    assert chosen(client, f"/g/{town.pk}/round/1999-01-01") is None


def test_a_round_that_stands_is_planned_anew_only_by_who_says_so_twice(town, home, as_):
    client, today = as_("coordinator"), programmes.today(town)
    asked = {"day": today.isoformat()}
    client.post(f"/g/{town.pk}/round", asked)
    made = town.rounds.get().made_at
    weighed = {"place": home.id, "kg": "12", "vessels": "1", "clean": "1", "back": "round"}
    client.post(f"/g/{town.pk}/log/fetched", weighed)
    answer = client.post(f"/g/{town.pk}/round", asked, follow=True).content.decode()
    assert "This day has a round of 1 stop already; weighed: 1." in answer
    assert town.rounds.get().made_at == made
    client.post(f"/g/{town.pk}/round", asked | {"sure": "1"})
    assert town.rounds.get().made_at > made


def test_every_place_that_is_not_on_a_round_is_counted_with_its_reason(monkeypatch):
    from sourloam.logbook.models import Programme

    monkeypatch.setattr(programme_round_page, "_MOST_LEFT_OUT", 3)
    calls = [Call(f"p{n}", f"Place {n}", None, 1, 1, 15.0) for n in range(5)]
    late = Call("late", "Late", (52.0, 5.0), 1, 1, 15.0, opens_s=15 * 3600)
    van = Van((52.0, 5.0), "Hub", 20, 600.0, 8 * 3600, 13 * 3600)
    found = plan_round([*calls, late], van, drawn())
    yard = Yard(Programme(), "coordinator", "metric", dt.date(2026, 3, 2))
    told = programme_round_page.left_out(yard, found)
    assert (told["number"], len(told["rows"]), told["more"]) == (6, 3, 3)
    assert told["reasons"] == "nobody said where it lies: 5; no room or no time left: 1"
