"""Beds and finished vessels as people write them, and what the garden room takes.

``Bed`` (with its ``Planting``s) and ``FinishedVessel`` are sections of a site file;
``to_beds`` and ``to_finished`` turn them into the garden's own.
"""

from __future__ import annotations

import datetime as dt
import math
import re
from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import Annotated, Self

import numpy as np
from pydantic import Field, model_validator

from sourloam import garden, soil
from sourloam.evidence import Parameters, book
from sourloam.site.conversion import spans_within
from sourloam.site.land import Ground, PerArea
from sourloam.site.quantities import Date, Day, Name, Read, number, one_of, quantity
from sourloam.site.sections import Section, Span
from sourloam.site.wording import nearest, shown

BedLength = Annotated[float, quantity("length", "4 m", "30 cm", "1000 m")]
BedWidth = Annotated[float, quantity("length", "1.2 m", "30 cm", "100 m")]
BedDepth = Annotated[float, quantity("length", "40 cm", "5 cm", "3 m")]
FermentMass = Annotated[float, quantity("mass", "12 kg", "0.1 kg", "2000 kg")]
Content = Annotated[float, quantity("share", "6 g/kg", "0.1 g/kg", "60 g/kg")]
_SALT = re.compile(r"\s*(\d{1,3}(?:\.\d{1,6})?)\s*(?:dS/m|mS/cm)\s*")
_SALTIEST = 40.0
_A_YEAR = (dt.date(2001, 1, 1), dt.date(2002, 12, 31))  # any two common years
_AFTERWARDS = dt.timedelta(days=200)  # what goes in beyond the plan still sets waits within it
_LONGEST = 60  # plantings of one bed
_TEXTURE_IF_NONE = "loam"


def _salt(value: object) -> float:
    match = _SALT.fullmatch(value) if isinstance(value, str) else None
    if match is None or not 0 <= float(match[1]) <= _SALTIEST:
        raise ValueError(f'found {shown(value)}; write salt of the soil as "1.2 dS/m" (0 to 40)')
    return float(match[1])


Salt = Annotated[float, Read(_salt, {"type": "string", "examples": ["1.2 dS/m"]})]


def _crop(value: object) -> str:
    names = garden.crop_names()
    if not isinstance(value, str) or value not in names:
        few = "; sourloam sources crops lists them all"
        raise ValueError(f"found {shown(value)};{nearest(value, names) or ' no such crop'}{few}")
    return value


Crop = Annotated[str, Read(_crop, {"type": "string", "enum": list(garden.crop_names())})]


class Planting(Span):
    """[[bed.planting]]: a crop in that bed, from the day it goes in to the day it is out."""

    crop: Crop
    """What grows: the name of a crop."""
    sown: bool = True
    """True for seed, false for plants set out; seed needs the ground to rest longer."""
    harvest: Day | None = None
    """First day of picking, written like `from`; the crop's usual time if left out."""

    @model_validator(mode="after")
    def _harvest_alike(self) -> Self:
        if self.harvest is not None and isinstance(self.harvest, str) != self.yearly:
            raise ValueError('harvest and from differ; write both as 2026-07-20 or both as "07-20"')
        return self


class Bed(Section):
    """[[bed]]: one bed that may take ferment; trenches run across its width."""

    name: Name
    """What you call it; each bed has its own name."""
    length_m: BedLength = Field(alias="length")
    """How long it is."""
    width_m: BedWidth = Field(alias="width")
    """How wide it is."""
    texture: Annotated[str, one_of(*soil.TEXTURES)] | None = None
    """How the soil feels; as in [ground] if left out."""
    depth_m: BedDepth | None = Field(None, alias="depth")
    """Depth of loose soil that a spade can open; two spades' depth if left out."""
    nitrogen_limit_kg_m2: PerArea | None = Field(None, alias="nitrogen_limit")
    """Most nitrogen a year, if it differs from that of [ground] or the usual ceiling."""
    phosphorus_limit_kg_m2: PerArea | None = Field(None, alias="phosphorus_limit")
    """Most phosphorus a year; none is held to if left out, and the plan tells the figure."""
    nitrogen_given_kg_m2: PerArea | None = Field(None, alias="nitrogen_given")
    """Nitrogen that manure, compost or fertiliser has already brought this year, if any."""
    salt_ds_m: Salt | None = Field(None, alias="salt")
    """Salt of the soil if measured: conductivity of the saturated paste."""
    ph: Annotated[float, number(3, 10)] | None = None
    """pH of the soil if measured."""
    plantings: Annotated[
        list[Planting], Field(max_length=_LONGEST, default_factory=list, alias="planting")
    ]
    """What grows there, one after another."""

    @model_validator(mode="after")
    def _one_crop_at_a_time(self) -> Self:
        dated = [p for p in self.plantings if not p.yearly]
        first = min((p.start for p in dated if isinstance(p.start, dt.date)), default=_A_YEAR[0])
        last = max((p.end for p in dated if isinstance(p.end, dt.date)), default=_A_YEAR[1])
        _bed(self, Ground(none=True), first, (first, last))
        return self


class FinishedVessel(Section):
    """[[finished]]: a vessel whose ferment is ready, or will be, to be buried."""

    name: Name
    """What you call it."""
    ready: Date
    """Day on which its rest is over."""
    mass_kg: FermentMass = Field(alias="mass")
    """Mass of the ferment."""
    nitrogen: Content | None = None
    """Nitrogen in it, if analysed; typical if left out."""
    meat: Annotated[str, one_of("none", "some", "much")] = "some"
    """How much meat, fish, egg, dairy or plate waste went in; much is above 15 % by mass."""


def to_beds(
    beds: Iterable[Bed], ground: Ground, start: dt.date, until: dt.date
) -> tuple[garden.Bed, ...]:
    """The garden's beds, days counted from ``start``; what a bed leaves unsaid is as in ``ground``.

    Plantings that come back every year are set out until some months after ``until``.
    """
    return tuple(_bed(bed, ground, start, (start, until + _AFTERWARDS)) for bed in beds)


def _bed(bed: Bed, ground: Ground, start: dt.date, window: tuple[dt.date, dt.date]) -> garden.Bed:
    own = bed.nitrogen_limit_kg_m2
    return garden.Bed(
        name=bed.name,
        length_m=bed.length_m,
        width_m=bed.width_m,
        texture=bed.texture or ground.texture or _TEXTURE_IF_NONE,
        depth_m=book()["beds.usual_depth"].value if bed.depth_m is None else bed.depth_m,
        plantings=tuple(p for one in bed.plantings for p in _plantings(one, start, window)),
        nitrogen_limit_kg_m2=ground.nitrogen_limit_kg_m2 if own is None else own,
        phosphorus_limit_kg_m2=bed.phosphorus_limit_kg_m2,
        given_kg_m2=bed.nitrogen_given_kg_m2 or 0.0,
        ece_ds_m=bed.salt_ds_m,
        ph=bed.ph,
    )


def _plantings(
    planting: Planting, start: dt.date, window: tuple[dt.date, dt.date]
) -> Iterator[garden.Planting]:
    for first, last in spans_within(planting, *window):
        picked = _harvest(planting, first)
        yield garden.Planting(
            crop=planting.crop,
            start_day=(first - start).days,
            end_day=(last - start).days,
            sown=planting.sown,
            harvest_day=None if picked is None else (picked - start).days,
        )


def _harvest(planting: Planting, first: dt.date) -> dt.date | None:
    """The first picking that follows the day the crop went in."""
    if planting.harvest is None or isinstance(planting.harvest, dt.date):
        return planting.harvest
    month, day = (int(part) for part in planting.harvest.split("-"))
    year = first.year + ((month, day) < (first.month, first.day))
    return dt.date(year, month, min(day, 28) if month == 2 else day)


def to_finished(
    vessels: Iterable[FinishedVessel], start: dt.date, parameters: Parameters
) -> tuple[garden.Finished, ...]:
    """The garden's finished vessels with a typical ferment, days counted from ``start``."""
    found = []
    for vessel in vessels:
        portion = soil.Portion.typical(vessel.mass_kg, parameters)
        if vessel.nitrogen is not None:
            nitrogen = np.full(parameters.members, vessel.mass_kg * vessel.nitrogen)
            ammonium = portion.ammonium_nitrogen_kg / portion.nitrogen_kg * nitrogen
            portion = replace(portion, nitrogen_kg=nitrogen, ammonium_nitrogen_kg=ammonium)
        ready = max(math.floor((vessel.ready - start).days), 0)
        found.append(
            garden.Finished(
                vessel.name, ready, portion, vessel.meat != "none", vessel.meat == "much"
            )
        )
    return tuple(found)
