"""The sheet of a week, read back: who never did it finds each day's work, how, and what if."""

import datetime as dt
from itertools import pairwise
from types import SimpleNamespace

import pytest

from sourloam.documents import Printing, week_sheet
from sourloam.documents.usual import drain_rhythm
from sourloam.documents.week import tasks
from sourloam.ledger import fold
from strategies.ledger_entries import BED, SITE, SPEC, entry

LAST = dt.date(2026, 3, 15)  # the day of the last layer in the log below


def pail(number, name):
    return entry(100 + number, "vessel_added", {"vessel": name, "name": name, "spec": SPEC})


def layer(day):
    body = {"vessel": "pail-1", "amount": {"mass_kg": 1.0}, "bran_g": 30.0}
    return entry(day, "fed", body, day)


def shelf(*more, layers=14):
    """One vessel filling, one empty."""
    return fold(
        [
            entry(90, "place_described", {"site": SITE}),
            pail(1, "pail-1"),
            pail(2, "pail-2"),
            entry(91, "bed_added", {"bed": "wall-bed", "name": "Wall bed", "spec": BED}),
            *(layer(n) for n in range(1, layers + 1)),
            *more,
        ]
    )


def of(found, what):
    return [(task.day - LAST).days for task in found if task.due.what == what]


def test_the_strategies_day_is_the_one_meant():
    assert shelf().layers()[-1].day == LAST


def test_feeding_comes_each_day_and_draining_every_other():
    found = tasks(shelf(), {}, LAST)
    assert of(found, "feed") == [1, 2, 3, 4, 5, 6]
    drains = of(found, "drain")
    assert drains[0] == 0
    assert {b - a for a, b in pairwise(drains)} == {2}


def test_feeding_ends_on_the_day_it_is_full():
    foreseen = SimpleNamespace(
        full_on=LAST + dt.timedelta(days=3),
        finished_on=None,
        next_drain_on=None,
        next_drain_ml=None,
        chance_of_failing=0.0,
    )
    found = tasks(shelf(), {"pail-1": foreseen}, LAST)
    assert max(of(found, "feed")) <= 3
    assert of(found, "set_aside") == [3]


def test_what_is_late_stands_on_the_first_day():
    found = tasks(shelf(), {}, LAST + dt.timedelta(days=40))
    assert min(task.day for task in found) == LAST + dt.timedelta(days=40)


@pytest.mark.parametrize(("language", "paper"), [("en", "a4"), ("es", "letter")])
def test_two_sides_tell_it_all_with_nothing_clipped(read_back, language, paper):
    asked = Printing(language, paper, day=LAST, call=("The kitchen door",))
    pages = read_back(week_sheet("Alder Row", shelf(), LAST, asked))
    assert len(pages) == 2
    assert [page.outside() for page in pages] == [[], []]
    text = " ".join(page.text for page in pages)
    said = {
        "en": ["Sunday 15", "Saturday 21", "Into pail-1. When it is full, into pail-2.",
               "usually 1 kg of scraps, 30 g of bran", "The kitchen door", "never blow or suck",
               "in 2.5 L of water", "at pH 4.5 or below", "Never pour the liquid"],
        "es": ["domingo 15", "En pail-1. Cuando esté lleno, en pail-2.",
               "normalmente 1 kg de restos, 30 g de salvado", "en 2,5 L de agua", "pH 4,5"],
    }[language]  # fmt: skip
    for sentence in said:
        assert sentence in text, sentence


def test_a_shelf_without_room_says_where_scraps_go(read_back):
    both = [entry(n, "fed", {"vessel": "pail-2", "amount": {"mass_kg": 1.0}}, 5) for n in (50, 51)]
    aside = [entry(60 + n, "set_aside", {"vessel": f"pail-{n}"}, 20) for n in (1, 2)]
    day = LAST + dt.timedelta(days=10)
    (front, _back) = read_back(week_sheet("Alder Row", shelf(*both, *aside), day, Printing()))
    assert "No vessel has room: into the usual food waste" in front.text
    assert front.text.count("resting: stays closed") == 2


def test_a_burial_tells_bed_and_depth(read_back):
    sound = [
        entry(60, "set_aside", {"vessel": "pail-1"}, 16),
        entry(61, "judged", {"vessel": "pail-1", "verdict": "sound"}, 40),
    ]
    day = LAST + dt.timedelta(days=60)
    (front, _back) = read_back(week_sheet("Alder Row", shelf(*sound), day, Printing()))
    assert "Bury pail-1: Wall bed," in front.text
    assert "deep," in front.text


def test_a_place_without_vessels_is_told(read_back):
    pages = read_back(week_sheet("Alder Row", fold([]), LAST, Printing()))
    assert pages[0].text.count("Nothing is due.") >= 6


def drained(number, day):
    body = {"vessel": "pail-1", "volume_ml": 60.0, "use": "plants"}
    return entry(200 + number, "drained", body, day)


def test_the_rhythm_of_draining_is_that_of_the_place_once_its_log_shows_it():
    assert drain_rhythm(shelf(*(drained(n, n) for n in range(8, 11)))) == 2  # too few to tell
    state = shelf(*(drained(n, n) for n in range(4, 15)))
    assert drain_rhythm(state) == 1
    assert of(tasks(state, {}, LAST), "drain") == [1, 2, 3, 4, 5, 6]


def test_a_foreseen_draining_comes_again_in_the_rhythm_and_tells_its_amount_once():
    foreseen = SimpleNamespace(
        full_on=None,
        finished_on=None,
        next_drain_on=LAST + dt.timedelta(days=1),
        next_drain_ml=90.0,
        chance_of_failing=0.0,
    )
    found = [t for t in tasks(shelf(), {"pail-1": foreseen}, LAST) if t.due.what == "drain"]
    assert [(t.day - LAST).days for t in found] == [1, 3, 5]
    assert [t.due.expected_ml for t in found] == [90.0, None, None]


def test_a_busy_week_of_many_vessels_still_has_two_sides(read_back):
    pails = [
        entry(100 + n, "vessel_added", {"vessel": f"bin-{n}", "name": f"bin {n}", "spec": SPEC})
        for n in range(3, 11)
    ]
    fed = [
        entry(300 + n, "fed", {"vessel": f"bin-{n}", "amount": {"mass_kg": 1.0}}, n)
        for n in range(3, 7)
    ]
    state = shelf(*pails, *fed)
    pages = read_back(week_sheet("Alder Row", state, LAST, Printing("es", "letter", day=LAST)))
    assert len(pages) == 2
    assert [page.outside() for page in pages] == [[], []]
    assert pages[0].text.index("bin 9") < pages[0].text.index("bin 10")
