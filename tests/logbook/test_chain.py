"""A hand that changes the database from outside is found out, at the right entry."""

from importlib import import_module

import pytest
from django.db import connection
from logbook_cast import fed, raw

from sourloam.logbook.chain import first_break
from sourloam.logbook.recording import record_entry

_TRIGGERS = import_module("sourloam.logbook.migrations.0002_append_only")


@pytest.fixture
def five(cast):
    for number in range(4):
        record_entry(cast.keeper, fed(cast.home.pk, mass_kg=1 + number))
    record_entry(cast.gardener, raw(cast.home.pk, "noted", {"note": "ñ, ½ and 土"}))
    return cast.home.pk


def test_untouched_entries_hold(five):
    assert first_break(five) is None


def test_an_empty_place_holds(cast):
    assert first_break(cast.other.pk) is None


@pytest.mark.parametrize(
    ("statement", "found"),
    [
        ('UPDATE logbook_entry SET body = \'{"vessel": "blue"}\' WHERE seq = 2', 2),
        ("UPDATE logbook_entry SET body = '{}' WHERE seq = 3", 3),
        ("UPDATE logbook_entry SET by = 'somebody' WHERE seq = 4", 4),
        ("UPDATE logbook_entry SET at = '2001-01-01 00:00:00' WHERE seq = 1", 1),
        ("UPDATE logbook_entry SET received_at = '2001-01-01 00:00:00' WHERE seq = 5", 5),
        ("DELETE FROM logbook_filing; DELETE FROM logbook_entry WHERE seq = 3", 3),
        ("DELETE FROM logbook_filing; DELETE FROM logbook_entry WHERE seq = 5", 5),
        ("UPDATE logbook_place SET last_seq = 9", 6),
    ],
)
def test_what_was_changed_from_outside_is_found(five, statement, found):
    with connection.cursor() as cursor:
        for one in _TRIGGERS._BACK[connection.vendor]:
            cursor.execute(one)
        for one in statement.split("; "):
            cursor.execute(one)
    assert first_break(five) == found
