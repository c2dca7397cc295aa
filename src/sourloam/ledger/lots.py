"""Lots of inoculated bran by a place's entries: what came, where it went, what is left."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Literal

from sourloam.bran.lots import LotEvent

if TYPE_CHECKING:
    from sourloam.ledger import bodies as b
    from sourloam.ledger.state import Record, Stores, VesselState

LotStage = Literal["souring", "dried", "store", "used_up", "recalled"]
_TINY_KG = 1e-6


@dataclass(frozen=True)
class LotUse:
    """A layer that a lot went on."""

    vessel: str
    vessel_name: str
    layer: Record[b.Fed]

    @property
    def mass_kg(self) -> float:
        """Bran on the layer, 0 where nobody wrote how much."""
        return (self.layer.body.bran_g or 0.0) / 1000


@dataclass(frozen=True)
class LotState:
    """A lot. ``unnamed_kg`` is what layers took that named no lot, taken off the oldest first."""

    id: str
    came: tuple[Record[b.BranReceived], ...] = ()
    mixed: Record[b.BranMixed] | None = None
    dried: Record[b.BranDried] | None = None
    packed: tuple[Record[b.BranPacked], ...] = ()
    tests: tuple[Record[b.BranTested], ...] = ()
    handed: tuple[Record[b.BranHandedOut], ...] = ()
    discards: tuple[Record[b.BranDiscarded], ...] = ()
    recalls: tuple[Record[b.BranRecalled], ...] = ()
    uses: tuple[LotUse, ...] = ()
    unnamed_kg: float = 0.0

    @property
    def bought(self) -> bool:
        """Whether it came from elsewhere."""
        return any(r.kind == "bran_received" for r in self.came)

    @property
    def made_here(self) -> bool:
        """Whether it was mixed or made at this place."""
        return self.mixed is not None or any(r.kind == "bran_made" for r in self.came)

    @property
    def in_kg(self) -> float:
        """What came into the store: what was weighed in packing holds over what was made."""
        received = sum(r.body.mass_kg for r in self.came if r.kind == "bran_received")
        made = sum(r.body.mass_kg for r in self.came if r.kind == "bran_made")
        return received + (sum(r.body.mass_kg for r in self.packed) or made)

    @property
    def out_kg(self) -> float:
        """What was handed out or thrown out."""
        handed = sum(r.body.mass_kg for r in self.handed)
        return handed + sum(r.body.mass_kg for r in self.discards)

    @property
    def used_kg(self) -> float:
        """What went on layers that name the lot."""
        return sum(use.mass_kg for use in self.uses)

    @property
    def left_kg(self) -> float:
        """What must still be there; below 0 where more went than came."""
        return self.in_kg - self.out_kg - self.used_kg - self.unnamed_kg

    @property
    def recalled(self) -> Record[b.BranRecalled] | None:
        """The first recall."""
        return self.recalls[0] if self.recalls else None

    @property
    def stored(self) -> dt.date | None:
        """The day from which it ages in the store; None while it is being made."""
        days = [r.day for r in (*self.came, *self.packed)]
        if not days and self.mixed is None and self.uses:
            days = [self.uses[0].layer.day]
        return min(days, default=None)

    @property
    def stage(self) -> LotStage:
        """What it is now."""
        if self.recalls:
            return "recalled"
        if self.stored is None:
            return "dried" if self.dried is not None else "souring"
        return "store" if self.left_kg > _TINY_KG else "used_up"

    @property
    def log(self) -> tuple[Record[Any], ...]:
        """Every record about it but the layers, in order."""
        found = [
            *self.came, *self.packed, *self.tests, *self.handed, *self.discards, *self.recalls,
            *(r for r in (self.mixed, self.dried) if r is not None),
        ]  # fmt: skip
        return tuple(sorted(found, key=lambda r: (r.at, r.entry)))

    @property
    def began(self) -> dt.date:
        """The day on which it is first heard of."""
        days = [r.day for r in (*self.log, *(use.layer for use in self.uses))]
        return min(days)


_SERIES = {
    "bran_packed": "packed",
    "bran_tested": "tests",
    "bran_handed_out": "handed",
    "bran_discarded": "discards",
    "bran_recalled": "recalls",
}
_LAST = {"bran_mixed": "mixed", "bran_dried": "dried"}


def lots_of(stores: Stores, vessels: Iterable[VesselState]) -> tuple[LotState, ...]:
    """All lots, the newest first."""
    parts: dict[str, dict[str, Any]] = {}
    records: tuple[Record[Any], ...] = (*stores.bran_in, *stores.bran_log)
    for record in records:
        mine = parts.setdefault(record.body.lot, {})
        if record.kind in _LAST:
    @property
    def aged_from(self) -> dt.date | None:
        """The day from which its cells die: of packing, where whoever made it said so."""
        said = [
            r.day - dt.timedelta(days=round(r.body.age_days))
            for r in self.came
            if r.body.age_days is not None
        ]
        return min(said) if said else self.stored

            mine[_LAST[record.kind]] = record
        else:
            mine.setdefault(_SERIES.get(record.kind, "came"), []).append(record)
    unnamed: list[LotUse] = []
    for use in _uses(vessels):
        lot = use.layer.body.lot
        if lot is None:
            unnamed.append(use)
        else:
            parts.setdefault(lot, {}).setdefault("uses", []).append(use)
    lots = [_lot(name, part) for name, part in parts.items()]
    return _newest_first(_with_unnamed(lots, unnamed))


def _uses(vessels: Iterable[VesselState]) -> list[LotUse]:
    found = [
        LotUse(v.id, v.name, layer) for v in vessels for turn in v.turns for layer in turn.layers
    ]
    return sorted(found, key=lambda use: (use.layer.at, use.layer.entry))


def _lot(name: str, part: dict[str, Any]) -> LotState:
    given: dict[str, Any] = {k: tuple(v) if isinstance(v, list) else v for k, v in part.items()}
    return LotState(name, **given)


def _with_unnamed(lots: list[LotState], unnamed: Iterable[LotUse]) -> list[LotState]:
    """What layers took without naming a lot: off the oldest lot that was there and had any."""
    there = [(lot.stored, lot) for lot in sorted(lots, key=lambda lot: (lot.began, lot.id))]
    left = {lot.id: lot.left_kg for lot in lots}
    taken = dict.fromkeys(left, 0.0)
    for use in unnamed:
        wanted, day = use.mass_kg, use.layer.day
        for stored, lot in there:
            if stored is not None and stored <= day and left[lot.id] > 0 and wanted > 0:
                part = min(left[lot.id], wanted)
                left[lot.id] -= part
                taken[lot.id] += part
                wanted -= part
    return [replace(lot, unnamed_kg=taken[lot.id]) if taken[lot.id] else lot for lot in lots]


def _newest_first(lots: Iterable[LotState]) -> tuple[LotState, ...]:
    return tuple(sorted(lots, key=lambda lot: (lot.began, lot.id), reverse=True))


def events_of(lots: Iterable[LotState], place: str = "") -> tuple[LotEvent, ...]:
    """The lots' story as the bran room traces it; ``place`` names where the vessels stand.

    Vessels are told as ``place/vessel`` so that those of several places stay apart.
    """
    events: list[LotEvent] = []
    for lot in lots:
        name = lot.id
        if lot.mixed is not None:
            of = lot.mixed.body.of_lot
            kept = (of,) if of else ()
            events.append(LotEvent("made", lot.mixed.day, name, 0.0, of_lots=kept))
        if lot.stored is not None:
            kind: Literal["bought", "made"] = "bought" if lot.bought else "made"
            events.append(LotEvent(kind, lot.stored, name, lot.in_kg, place=place))
        for handed in lot.handed:
            body = handed.body
            events.append(LotEvent("handed_out", handed.day, name, body.mass_kg, place=body.to))
        for use in lot.uses:
            at = f"{place}/{use.vessel}"
            events.append(LotEvent("used", use.layer.day, name, use.mass_kg, place, at))
        events += [LotEvent("recalled", r.day, name) for r in lot.recalls]
    return tuple(events)
