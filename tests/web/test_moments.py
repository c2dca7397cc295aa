"""When something was done: by the clock of the place, the year told where it is not this one."""

import datetime as dt
from zoneinfo import ZoneInfo

from django.template import Context, Template
from django.urls import reverse
from django.utils.translation import override

from sourloam.web import wording as w

ZONE = ZoneInfo("America/Denver")


def test_a_moment_of_this_year_goes_without_the_year():
    year = dt.datetime.now(ZONE).year
    assert w.moment(dt.datetime(year, 7, 3, 18, 30, tzinfo=ZONE)).endswith(" 3 Jul, 18:30")


def test_a_moment_of_another_year_says_which():
    year = dt.datetime.now(ZONE).year
    for other in (year - 1, year + 1):
        said = w.moment(dt.datetime(other, 12, 31, 23, 5, tzinfo=ZONE))
        assert said.endswith(f" 31 Dec {other}, 23:05")


def test_a_page_tells_the_moment_by_the_clock_of_its_zone():
    page = Template("{% load sourloam_tags %}{{ at|moment }}")
    said = page.render(Context({"at": dt.datetime(2019, 12, 31, 23, 5, tzinfo=ZONE)}))
    assert said == "Tue 31 Dec 2019, 23:05"


def test_the_log_of_a_vessel_tells_the_year_of_what_is_older(home, as_):
    at = dt.datetime.now(ZoneInfo("Europe/Dublin")).replace(month=7, day=3, hour=18, minute=30)
    old = at.replace(year=at.year - 1)
    body = {"vessel": "blue", "note": "Moved."}
    home.write("noted", body, at=old.isoformat(), written_at=old.isoformat())
    shown = reverse("web:vessel", args=[home.id, "blue"]) + "?log=all"
    text = as_("keeper").get(shown).content.decode()
    assert f"3 Jul {old.year}, 18:30" in text


def test_one_moment_reads_by_the_clock_of_each_of_its_zones():
    year = dt.datetime.now(ZONE).year
    here = dt.datetime(year, 7, 3, 18, 30, tzinfo=ZONE)
    there = here.astimezone(ZoneInfo("Europe/Dublin"))
    assert here == there
    assert w.moment(here).endswith(" 3 Jul, 18:30")
    assert w.moment(there).endswith(" 4 Jul, 01:30")


def test_a_day_reads_in_the_language_of_each_reader():
    day = dt.date(2019, 7, 3)
    said = []
    for language in ("en", "es", "en"):
        with override(language):
            said.append((w.day(day), w.short_day(day)))
    english, spanish = ("3 July 2019", "3 Jul"), ("3 de julio de 2019", "3 jul")
    assert said == [english, spanish, english]
