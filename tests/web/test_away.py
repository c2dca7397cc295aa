"""Away for some days: before, meanwhile, later; and the plan that knows of it."""

import datetime as dt

import pytest
from django.urls import reverse

from sourloam.web.place.away import LONGEST, Away, Wrong, noted, read

TODAY = dt.date(2026, 12, 2)  # a Wednesday


def test_no_days_mean_next_week():
    assert read({}, TODAY) == Away(dt.date(2026, 12, 7), dt.date(2026, 12, 13))
    assert read({"first": "2026-12-24"}, TODAY).days == 7


@pytest.mark.parametrize(
    "asked",
    [
        {"first": "2026-12-01"},
        {"first": "2026-12-09", "last": "2026-12-08"},
        {"first": "soon"},
        {"last": (TODAY + dt.timedelta(days=LONGEST + 1)).isoformat()},
    ],
)
def test_days_that_cannot_be_give_one_line(asked):
    with pytest.raises(Wrong):
        read(asked, TODAY)


def test_the_page_parts_what_waits_from_what_does_not(home, as_):
    text = as_("keeper").get(reverse("web:away", args=[home.id])).content.decode()
    assert "Away from" in text
    later = text.partition("Can wait until you are back")[2]
    assert "Feed Blue pail" not in text, "nobody feeds while nobody is there"
    assert "Wash Tin" in later


def test_liquid_is_drained_before(home, as_):
    home.write("fed", {"vessel": "blue", "amount": {"mass_kg": 1.0}, "kinds": "household"})
    text = as_("keeper").get(reverse("web:away", args=[home.id])).content.decode()
    before = text.partition("Before you go")[2].partition("First day away")[0]
    assert "Drain Blue pail" in before


def test_bran_that_is_gone_by_the_return_is_got_before(home, as_):
    home.write("bran_received", {"lot": "oak-1", "mass_kg": 0.1}, 3)
    text = as_("keeper").get(reverse("web:away", args=[home.id])).content.decode()
    assert "Get more bran" in text.partition("Can wait until you are back")[0]


def test_a_wrong_day_is_told_on_the_page(home, as_):
    url = reverse("web:away", args=[home.id])
    answer = as_("reader").get(url, {"first": "x" * 90})
    assert answer.status_code == 422
    assert "is no day" in answer.content.decode()


def test_the_days_go_into_the_plan_and_nothing_is_fed_then(home, as_):
    from sourloam.logbook.standing import state_of

    url = reverse("web:away", args=[home.id])
    client = as_("coordinator")
    assert "Write these days into the plan" in client.get(url).content.decode()
    first = dt.date.today() + dt.timedelta(days=2)
    days = {"first": first.isoformat(), "last": (first + dt.timedelta(days=4)).isoformat()}
    again = client.post(url, days, follow=True).content.decode()
    assert "These days are in the plan" in again
    site = state_of(home.id, "Europe/Dublin")[0].site()
    assert (first, first + dt.timedelta(days=4)) in [(s.start, s.end) for s in site.closed]
    assert as_("keeper").post(url, days).status_code == 403


def test_what_was_closed_stays_closed():
    away = Away(dt.date(2027, 1, 2), dt.date(2027, 1, 3))
    made = noted({"closed": [{"from": "07-20", "to": "08-03"}]}, away)
    assert [span["from"] for span in made["closed"]] == ["07-20", "2027-01-02"]
