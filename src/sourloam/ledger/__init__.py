"""What people wrote down, and what follows from it.

Entries are written once and never changed (``parse_entry``, ``KINDS``); a later one may
supersede an earlier. ``fold`` makes of a set of entries the ``PlaceState``, ``fold_vessel`` that
of one vessel from the ``entries_about`` it. A forecast is anything of the shape ``Foreseen``;
with forecasts ``due`` lists the work of the coming days and ``stages`` what each vessel is now.
``mass_of`` turns a bowlful into kilograms with a range.
"""

from sourloam.ledger.amounts import mass_of
from sourloam.ledger.due import due, stages
from sourloam.ledger.entries import Entry, EntryError, chain_hash, parse_body, parse_entry
from sourloam.ledger.faults import Fault
from sourloam.ledger.fold import fold, fold_vessel
from sourloam.ledger.foreseen import Foreseen
from sourloam.ledger.kinds import KINDS, ROLES, Kind
from sourloam.ledger.state import PlaceState, VesselState
from sourloam.ledger.supersession import entries_about
from sourloam.ledger.work import Due

__all__ = [
    "KINDS",
    "ROLES",
    "Due",
    "Entry",
    "EntryError",
    "Fault",
    "Foreseen",
    "Kind",
    "PlaceState",
    "VesselState",
    "chain_hash",
    "due",
    "entries_about",
    "fold",
    "fold_vessel",
    "mass_of",
    "parse_body",
    "parse_entry",
    "stages",
]
