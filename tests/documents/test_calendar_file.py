"""The calendar file, read by a strict reader of the standard of our own."""

import datetime as dt
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strict_calendar import events

from sourloam.documents import Dated, Printing, calendar_file, plan_calendar

DAY = dt.date(2026, 3, 1)


@pytest.fixture(scope="module", params=["en", "es"])
def read(plan, request):
    return events(plan_calendar(plan, Printing(request.param, day=DAY)))


def test_every_line_of_the_plan_is_in_it_on_its_day(plan, read):
    assert len(read) == len(plan.calendar)
    for entry, event in zip(plan.calendar, read, strict=True):
        if entry.kind != "drain":
            assert event["days"][0] == entry.date
            assert event["summary"]


def test_draining_comes_round_at_the_plans_rhythm_but_not_in_holidays(plan, read):
    days = [e["days"] for e, line in zip(read, plan.calendar, strict=True) if line.kind == "drain"]
    closed = [b for b in plan.vessels.blocked if b.kind == "closed"]
    assert days
    for season in days:
        gaps = {(b - a).days for a, b in pairwise(season)}
        assert min(gaps) == plan.liquid.drain_every_days
        assert not any(b.start <= day <= b.end for day in season for b in closed)


def test_a_vessel_that_is_full_says_until_when_it_rests(plan):
    lines = events(plan_calendar(plan, Printing("es", day=DAY)))
    full = next(i for i, entry in enumerate(plan.calendar) if entry.kind == "full")
    until = plan.calendar[full].until
    assert lines[full]["text"].endswith(f"{until.year}.")
    assert "19 L pail n.º" in lines[full]["summary"]


def test_a_later_file_replaces_the_same_lines(plan):
    first = events(plan_calendar(plan, Printing("en", day=DAY)))
    again = events(plan_calendar(plan, Printing("es", day=DAY + dt.timedelta(days=30))))
    assert [event["uid"] for event in first] == [event["uid"] for event in again]


@settings(derandomize=True, max_examples=60, deadline=None)
@given(
    title=st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs"]), min_size=1),
    text=st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs"])),
    length=st.integers(0, 300),
)
def test_any_text_comes_back_as_it_was(title, text, length):
    until = DAY + dt.timedelta(days=length)
    (event,) = events(calendar_file([Dated("a", DAY, title, text, until)], "Shed", DAY))
    assert (event["summary"], event["text"]) == (title, text)
    assert (event["days"][0], event["days"][-1]) == (DAY, until)


def test_the_strict_reader_refuses_what_is_not_a_calendar():
    good = calendar_file([Dated("a", DAY, "Drain")], "Shed", DAY)
    for broken in (
        good.replace(b"\r\n", b"\n"),
        good.replace(b"DTSTART;VALUE=DATE:20260301", b"DTSTART;VALUE=DATE:20260401"),
        good.replace(b"VERSION:2.0\r\n", b""),
        good.replace(b"SUMMARY:Drain", b"SUMMARY:Drain, then thin"),
    ):
        with pytest.raises(ValueError):
            events(broken)
