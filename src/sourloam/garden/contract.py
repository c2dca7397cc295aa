"""The answer of a garden plan, field by field: what ``--json`` prints and every report reads.

Quantities are a median with the 10 and 90 % points over the members; ``None`` in a range means
"beyond the time foreseen".
"""

from __future__ import annotations

from datetime import date as Day
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from sourloam.numerics import Range as Range  # part of every answer

State = Literal["fresh", "settling", "ready"]


class _Model(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


class CropSpan(_Model):
    """One planting of a bed (last day included)."""

    crop: str = Field(description="name in words")
    start: Day
    end: Day
    sown: bool
    nitrogen_wanted: Range = Field(description="beyond what the soil gives, g")
    nitrogen_given: Range = Field(description="that comes free from ferment buried for it, g")


class BedAnswer(_Model):
    """One bed: its limits, what goes into it, what it still wants."""

    name: str
    length: float = Field(description="m")
    width: float = Field(description="m")
    texture: str
    plantings: tuple[CropSpan, ...]
    nitrogen_limit: float = Field(description="g a year")
    nitrogen_buried: Range = Field(description="total nitrogen buried, g")
    phosphorus_limit: float | None = Field(description="g a year; None where the site states none")
    phosphorus_carried: float = Field(description="that harvests carry away, g a year")
    phosphorus_buried: Range = Field(description="g")
    trench_room: float = Field(description="m of trench a year")
    trench_used: float = Field(description="m")
    closed: str = Field("", description="why no ferment fits here at all; empty if some does")


class TrenchPiece(_Model):
    """A straight piece of a trench: where it lies in the bed, m from the bed's corner."""

    along: float = Field(description="its middle along the bed's length")
    start: float = Field(description="from here across the bed")
    end: float = Field(description="to here")


class BurialAnswer(_Model):
    """One vessel, or a share of it, into one bed in one week."""

    vessel: str
    bed: str
    week: Day = Field(description="first day of the week")
    share: float = Field(description="of the vessel, 0-1")
    mass: Range = Field(description="kg")
    length: float = Field(description="of trench, m")
    depth: float = Field(description="m")
    width: float = Field(description="m")
    cover: float = Field(description="soil on top, m")
    load: float = Field(description="ferment per metre, kg/m")
    mound: Range = Field(description="heap the soil this much higher; it sinks, cm")
    pieces: tuple[TrenchPiece, ...]
    wait: Range = Field(description="days until it may be planted over")
    wait_held_by: str = Field(
        "", description="what makes the longest waits so long; empty where they are not"
    )
    plant_from: Day | None = Field(description="first day by the longest usual wait")
    next_crop: str
    among_rows: bool = Field(description="the trench runs between rows of a standing crop")
    held: int = Field(description="days the sealed vessel waits")
    reason: str
    elsewhere: tuple[str, ...] = Field(description="why not another bed that week")


class WayOut(_Model):
    """One smallest change, alone, that would let all be buried."""

    kind: Literal["more bed", "less ferment", "store"]
    amount: float
    unit: str
    text: str


class LeftOver(_Model):
    """What is left of a vessel of which a part goes into a bed."""

    vessel: str
    mass: float = Field(description="kg")


class Burials(_Model):
    """The burial plan."""

    answer: str
    possible: bool
    plan: tuple[BurialAnswer, ...]
    stored: tuple[str, ...] = Field(description="vessels that find no place at all in this time")
    left_over: tuple[LeftOver, ...] = Field(description="rest of vessels that go in only in part")
    ways_out: tuple[WayOut, ...]
    refusals: tuple[str, ...] = Field(description="beds and times that take nothing, in words")


class StrengthDay(_Model):
    """The liquid so many days after draining, in an open jar."""

    day: int
    ph: Range
    acids: Range = Field(description="mmol/L")
    conductivity: Range = Field(description="dS/m")
    ammonium: Range = Field(description="g N/L")


class ThinningLine(_Model):
    """How far to thin for one crop: parts of water to one of liquid that are enough in nine
    cases of ten (None where no thinning is), and the middle estimate beside it."""

    crop: str
    seedlings: int | None
    seedlings_middle: int | None
    established: int | None
    established_middle: int | None
    limited_by: Literal["salt", "acid"]


class FeedingWeek(_Model):
    """One week."""

    week: Day
    supply: Range = Field(description="drained, L")
    used: Range = Field(description="L")
    surplus: Range = Field(description="L")
    beds: tuple[FeedingBed, ...]


class FeedingBed(_Model):
    """One bed in one week."""

    bed: str
    crop: str
    liquid: float = Field(description="L, before thinning")
    parts_of_water: int | None
    per_m2: float = Field(description="thinned liquid, L/m2")
    stopped: bool = Field(description="too near the harvest of a crop eaten raw")


class FeedingMonth(_Model):
    """What to pour on one bed in each week of a month that has feed."""

    bed: str
    crop: str
    month: Day = Field(description="its first day")
    weeks: int = Field(description="weeks with feed")
    liquid: float = Field(description="L a week, before thinning")
    water: float = Field(description="L a week, to thin it with")
    stop: Day | None = Field(None, description="no more from here on: its harvest is near")


class FedBed(_Model):
    """What ferment and liquid bring a bed in the time planned, beside what its crops want."""

    bed: str
    nitrogen: Range = Field(description="g")
    phosphorus: Range = Field(description="g")
    potassium: Range = Field(description="g")
    nitrogen_wanted: float = Field(description="g")
    nitrogen_from_ferment: float = Field(description="that comes free from what is buried, g")


class Feeding(_Model):
    """The feeding plan."""

    answer: str
    strength: tuple[StrengthDay, ...]
    temperature: float = Field(description="of the jar, °C")
    thinning: tuple[ThinningLine, ...]
    usual: str
    weeks: tuple[FeedingWeek, ...]
    months: tuple[FeedingMonth, ...]
    beds: tuple[FedBed, ...]
    supply: Range = Field(description="in the time planned, L")
    surplus: Range = Field(description="L")


class TubLine(_Model):
    """A tub with so much soil."""

    ratio: int = Field(description="kg of dry soil to one of ferment")
    soil: Range = Field(description="of old soil, loosely filled, L")
    ready: Range = Field(description="days until it may be spread")
    share: Range = Field(description="of a bed's soil that it may make up, 0-1")


class TubAnswer(_Model):
    """The other way home: ferment mixed with old soil in a tub under a roof."""

    answer: str
    vessel: str
    mass: float = Field(description="kg")
    texture: str
    temperature: float = Field(description="of the tub, °C")
    lines: tuple[TubLine, ...]


class TubBatch(_Model):
    """One vessel that is mixed with old soil on the day it is finished."""

    vessel: str
    mixed: Day
    mass: float = Field(description="kg")
    tubs: int = Field(description="tubs that it fills")
    soil: Range = Field(description="old soil for all of them, loosely filled, L")
    ready: Range = Field(description="days until it may be spread, where the vessels stand")
    ready_from: Day | None = Field(description="first day by the longest usual wait")
    outside_from: Day | None = Field(description="the same for a tub out under a roof")


class TubPlan(_Model):
    """A year without a bed: every vessel goes home through tubs of old soil."""

    answer: str
    ratio: int = Field(description="kg of dry soil to one of ferment")
    texture: str
    at_once: int = Field(description="tubs that stand at the same time, at most")
    floor: float = Field(description="that these take up, m2")
    soil: Range = Field(description="old soil in the time planned, L")
    share: Range = Field(description="of a bed's or pot's soil that it may make up, 0-1")
    batches: tuple[TubBatch, ...]
    in_use: tuple[int, ...] = Field(description="tubs that stand in each week")


class GardenCaution(_Model):
    """A usual caution and why it applies here."""

    id: str
    text: str
    source: str
    standing: str


class GardenProvenance(_Model):
    """How the answer was computed."""

    version: str
    seed: int
    members: int
    evidence: tuple[str, ...]
    notes: tuple[str, ...]


class GardenPlan(_Model):
    """The whole answer."""

    site: str
    start: Day
    until: Day
    beds: tuple[BedAnswer, ...]
    burials: Burials
    feeding: Feeding | None = Field(description="None where no liquid drains")
    tub: TubAnswer | None = Field(None, description="None where no vessel is finished")
    tubs: TubPlan | None = Field(None, description="where there is no bed")
    ground: tuple[GroundWeek, ...]
    cautions: tuple[GardenCaution, ...]
    provenance: GardenProvenance


class GroundWeek(_Model):
    """Chance that the ground can be opened in a week and is warm enough for ferment to settle,
    and its temperature at the trench."""

    week: Day
    chance: float = Field(ge=0, le=1)
    warm: float = Field(1.0, ge=0, le=1)
    snow: float = Field(ge=0, le=1, description="chance that snow lies most of the week")
    temperature: Range = Field(description="°C")
