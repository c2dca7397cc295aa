"""What each kind of entry says: one checked model a kind, numbers in SI with the unit in the name.

``vessel``, ``bed``, ``lot`` and ``measure`` are ids made on a device. A field that is left out is
not known; nothing is guessed here.
"""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import model_validator

from sourloam.ledger import fields as f
from sourloam.site import Site
from sourloam.site.beds import Bed
from sourloam.site.equipment import VesselKind
from sourloam.site.quantities import one_of
from sourloam.site.sections import Section

PIECES = ("minced", "chopped", "whole")
USES = ("plants", "sink", "kept", "other")
OUTCOMES = ("mended", "unchanged", "lost", "another_cause")
FATES = ("buried", "tub", "given", "compost", "thrown")


class Body(Section):
    """Base of all bodies: strict, no unknown key, no change after reading."""


class _OfVessel(Body):
    vessel: f.Id
    """Id of the vessel."""


class _OfBed(Body):
    bed: f.Id
    """Id of the bed."""


class PlaceDescribed(Body):
    """The place as a site document; the newest one holds."""

    site: f.SiteDocument
    """The content of a site file as JSON."""

    def read_site(self) -> Site:
        """The document as the checked object that the science takes."""
        return f.checked(Site, self.site)


class MeasureSet(Body):
    """A household measure, weighed or filled once: a bowlful."""

    measure: f.Id
    """Id of the measure."""
    name: f.Line
    """What people call it."""
    mass_kg: f.MassKg | None = None
    """Mass of the scraps that it holds."""
    volume_l: f.VolumeL | None = None
    """Volume that it holds, loosely filled."""

    @model_validator(mode="after")
    def _one_size(self) -> Self:
        if (self.mass_kg is None) == (self.volume_l is None):
            raise ValueError("give either mass_kg or volume_l")
        return self


class VesselAdded(_OfVessel):
    """A vessel that the place has from now on; said again, its description changes."""

    name: f.Line
    """What people call it."""
    spec: f.VesselSpec
    """Its kind, as in the [[vessel]] section of a site file."""
    where: f.Line | None = None
    """Where it stands."""

    def read_spec(self) -> VesselKind:
        """Its kind as the checked section of a site file."""
        return f.checked(VesselKind, self.spec)


class VesselRetired(_OfVessel):
    """The vessel is no longer used."""


class Amount(Section):
    """How much went in: by mass, by volume, or so many of a measure."""

    mass_kg: f.MassKg | None = None
    """Weighed, kg."""
    volume_l: f.VolumeL | None = None
    """Loose volume, litres."""
    measure: f.Id | None = None
    """Id of a measure; with count."""
    count: f.Count | None = None
    """How many of the measure."""

    @model_validator(mode="after")
    def _one_way(self) -> Self:
        if (self.measure is None) != (self.count is None):
            raise ValueError("measure and count go together")
        if sum(x is not None for x in (self.mass_kg, self.volume_l, self.measure)) != 1:
            raise ValueError("give one of mass_kg, volume_l, or measure with count")
        return self


class Fed(_OfVessel):
    """A layer went in."""

    amount: Amount
    """How much: one of `mass_kg`, `volume_l`, or `measure` with `count`."""
    kinds: f.Mix | None = None
    """A ready mix by name, or shares by class; the place's usual if left out."""
    bran_g: f.BranG | None = None
    """Inoculated bran on it, g."""
    lot: f.Id | None = None
    """Which lot of bran."""
    temperature_c: f.TemperatureC | None = None
    """How warm it is inside, °C."""
    pieces: Annotated[str, one_of(*PIECES)] | None = None
    """How small the scraps went in; the place's usual if left out."""
    note: f.Note | None = None
    """Anything else."""


class Drained(_OfVessel):
    """Liquid was let out of the tap."""

    volume_ml: f.LiquidMl
    """How much, mL."""
    use: Annotated[str, one_of(*USES)] = "other"
    """Where it went."""


class PhRead(_OfVessel):
    """A pH strip or meter was read."""

    ph: f.Ph
    """The pH."""
    of: Annotated[str, one_of("liquid", "solid")] = "liquid"
    """What was tested."""


class _Seen(Body):
    """About one vessel or one bed."""

    vessel: f.Id | None = None
    """Id of the vessel."""
    bed: f.Id | None = None
    """Id of the bed."""

    @model_validator(mode="after")
    def _one_thing(self) -> Self:
        if (self.vessel is None) == (self.bed is None):
            raise ValueError("give either vessel or bed")
        return self


class Looked(_Seen):
    """Signs seen or smelled; no sign means that all looked well."""

    signs: f.Signs = ()
    """Ids of the signs."""
    note: f.Note | None = None
    """Anything else."""


class Photographed(_Seen):
    """A photo was taken."""

    photo: f.Photo
    """SHA-256 of the stored photo."""
    note: f.Note | None = None
    """Anything else."""


class FillMarked(_OfVessel):
    """How full the vessel looks."""

    fraction: f.Share
    """Share of the room for scraps that is taken."""


class Weighed(_OfVessel):
    """The vessel was weighed."""

    mass_kg: f.MassKg
    """What the scale showed, kg."""
    empty_kg: f.MassKg | None = None
    """Mass of the empty vessel, to be taken off; left out if the scale showed the contents."""

    @model_validator(mode="after")
    def _more_than_empty(self) -> Self:
        if self.empty_kg is not None and self.empty_kg > self.mass_kg:
            raise ValueError(f"empty_kg ({self.empty_kg:g}) is above mass_kg ({self.mass_kg:g})")
        return self


class WarmthRead(Body):
    """A thermometer was read, in a vessel or in the room."""

    temperature_c: f.TemperatureC
    """°C."""
    vessel: f.Id | None = None
    """Id of the vessel; the room's temperature if left out."""


class Opened(_OfVessel):
    """The lid was off for another reason than a layer."""

    why: f.Note | None = None
    """Why."""


class Moved(_OfVessel):
    """The vessel stands elsewhere now."""

    where: f.Line
    """Where."""


class SetAside(_OfVessel):
    """Full, or full enough: sealed, it rests from now on."""


class Judged(_OfVessel):
    """Somebody looked and decided whether the ferment is sound."""

    verdict: Annotated[str, one_of("sound", "failed")]
    """The verdict."""
    cause: f.Id | None = None
    """Id of the cause, if one was found."""


class Emptied(_OfVessel):
    """The contents left the vessel."""

    fate: Annotated[str, one_of(*FATES)]
    """Where they went."""
    mass_kg: f.MassKg | None = None
    """Mass of the ferment, if weighed."""


class Buried(_OfVessel):
    """A vessel's ferment, or part of it, went into a trench of a bed."""

    bed: f.Id
    """Id of the bed."""
    depth_m: f.DepthM
    """Depth of the trench."""
    width_m: f.LengthM
    """Width of the trench, along the bed."""
    length_m: f.LengthM
    """Length of the trench, across the bed."""
    cover_m: f.DepthM
    """Soil on top of the ferment."""
    along_m: f.AlongM | None = None
    """From the bed's beginning to the middle of the trench."""
    mass_kg: f.MassKg | None = None
    """Mass of the ferment in this trench, if known."""


class Washed(_OfVessel):
    """Rinsed and dried; it may be filled again."""


class Rescued(_Seen):
    """Help was sought: what was seen, what it was taken for, and how it went."""

    signs: f.Signs = ()
    """Ids of the signs that were there."""
    absent: f.Signs = ()
    """Ids of the signs that were looked for and not there."""
    cause: f.Id | None = None
    """Id of the cause; left out if it stayed unsure."""
    outcome: Annotated[str, one_of(*OUTCOMES)] | None = None
    """How it went, once that is known (by a correction of this entry)."""
    note: f.Note | None = None
    """Anything else."""


class Noted(Body):
    """A remark on a vessel, a bed or the place."""

    note: f.Note
    """The remark."""
    vessel: f.Id | None = None
    """Id of the vessel."""
    bed: f.Id | None = None
    """Id of the bed."""


class BedAdded(_OfBed):
    """A bed that the place has from now on; said again, its description changes."""

    name: f.Line
    """What people call it."""
    spec: f.BedSpec
    """The bed, as in the [[bed]] section of a site file."""

    def read_spec(self) -> Bed:
        """The bed as the checked section of a site file."""
        return f.checked(Bed, self.spec)


class Planted(_OfBed):
    """Sown or set out."""

    crop: f.Id
    """Name of the crop."""
    where: f.Line | None = None
    """Where in the bed."""
    along_m: f.AlongM | None = None
    """From the bed's beginning to the middle of the row."""


class Harvested(_OfBed):
    """Something was picked."""

    crop: f.Id
    """Name of the crop."""
    mass_kg: f.MassKg | None = None
    """How much."""


class LiquidFed(_OfBed):
    """Drained liquid, thinned with water, was poured on a bed."""

    litres: f.LiquidL
    """Drained liquid, before it was thinned."""
    parts_of_water: f.PartsOfWater
    """Parts of water for one of liquid."""


class Struck(Body):
    """The entry that this one supersedes is taken out."""
