"""Of many places the most pressing comes first, and those that lie folded say what they want."""

import datetime as dt
from types import SimpleNamespace

import pytest
from django.urls import reverse

from sourloam.ledger.due_vessel import LOOK_RISK
from sourloam.web.place import pressing

TODAY = dt.date(2026, 6, 10)


def due(what, urgency="today", on=TODAY, kind="looked", msgid=""):
    why = SimpleNamespace(msgid=msgid)
    return SimpleNamespace(what=what, urgency=urgency, on=on, kind=kind, why=why)


def place(name):
    return SimpleNamespace(house=SimpleNamespace(name=name))


@pytest.mark.parametrize(
    ("first", "second"),
    [
        (due("check", kind="emptied"), due("recall")),
        (due("recall"), due("check", msgid=LOOK_RISK)),
        (due("check", msgid=LOOK_RISK), due("drain", "overdue", TODAY - dt.timedelta(30))),
        (due("drain", "overdue", TODAY - dt.timedelta(9)), due("feed", "overdue", TODAY)),
        (due("drain", "overdue", TODAY - dt.timedelta(1)), due("feed")),
        (due("feed"), due("feed", "soon")),
    ],
)
def test_what_may_spoil_comes_before_what_is_late_and_that_before_today(first, second):
    found = [("A", second), ("B", first)]
    found.sort(key=lambda one: pressing.rank(place(one[0]), [(one[1],)]))
    assert [name for name, _due in found] == ["B", "A"]


def test_of_two_alike_the_one_with_more_to_do_comes_first():
    many, few = [(due("feed"),), (due("feed"),)], [(due("feed"),)]
    assert pressing.rank(place("B"), many) < pressing.rank(place("A"), few)
    assert pressing.rank(place("A"), []) > pressing.rank(place("B"), few)


def test_places_that_lie_folded_say_in_a_sentence_what_they_want(home, as_, people):
    from sourloam.logbook.people import make_place

    make_place(people["coordinator"], "A hall at the corner", "Europe/Dublin")
    text = as_("coordinator").get(reverse("web:today")).content.decode()
    summaries = text.split("<summary>")[1:]
    first, last = (
        next(part for part in summaries if f">{name}</b>" in part)
        for name in ("Flat at 4 Alder Row", "A hall at the corner")
    )
    assert text.index(first) < text.index(last), "by what presses, not by the alphabet"
    assert "Judge Green pail, and 2 things more" in first.partition("</summary>")[0], (
        "what it wants most, by its name"
    )
    assert "Nothing today" in last.partition("</summary>")[0]
