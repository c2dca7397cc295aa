"""The one register of kinds of entry: body, who may write it, its label, what it is about."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from sourloam.ledger import bodies as b
from sourloam.ledger import bran_bodies

ROLES = ("coordinator", "keeper", "gardener", "reader")
_COORDINATOR = frozenset({"coordinator"})
_KEEPERS = frozenset({"coordinator", "keeper"})
_GARDENERS = frozenset({"coordinator", "keeper", "gardener"})


@dataclass(frozen=True)
class Kind:
    """One kind of entry. ``label`` is an English message id; ``things`` names the fields of the
    body that hold the ids of what it is about, the first one foremost."""

    name: str
    body: type[b.Body]
    roles: frozenset[str]
    label: str
    things: tuple[str, ...] = ()


_ALL = (
    Kind("place_described", b.PlaceDescribed, _COORDINATOR, "Place described"),
    Kind("measure_set", b.MeasureSet, _KEEPERS, "Measure set", ("measure",)),
    Kind("vessel_added", b.VesselAdded, _KEEPERS, "Vessel added", ("vessel",)),
    Kind("vessel_retired", b.VesselRetired, _KEEPERS, "Vessel retired", ("vessel",)),
    Kind("fed", b.Fed, _KEEPERS, "Layer fed", ("vessel",)),
    Kind("drained", b.Drained, _KEEPERS, "Drained", ("vessel",)),
    Kind("ph_read", b.PhRead, _KEEPERS, "pH read", ("vessel",)),
    Kind("looked", b.Looked, _GARDENERS, "Looked", ("vessel", "bed")),
    Kind("fill_marked", b.FillMarked, _KEEPERS, "Fill marked", ("vessel",)),
    Kind("weighed", b.Weighed, _KEEPERS, "Weighed", ("vessel",)),
    Kind("warmth_read", b.WarmthRead, _KEEPERS, "Warmth read", ("vessel",)),
    Kind("opened", b.Opened, _KEEPERS, "Opened", ("vessel",)),
    Kind("moved", b.Moved, _KEEPERS, "Moved", ("vessel",)),
    Kind("set_aside", b.SetAside, _KEEPERS, "Set aside to rest", ("vessel",)),
    Kind("judged", b.Judged, _KEEPERS, "Judged", ("vessel",)),
    Kind("emptied", b.Emptied, _KEEPERS, "Emptied", ("vessel",)),
    Kind("buried", b.Buried, _GARDENERS, "Buried", ("vessel", "bed")),
    Kind("washed", b.Washed, _KEEPERS, "Washed", ("vessel",)),
    Kind("photographed", b.Photographed, _GARDENERS, "Photographed", ("vessel", "bed")),
    Kind("rescued", b.Rescued, _GARDENERS, "Help sought", ("vessel", "bed")),
    Kind("noted", b.Noted, _GARDENERS, "Noted", ("vessel", "bed")),
    Kind("bed_added", b.BedAdded, _KEEPERS, "Bed added", ("bed",)),
    Kind("planted", b.Planted, _GARDENERS, "Planted", ("bed",)),
    Kind("harvested", b.Harvested, _GARDENERS, "Harvested", ("bed",)),
    Kind("liquid_fed", b.LiquidFed, _GARDENERS, "Fed with liquid", ("bed",)),
    Kind("bran_received", bran_bodies.BranReceived, _KEEPERS, "Bran received", ("lot",)),
    Kind("bran_ordered", bran_bodies.BranOrdered, _KEEPERS, "Bran ordered"),
    Kind("bran_made", bran_bodies.BranMade, _KEEPERS, "Bran made", ("lot",)),
    Kind("bran_mixed", bran_bodies.BranMixed, _KEEPERS, "Batch of bran mixed", ("lot",)),
    Kind("bran_dried", bran_bodies.BranDried, _KEEPERS, "Bran dried", ("lot",)),
    Kind("bran_packed", bran_bodies.BranPacked, _KEEPERS, "Bran packed", ("lot",)),
    Kind("bran_tested", bran_bodies.BranTested, _KEEPERS, "Bran tested", ("lot",)),
    Kind("bran_handed_out", bran_bodies.BranHandedOut, _KEEPERS, "Bran handed out", ("lot",)),
    Kind("bran_recalled", bran_bodies.BranRecalled, _KEEPERS, "Lot recalled", ("lot",)),
    Kind("bran_discarded", bran_bodies.BranDiscarded, _KEEPERS, "Bran thrown out", ("lot",)),
    Kind("bran_way_set", bran_bodies.BranWaySet, _KEEPERS, "How bran is made here"),
    # Who may strike follows the kind of the entry that is struck; a reader writes nothing.
    Kind("struck", b.Struck, _GARDENERS, "Taken out"),
)
KINDS: Mapping[str, Kind] = MappingProxyType({kind.name: kind for kind in _ALL})
