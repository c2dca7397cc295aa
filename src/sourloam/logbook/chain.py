"""The chain of hashes: whether a place's entries are still what they were when they came in."""

from __future__ import annotations

from sourloam.ledger import EntryError, chain_hash
from sourloam.logbook.models import Entry, Place

_BATCH = 2000


def first_break(place_id: str) -> int | None:
    """Number of the first entry that was changed, lost or put in from outside; None if all hold.

    Place.DoesNotExist for an unknown place. Reads every entry of the place.
    """
    place = Place.objects.get(pk=place_id)
    before, number = "", 0
    rows = Entry.objects.filter(place_id=place_id).order_by("seq")
    for number, row in enumerate(rows.iterator(_BATCH), start=1):
        if row.seq != number or row.hash_before != before or row.hash != _sealed(before, row):
            return number
        before = row.hash
    ends_well = number == place.last_seq and before == place.last_hash
    return None if ends_well else number + 1


def _sealed(before: str, row: Entry) -> str | None:
    try:
        return chain_hash(before, row.read())
    except EntryError:  # what stands there was never taken in
        return None
