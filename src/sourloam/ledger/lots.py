"""Lots of inoculated bran by a place's entries: what came, where it went, what is left."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any, Literal

from sourloam.bran.lots import LotEvent

if TYPE_CHECKING:
    from sourloam.ledger import bodies as b
    from sourloam.ledger import bran_bodies
    from sourloam.ledger.state import Record, Stores, VesselState

LotStage = Literal["souring", "dried", "store", "used_up", "recalled"]
_TINY_KG = 1e-6


@dataclass(frozen=True)
class WarnedOf:
    """That another place recalled a lot, or found in its own test that none of it may be given."""

    lot: str
    place: str
    day: dt.date
    recalled: bool


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
class LotPart:
    """What one vessel had of a lot, in order."""

    uses: tuple[LotUse, ...]

    @cached_property
    def mass_kg(self) -> float:
        """Bran on these layers."""
        return sum(use.mass_kg for use in self.uses)

    @cached_property
    def by_day(self) -> Mapping[dt.date, float]:
        """The same, day by day."""
        found: dict[dt.date, float] = {}
        for use in self.uses:
            found[use.layer.day] = found.get(use.layer.day, 0.0) + use.mass_kg
        return found


def parts_of(vessel: VesselState) -> Mapping[str | None, LotPart]:
    """What a vessel had of each lot; None for the layers that name no lot."""
    found: dict[str | None, list[LotUse]] = {}
    for turn in vessel.turns:
        for layer in turn.layers:
            found.setdefault(layer.body.lot, []).append(LotUse(vessel.id, vessel.name, layer))
    return {lot: LotPart(tuple(uses)) for lot, uses in found.items()}


@dataclass(frozen=True)
class LotState:
    """A lot; ``parts`` by vessel. ``unnamed_kg`` is what layers took that named no lot, taken off
    the oldest first."""

    id: str
    came: tuple[Record[bran_bodies.BranReceived], ...] = ()
    mixed: Record[bran_bodies.BranMixed] | None = None
    dried: Record[bran_bodies.BranDried] | None = None
    packed: tuple[Record[bran_bodies.BranPacked], ...] = ()
    tests: tuple[Record[bran_bodies.BranTested], ...] = ()
    handed: tuple[Record[bran_bodies.BranHandedOut], ...] = ()
    discards: tuple[Record[bran_bodies.BranDiscarded], ...] = ()
    recalls: tuple[Record[bran_bodies.BranRecalled], ...] = ()
    parts: tuple[LotPart, ...] = ()
    unnamed_kg: float = 0.0
    warned: WarnedOf | None = None

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

    @cached_property
    def uses(self) -> tuple[LotUse, ...]:
        """The layers that name the lot, in order."""
        every = (use for part in self.parts for use in part.uses)
        return tuple(sorted(every, key=lambda use: (use.layer.at, use.layer.entry)))

    @cached_property
    def vessel_names(self) -> tuple[str, ...]:
        """What the vessels that had of it are called, the first one first."""
        firsts = sorted((p.uses[0] for p in self.parts), key=lambda u: (u.layer.at, u.layer.entry))
        return tuple(dict.fromkeys(use.vessel_name for use in firsts))

    @cached_property
    def first_used(self) -> dt.date | None:
        """The day of the first layer that names it."""
        return min((part.uses[0].layer.day for part in self.parts), default=None)

    @cached_property
    def used_kg(self) -> float:
        """What went on layers that name the lot."""
        return sum(part.mass_kg for part in self.parts)

    @property
    def left_kg(self) -> float:
        """What must still be there; below 0 where more went than came."""
        return self.in_kg - self.out_kg - self.used_kg - self.unnamed_kg

    @property
    def recalled(self) -> Record[bran_bodies.BranRecalled] | None:
        """The first recall."""
        return self.recalls[0] if self.recalls else None

    @property
    def stored(self) -> dt.date | None:
        """The day from which it ages in the store; None while it is being made."""
        days = [r.day for r in (*self.came, *self.packed)]
        if not days and self.mixed is None:
            return self.first_used
        return min(days, default=None)

    @property
    def aged_from(self) -> dt.date | None:
        """The day from which its cells die: of packing, where whoever made it said so."""
        said = [
            r.day - dt.timedelta(days=round(r.body.age_days))
            for r in self.came
            if r.body.age_days is not None
        ]
        return min(said) if said else self.stored

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

    @cached_property
    def began(self) -> dt.date:
        """The day on which it is first heard of."""
        days = [r.day for r in self.log]
        return min([*days, self.first_used] if self.first_used else days)


_SERIES = {
    "bran_packed": "packed",
    "bran_tested": "tests",
    "bran_handed_out": "handed",
    "bran_discarded": "discards",
    "bran_recalled": "recalls",
}
_LAST = {"bran_mixed": "mixed", "bran_dried": "dried"}


def lots_of(
    stores: Stores, vessels: Iterable[VesselState], warnings: Iterable[WarnedOf] = ()
) -> tuple[LotState, ...]:
    """All lots, the newest first."""
    parts: dict[str, dict[str, Any]] = {}
    records: tuple[Record[Any], ...] = (*stores.bran_in, *stores.bran_log)
    for record in records:
        mine = parts.setdefault(record.body.lot, {})
        if record.kind in _LAST:
            mine[_LAST[record.kind]] = record
        else:
            mine.setdefault(_SERIES.get(record.kind, "came"), []).append(record)
    unnamed: list[LotPart] = []
    for vessel in vessels:
        for lot, part in vessel.lot_parts.items():
            if lot is None:
                unnamed.append(part)
            else:
                parts.setdefault(lot, {}).setdefault("parts", []).append(part)
    for warning in sorted(warnings, key=lambda one: (one.recalled, one.day)):
        if warning.lot in parts:
            parts[warning.lot]["warned"] = warning
    lots = [_lot(name, given) for name, given in parts.items()]
    return _newest_first(_with_unnamed(lots, unnamed))


def _lot(name: str, part: dict[str, Any]) -> LotState:
    given: dict[str, Any] = {k: tuple(v) if isinstance(v, list) else v for k, v in part.items()}
    return LotState(name, **given)


def _with_unnamed(lots: list[LotState], unnamed: Iterable[LotPart]) -> list[LotState]:
    """What layers took without naming a lot: off the oldest lot that was there and had any."""
    there = [(lot.stored, lot) for lot in sorted(lots, key=lambda lot: (lot.began, lot.id))]
    left = {lot.id: lot.left_kg for lot in lots}
    taken = dict.fromkeys(left, 0.0)
    for day, mass_kg in _by_day(unnamed) if lots else ():
        wanted = mass_kg
        for stored, lot in there:
            if stored is not None and stored <= day and left[lot.id] > 0 and wanted > 0:
                part = min(left[lot.id], wanted)
                left[lot.id] -= part
                taken[lot.id] += part
                wanted -= part
    return [replace(lot, unnamed_kg=taken[lot.id]) if taken[lot.id] else lot for lot in lots]


def _by_day(parts: Iterable[LotPart]) -> list[tuple[dt.date, float]]:
    """Bran of all these layers, day by day."""
    found: dict[dt.date, float] = {}
    for part in parts:
        for day, mass_kg in part.by_day.items():
            found[day] = found.get(day, 0.0) + mass_kg
    return sorted(found.items())


def _newest_first(lots: Iterable[LotState]) -> tuple[LotState, ...]:
    return tuple(sorted(lots, key=lambda lot: (lot.began, lot.id), reverse=True))


def started_from(lots: Iterable[LotState]) -> tuple[LotEvent, ...]:
    """Of the lots' story only which was started from which: enough to follow a line."""
    return tuple(
        LotEvent("made", lot.mixed.day, lot.id, 0.0, of_lots=(of,) if of else ())
        for lot in lots
        if lot.mixed is not None
        for of in (lot.mixed.body.of_lot,)
    )
