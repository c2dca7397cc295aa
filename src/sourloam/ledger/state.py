"""What a place, a vessel, a bed is, as its entries tell it: frozen, plain, comparable."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Generic, Literal, TypeVar
from uuid import UUID

from sourloam.ledger import bodies as b
from sourloam.ledger import bran_bodies
from sourloam.ledger.lots import LotPart, LotState, WarnedOf, lots_of, parts_of
from sourloam.ledger.supersession import Conflict, Oddity
from sourloam.site import Site

B_co = TypeVar("B_co", bound=b.Body, covariant=True)
Stage = Literal["empty", "filling", "resting", "ready", "held", "failed"]
STAGES: tuple[Stage, ...] = ("empty", "filling", "resting", "ready", "held", "failed")


@dataclass(frozen=True)
class Record(Generic[B_co]):
    """An entry that counts. ``day`` is its date in the place's zone; ``corrects`` the entry that
    it replaced, if any."""

    entry: UUID
    kind: str
    at: dt.datetime
    day: dt.date
    body: B_co
    by: str | None = None
    corrects: UUID | None = None


@dataclass(frozen=True)
class Turn:
    """One filling of a vessel, from its first layer to its emptying."""

    layers: tuple[Record[b.Fed], ...] = ()
    drains: tuple[Record[b.Drained], ...] = ()
    phs: tuple[Record[b.PhRead], ...] = ()
    looks: tuple[Record[b.Looked], ...] = ()
    marks: tuple[Record[b.FillMarked], ...] = ()
    weighings: tuple[Record[b.Weighed], ...] = ()
    warmths: tuple[Record[b.WarmthRead], ...] = ()
    openings: tuple[Record[b.Opened], ...] = ()
    photos: tuple[Record[b.Photographed], ...] = ()
    rescues: tuple[Record[b.Rescued], ...] = ()
    notes: tuple[Record[b.Noted], ...] = ()
    judgements: tuple[Record[b.Judged], ...] = ()
    burials: tuple[Record[b.Buried], ...] = ()
    set_aside: Record[b.SetAside] | None = None
    emptied: Record[b.Emptied] | None = None

    @property
    def began(self) -> Record[b.Body]:
        """What began it: the first layer, or the first fill mark where layers went unlogged."""
        return min((*self.layers[:1], *self.marks[:1]), key=lambda r: (r.at, r.entry))

    @property
    def last_fed(self) -> Record[b.Fed] | None:
        """The newest layer."""
        return self.layers[-1] if self.layers else None

    @property
    def liquid_ml(self) -> float:
        """Liquid let out so far, mL."""
        return sum(r.body.volume_ml for r in self.drains)

    @property
    def verdict(self) -> str | None:
        """``sound`` or ``failed`` by the last judgement, None if nobody judged."""
        return self.judgements[-1].body.verdict if self.judgements else None

    @property
    def ended(self) -> Record[b.Body] | None:
        """The emptying or the first burial; None while it is under way."""
        ends: list[Record[b.Body]] = [*self.burials[:1]]
        if self.emptied is not None:
            ends.append(self.emptied)
        return min(ends, key=lambda r: (r.at, r.entry)) if ends else None

    @property
    def fate(self) -> str | None:
        """Where the contents went; None while it is under way."""
        if self.emptied is not None:
            return self.emptied.body.fate
        return "buried" if self.burials else None


@dataclass(frozen=True)
class VesselState:
    """A vessel. ``log`` holds every record about it in order; ``added`` None if it was never
    described."""

    id: str
    added: Record[b.VesselAdded] | None = None
    where: str | None = None
    retired: Record[b.VesselRetired] | None = None
    turns: tuple[Turn, ...] = ()
    washed: Record[b.Washed] | None = None
    log: tuple[Record[b.Body], ...] = ()
    conflicts: tuple[Conflict, ...] = ()
    oddities: tuple[Oddity, ...] = ()

    @property
    def name(self) -> str:
        """What people call it, or its id."""
        return self.id if self.added is None else self.added.body.name

    @property
    def turn(self) -> Turn | None:
        """The filling under way, if any."""
        return self.turns[-1] if self.turns and self.turns[-1].ended is None else None

    @property
    def stage(self) -> Stage:
        """What it is by its entries alone; ``stage_on`` adds what is foreseen."""
        turn = self.turn
        if turn is None:
            return "empty"
        if turn.verdict == "failed":
            return "failed"
        if turn.set_aside is None:
            return "filling"
        return "ready" if turn.verdict == "sound" else "resting"

    @property
    def dirty(self) -> bool:
        """Emptied and not washed since."""
        if not self.turns or self.turns[-1].ended is None:
            return False
        last = self.turns[-1]
        out = last.emptied or last.ended
        return out is not None and (self.washed is None or self.washed.at < out.at)

    @cached_property
    def lot_parts(self) -> Mapping[str | None, LotPart]:
        """Its layers by the lot of bran that they name."""
        return parts_of(self)


@dataclass(frozen=True)
class BedState:
    """A bed with what went into it and what grew there."""

    id: str
    added: Record[b.BedAdded] | None = None
    burials: tuple[Record[b.Buried], ...] = ()
    plantings: tuple[Record[b.Planted], ...] = ()
    harvests: tuple[Record[b.Harvested], ...] = ()
    liquids: tuple[Record[b.LiquidFed], ...] = ()
    log: tuple[Record[b.Body], ...] = ()
    conflicts: tuple[Conflict, ...] = ()
    oddities: tuple[Oddity, ...] = ()

    @property
    def name(self) -> str:
        """What people call it, or its id."""
        return self.id if self.added is None else self.added.body.name


@dataclass(frozen=True)
class Stores:
    """What belongs to the place as a whole: its description, measures, bran (``bran_log``: what
    happened to lots besides coming in and being fed), the room's warmth; with the conflicts and
    oddities that concern no vessel and no bed."""

    described: Record[b.PlaceDescribed] | None = None
    measures: tuple[Record[b.MeasureSet], ...] = ()
    bran_in: tuple[Record[bran_bodies.BranReceived], ...] = ()
    bran_ordered: tuple[Record[bran_bodies.BranOrdered], ...] = ()
    bran_log: tuple[Record[bran_bodies.OfLot], ...] = ()
    bran_ways: tuple[Record[bran_bodies.BranWaySet], ...] = ()
    warmths: tuple[Record[b.WarmthRead], ...] = ()
    notes: tuple[Record[b.Noted], ...] = ()
    conflicts: tuple[Conflict, ...] = ()
    oddities: tuple[Oddity, ...] = ()


@dataclass(frozen=True)
class PlaceState:
    """A place: vessels and beds by id, its stores, and all that was found odd; ``warnings`` is what
    other places know of its lots."""

    stores: Stores = Stores()
    vessels: tuple[VesselState, ...] = ()
    beds: tuple[BedState, ...] = ()
    conflicts: tuple[Conflict, ...] = ()
    oddities: tuple[Oddity, ...] = ()
    warnings: tuple[WarnedOf, ...] = ()

    def vessel(self, vessel_id: str) -> VesselState:
        """The vessel of that id; KeyError if no entry names it."""
        return _by_id(self.vessels, vessel_id)

    def bed(self, bed_id: str) -> BedState:
        """The bed of that id; KeyError if no entry names it."""
        return _by_id(self.beds, bed_id)

    def site(self) -> Site | None:
        """The place's newest description, None if nobody gave one."""
        described = self.stores.described
        return None if described is None else described.body.read_site()

    def measure(self, measure_id: str) -> b.MeasureSet | None:
        """The newest calibration of a measure, None if there is none."""
        found = [r.body for r in self.stores.measures if r.body.measure == measure_id]
        return found[0] if found else None

    @property
    def bran_used_g(self) -> float:
        """Bran on all layers, g."""
        return 1000 * sum(part.mass_kg for v in self.vessels for part in v.lot_parts.values())

    @property
    def bran_left_kg(self) -> float:
        """Bran that came in less bran that was used, handed out or thrown out, kg; may fall below
        0 where some went unlogged."""
        kept = sum(lot.in_kg - lot.out_kg for lot in self.lots)
        return kept - self.bran_used_g / 1000

    @cached_property
    def lots(self) -> tuple[LotState, ...]:
        """Every lot of inoculated bran that the place has or had, the newest first."""
        return lots_of(self.stores, self.vessels, self.warnings)

    def lot(self, lot_id: str) -> LotState:
        """The lot of that id; KeyError if no entry names it."""
        return _by_id(self.lots, lot_id)

    def layers(self) -> tuple[Record[b.Fed], ...]:
        """All layers of all vessels in order."""
        return tuple(sorted(self.each_layer(), key=lambda r: (r.at, r.entry)))

    def layers_since(self, day: dt.date) -> list[Record[b.Fed]]:
        """Layers from a day on, vessel by vessel."""
        turns = (turn for vessel in self.vessels for turn in vessel.turns)
        late = (turn for turn in turns if turn.layers and turn.layers[-1].day >= day)
        return [layer for turn in late for layer in turn.layers if layer.day >= day]

    def each_layer(self) -> Iterator[Record[b.Fed]]:
        """All layers, vessel by vessel."""
        return (layer for v in self.vessels for turn in v.turns for layer in turn.layers)


_Thing = TypeVar("_Thing", VesselState, BedState, LotState)


def _by_id(things: tuple[_Thing, ...], wanted: str) -> _Thing:
    for thing in things:
        if thing.id == wanted:
            return thing
    raise KeyError(wanted)
