"""What people wrote down, and what follows from it.

Entries are written once and never changed (``parse_entry``, ``KINDS``); a later one may
supersede an earlier.
"""

from sourloam.ledger.entries import Entry, EntryError, chain_hash, parse_body, parse_entry
from sourloam.ledger.kinds import KINDS, ROLES, Kind

__all__ = [
    "KINDS",
    "ROLES",
    "Entry",
    "EntryError",
    "Kind",
    "chain_hash",
    "parse_body",
    "parse_entry",
]
