"""A form's fields become the body of an entry, as the phone's script makes it."""

import datetime as dt

import pytest
from django.http import QueryDict
from house_of_tests import PASSWORD  # noqa: F401

from sourloam.ledger import EntryError
from sourloam.web.log.posted import body_of, raw_entry


@pytest.mark.parametrize(
    ("text", "body"),
    [
        ("vessel=blue&volume_ml:n29.5735=10", {"vessel": "blue", "volume_ml": 295.735}),
        ("temperature_c:f=68", {"temperature_c": 20.0}),
        ("signs:list=wet&signs:list=warm", {"signs": ["wet", "warm"]}),
        ("note=", {}),
        ("a.b=c", {"a": {"b": "c"}}),
        ('json:json={"vessel": "x"}', {"vessel": "x"}),
        ("amount-way=measure=bowl&amount-n=2", {"amount": {"measure": "bowl", "count": 2}}),
        ("amount-way=mass_kg:n0.45359237&amount-n=2", {"amount": {"mass_kg": 0.90718474}}),
        ("ph:n1=4,5", {"ph": 4.5}),
    ],
)
def test_a_field_says_where_its_value_goes_and_what_it_is(text, body):
    assert body_of(QueryDict(text.replace("+", "%2B"))) == body


@pytest.mark.parametrize("text", ["ph:n1=much", "json:json=[]", "json:json={"])
def test_what_cannot_be_read_is_told_in_one_line(text):
    with pytest.raises(EntryError) as error:
        body_of(QueryDict(text))
    assert "\n" not in str(error.value)


def test_a_time_without_a_zone_is_that_of_the_place():
    zone = dt.timezone(dt.timedelta(hours=2))
    raw = raw_entry(QueryDict("at=2026-03-01T18:30"), "home", "looked", zone)
    assert raw["at"] == "2026-03-01T18:30:00+02:00"
