"""How a vessel's page shows that its forecast narrowed, and since when it looked ill."""

import datetime as dt
from types import SimpleNamespace

import pytest
from django.utils import translation

from sourloam.ledger.state import Turn, VesselState
from sourloam.web.vessel.foresight import Foresight
from sourloam.web.vessel.narrowing import funnel, rows_of, since_when


def then(day, low, middle, high, chance):
    return {
        "day": day,
        "full_on": {"low": low, "median": middle, "high": high},
        "finished_on": {"low": low, "median": middle, "high": None},
        "chance_of_failing": chance,
    }


PAST = [
    then("2026-09-01", "2026-09-20", "2026-10-10", None, 0.03),
    then("2026-09-08", "2026-09-24", "2026-10-06", "2026-10-25", 0.04),
]


def foresight(chance, past=PAST):
    now = then("2026-09-15", "2026-10-01", "2026-10-04", "2026-10-09", chance)
    return Foresight({**now, "today": "2026-09-15", "narrowing": past})


def vessel(signs=()):
    look = SimpleNamespace(body=SimpleNamespace(signs=list(signs)), day=dt.date(2026, 9, 20))
    began = SimpleNamespace(day=dt.date(2026, 9, 1), at=0, entry=0)
    return VesselState("pail", turns=(Turn(layers=(began,), looks=(look,)),))


def test_rows_end_with_the_present_and_a_row_of_today_is_not_told_twice():
    again = then("2026-09-15", "2026-09-02", "2026-09-03", "2026-09-04", 0.9)
    rows = rows_of(foresight(0.05, [*PAST, again]), resting=False)
    assert [day.isoformat() for day, _, _ in rows] == ["2026-09-01", "2026-09-08", "2026-09-15"]
    assert rows[-1][1].middle == dt.date(2026, 10, 4)


def test_the_drawing_says_how_wide_the_range_is_and_shows_no_chance_where_none_is_high():
    svg = funnel(vessel(), foresight(0.05, [PAST[1], PAST[1] | {"day": "2026-09-10"}]))
    assert "The range was 31 days wide at first and is 8 days wide now." in svg
    assert "%" not in svg.split("</desc>")[1]


def test_a_vessel_likely_to_fail_shows_the_chance_of_each_row_and_when_it_rose():
    seen = foresight(0.61)
    assert "61 %" in funnel(vessel(), seen).replace("\u00a0", " ")
    told = since_when(vessel(), seen).replace("\u00a0", " ")
    assert "the chance was 4 %, on" in told
    assert "61 %. Nobody has written down a rotten smell so far." in told


def test_a_smell_that_was_written_down_is_told_with_its_day():
    told = since_when(vessel(["rotten_smell"]), foresight(0.61))
    assert "Nobody" not in told
    assert "A rotten smell was first written down on" in told
    assert "20" in told.split("written down on")[1]


def test_rows_that_never_come_to_be_sour_keep_their_chance():
    never = {**then("2026-09-15", None, None, None, 0.99), "today": "2026-09-15"}
    rows = rows_of(Foresight({**never, "narrowing": PAST}), resting=True)
    assert [chance for _day, _span, chance in rows] == [0.03, 0.04, 0.99]
    assert rows[-1][1].low is None


@pytest.mark.parametrize("past", [[], PAST[:1], [{"day": "2026-09-01"}], "nonsense"])
def test_too_little_to_show_is_no_drawing(past):
    assert funnel(vessel(), foresight(0.05, past)) is None
    assert since_when(vessel(), foresight(0.05, past)) == ""


def test_it_speaks_spanish():
    with translation.override("es"):
        svg = funnel(vessel(), foresight(0.61))
        told = since_when(vessel(), foresight(0.61))
    assert "anotación tras anotación" in svg
    assert "Nadie ha anotado" in told
