"""The room's list of evidence is the climate table, no more and no less."""

from sourloam.climate import EVIDENCE
from sourloam.evidence import book


def test_every_climate_value_is_used_and_every_used_value_is_there():
    assert sorted(EVIDENCE) == sorted(book().ids("climate"))


def test_the_climate_table_is_what_it_was_when_last_weighed():
    """A checksum: changing a value is a deliberate act."""
    rows = book().topic("climate")
    assert len(rows) == 28
    assert round(sum(abs(row.value) + abs(row.low) + abs(row.high) for row in rows), 4) == 72.82
