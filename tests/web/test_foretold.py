"""A forecast's sentences in the reader's language, with the day of a surprise."""

import datetime as dt

import pytest
from django.utils import translation

from sourloam.forecast.surprise import MEANINGS
from sourloam.forecast.vessel import WHY_COLD, WHY_ILL
from sourloam.web.vessel import foretold
from sourloam.web.vessel.foresight import Foresight

TODAY = dt.date(2026, 11, 25)


def seen(**raw):
    return Foresight({"began": "2026-11-01", **raw})


def test_why_it_is_likely_to_fail_keeps_its_numbers():
    note = WHY_COLD.format(percent=98, warmth=-2)
    assert foretold.why(seen(notes=[note]), "metric") == [note]
    assert "28 °F" in foretold.why(seen(notes=[note]), "us")[0]


@pytest.mark.parametrize("template", [WHY_ILL, WHY_COLD])
def test_why_is_told_in_spanish(template):
    note = template.format(percent=98, warmth=6)
    with translation.override("es"):
        (text,) = foretold.why(seen(notes=[note]), "metric")
    assert text.startswith("En 98 de 100 corridas")


def test_what_is_no_reason_to_fail_is_told_elsewhere():
    assert foretold.why(seen(notes=[MEANINGS["drain", 1]]), "metric") == []


def test_surprises_of_late_come_with_their_day_newest_first():
    found = [
        {"day": 3, "sentence": MEANINGS["drain", 1]},
        {"day": 20, "sentence": MEANINGS["strip", -1]},
    ]
    with translation.override("es"):
        newest, older = foretold.surprises(seen(surprises=found), TODAY)
    assert newest.startswith("21 de noviembre: Más ácido")
    assert older.startswith("4 de noviembre: Más líquido")
    assert foretold.surprises(seen(surprises=found), TODAY + dt.timedelta(days=90)) == []
