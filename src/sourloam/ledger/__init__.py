"""What people wrote down, and what follows from it.

Entries are written once and never changed (``parse_entry``, ``KINDS``); a later one may
supersede an earlier. ``fold`` makes of a set of entries the ``PlaceState``, ``fold_vessel`` that
of one vessel from the ``entries_about`` it. A forecast is anything of the shape ``Foreseen``.
"""

from sourloam.ledger.entries import Entry, EntryError, chain_hash, parse_body, parse_entry
from sourloam.ledger.fold import fold, fold_vessel
from sourloam.ledger.foreseen import Foreseen
from sourloam.ledger.kinds import KINDS, ROLES, Kind
from sourloam.ledger.state import PlaceState, VesselState
from sourloam.ledger.supersession import entries_about

__all__ = [
    "KINDS",
    "ROLES",
    "Entry",
    "EntryError",
    "Foreseen",
    "Kind",
    "PlaceState",
    "VesselState",
    "chain_hash",
    "entries_about",
    "fold",
    "fold_vessel",
    "parse_body",
    "parse_entry",
]
