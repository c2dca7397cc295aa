"""Nothing changes an entry or takes it away: not the model, not a query, not the database."""

import pytest
from django.db import DatabaseError, connection, transaction
from logbook_cast import fed

from sourloam.logbook.models import AppendOnlyError, Entry
from sourloam.logbook.recording import record_entry


@pytest.fixture
def row(cast):
    record_entry(cast.keeper, fed(cast.home.pk))
    return Entry.objects.get()


@pytest.mark.parametrize(
    "act",
    [
        lambda row: row.save(),
        lambda row: row.delete(),
        lambda row: Entry.objects.filter(pk=row.pk).update(by="x"),
        lambda row: Entry.objects.all().delete(),
        lambda row: Entry.objects.bulk_update([row], ["by"]),
        lambda row: Entry.objects.update_or_create(pk=row.pk, defaults={"by": "x"}),
        lambda row: row.place.entries.all().delete(),
        lambda row: row.place.entries.update(by="x"),
    ],
)
def test_the_model_refuses(row, act):
    with pytest.raises(AppendOnlyError):
        act(row)
    assert Entry.objects.get().by == "keeper"


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE logbook_entry SET by = 'x'",
        "UPDATE logbook_entry SET at = received_at",
        "DELETE FROM logbook_entry",
    ],
)
def test_the_database_refuses(row, statement):
    with (
        pytest.raises(DatabaseError, match="never changed"),
        transaction.atomic(),
        connection.cursor() as cursor,
    ):
        cursor.execute(statement)
    assert Entry.objects.get().by == "keeper"
