"""Entries that come in at once are filed as those that come in one by one."""

from dataclasses import replace
from uuid import UUID

import pytest
from django.db import connection, transaction
from django.test.utils import CaptureQueriesContext

from sourloam.ledger import parse_entry
from sourloam.logbook.chain import first_break
from sourloam.logbook.filing import chains
from sourloam.logbook.models import Filing, Place
from sourloam.logbook.recording import store, store_all

pytestmark = pytest.mark.django_db
AT = "2026-06-01T10:00:00+00:00"


def told(number, kind="fed", vessel="blue", over=None):
    body = {"vessel": vessel, "amount": {"mass_kg": 1.0}} if kind == "fed" else {}
    raw = {"id": str(UUID(int=number)), "place": "x", "kind": kind, "at": AT, "written_at": AT}
    link = {} if over is None else {"supersedes": str(UUID(int=over))}
    return parse_entry(raw | link | {"body": body})


def moved(entries, offset, place):
    """The same under other ids."""

    def other(key):
        return None if key is None else UUID(int=key.int + offset)

    return [
        replace(e, id=other(e.id), supersedes=other(e.supersedes), place=place) for e in entries
    ]


def filed(place, offset):
    rows = Filing.objects.filter(place_id=place).values_list("entry_id", "thing")
    return {(key.int - offset, thing) for key, thing in rows}


LEDGERS = {
    "alone": [told(1), told(2, vessel="green")],
    "put right into another vessel": [told(1), told(2, vessel="green", over=1)],
    "taken out": [told(1), told(2, "struck", over=1), told(3)],
    "two of one that never came": [told(1, over=9), told(2, vessel="green", over=9)],
    "a long chain": [
        told(n, vessel=f"v{n % 3}", over=n - 1 if n > 1 else None) for n in range(1, 9)
    ],
}


@pytest.mark.parametrize("name", LEDGERS)
@pytest.mark.parametrize("cut", [0, 1])
def test_at_once_is_as_one_by_one(name, cut):
    ledger = LEDGERS[name]
    one, other = Place.objects.create(name="One"), Place.objects.create(name="Other")
    with transaction.atomic():
        for entry in moved(ledger, 1000, one.pk):
            store(entry, None)
        many = moved(ledger, 2000, other.pk)
        for part in (many[:cut], many[cut:]):
            store_all(part, None, other)
    assert filed(one.pk, 1000) == filed(other.pk, 2000)
    other.refresh_from_db()
    assert other.last_seq == len(ledger)
    assert first_break(other.pk) is None


def test_hundreds_of_entries_ask_the_database_a_few_times_only():
    place = Place.objects.create(name="Flat")
    found = [replace(told(n), place=place.pk) for n in range(300)]
    with transaction.atomic(), CaptureQueriesContext(connection) as queries:
        store_all(found, None, place)
    assert Filing.objects.filter(place_id=place.pk).count() == 300
    assert len(queries) < 20  # SQLite takes some sixty rows at once


def test_what_hangs_together_is_one_chain_whatever_comes_first():
    a, b, c, d = (UUID(int=n) for n in range(1, 5))
    assert chains({c: b, a: None, b: a, d: None}) in ([{a, b, c}, {d}], [{d}, {a, b, c}])
    assert chains({a: d, b: d}) == [{a, b}]
