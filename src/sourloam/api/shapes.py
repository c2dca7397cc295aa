"""What the API answers, field by field. Quantities are SI with the unit in the name."""

from __future__ import annotations

import datetime as dt
import uuid
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field

from sourloam.numerics import Range

Fact = dict[str, Any]
Cursor = Annotated[
    str | None, Field(description="give it as `after` for what follows; null at the end")
]


class Shape(BaseModel):
    """Base of all answers."""

    model_config = ConfigDict(frozen=True, extra="forbid", use_attribute_docstrings=True)


class Me(Shape):
    """The token itself, and the server's clock for sensors that have none."""

    name: str
    scope: Literal["read", "log", "manage"]
    person: str
    place: str | None
    """The one place that it reaches; null for all places of the person."""
    now: dt.datetime


class Place(Shape):
    """A place as the token sees it."""

    id: str
    name: str
    zone: str
    units: Literal["metric", "us"]
    language: str
    country: str
    role: Literal["coordinator", "keeper", "gardener", "reader"]
    """The role that the token acts with here."""
    today: dt.date
    entries: int
    """Number of its last entry."""


class Places(Shape):
    """Places, by id."""

    items: tuple[Place, ...]
    next: Cursor


class Description(Shape):
    """The newest description of a place, the content of a site file as JSON."""

    site: Fact | None
    entry: uuid.UUID | None


class Entry(Shape):
    """One entry as it is kept; `seq` counts within the place, `hash` seals it and all before."""

    seq: int
    id: uuid.UUID
    place: str
    kind: str
    at: str
    written_at: str
    received_at: str
    by: str | None
    supersedes: uuid.UUID | None
    body: Fact
    hash: str


class Entries(Shape):
    """Entries in the order in which they came."""

    items: tuple[Entry, ...]
    next: Cursor


class Kept(Shape):
    """How the writing of one entry went."""

    id: uuid.UUID | None
    status: Literal[200, 201, 403, 409, 422, 503]
    """201 written down now, 200 written down before; 503: send it again; else it was refused."""
    detail: str
    reason: str | None = None
    field: str | None = None


class KeptOnes(Shape):
    """One answer for each entry, in the order sent."""

    items: tuple[Kept, ...]


class Photo(Shape):
    """A photo that is kept, by the SHA-256 of what it shows."""

    photo: str


class Thing(Shape):
    """What a piece of work is about."""

    sort: Literal["vessel", "bed", "lot", "measure", "place"]
    id: str


class Work(Shape):
    """A piece of work: done, it is written down as an entry of `kind` with `body`, after the
    fields in `asks` were filled in."""

    key: str
    what: Literal["recall", "feed", "drain", "check", "set_aside", "wash", "bury", "plant", "bran"]
    on: dt.date
    urgency: Literal["overdue", "today", "soon"]
    why: str
    thing: Thing | None
    name: str
    kind: str
    body: Fact
    asks: tuple[str, ...]
    expected_ml: float | None


class Due(Shape):
    """Work of a place, the most pressing first."""

    today: dt.date
    items: tuple[Work, ...]


class DueThere(Shape):
    """Work of one of several places."""

    place: str
    name: str
    today: dt.date
    items: tuple[Work, ...]


class DueEverywhere(Shape):
    """Work of all places that the token reaches."""

    items: tuple[DueThere, ...]
    next: Cursor


class Filling(Shape):
    """The filling under way in a vessel."""

    began: dt.date
    layers: int
    last_layer: dt.date | None
    liquid_ml: float
    set_aside: dt.date | None
    verdict: Literal["sound", "failed"] | None


class Vessel(Shape):
    """A vessel as its entries and its forecast tell it."""

    id: str
    name: str
    code: str
    """Its short address on printed labels, under /v/."""
    where: str | None
    stage: Literal["empty", "dirty", "filling", "resting", "ready", "held", "failed"]
    retired: bool
    spec: Fact | None
    """Its kind, as in the [[vessel]] section of a site file."""
    filling: Filling | None
    conflicts: int
    """Entries with several corrections beside each other."""
    oddities: tuple[str, ...]


class Vessels(Shape):
    """Vessels, by id."""

    items: tuple[Vessel, ...]
    next: Cursor


class Forecast(Shape):
    """A vessel's newest forecast; `says` holds each quantity with low, median and high (10, 50 and
    90 %), the chance of failing with its causes, and what moves it most."""

    vessel: str
    seq: int
    """The last entry that it saw."""
    says: Fact


class Forecasts(Shape):
    """Forecasts, by vessel."""

    waits: bool
    """Entries came that it has not seen; a newer one is being computed."""
    trouble: str
    """Why none could be computed; empty if all is well."""
    items: tuple[Forecast, ...]
    next: Cursor


class Trench(Shape):
    """A trench that still shows."""

    buried: dt.date
    plant_from: dt.date
    state: Literal["working", "soon", "open"]
    length_m: float
    width_m: float
    depth_m: float
    along_m: float | None


class Growing(Shape):
    """A crop that stands in a bed."""

    crop: str
    since: dt.date


class Sowing(Shape):
    """A crop, with the first day on which the soil suits it in a mean year."""

    crop: str
    first: dt.date


class Bed(Shape):
    """A bed with what lies and grows in it."""

    id: str
    name: str
    spec: Fact | None
    """The bed, as in the [[bed]] section of a site file."""
    burials: int
    trenches: tuple[Trench, ...]
    growing: tuple[Growing, ...]
    oddities: tuple[str, ...]


class Beds(Shape):
    """Beds, by id; `sow` by the warmth of the soil alone, whichever the bed."""

    items: tuple[Bed, ...]
    next: Cursor
    sow: tuple[Sowing, ...]


class Worth(Shape):
    """What a lot in store is worth today."""

    age_days: int
    store_c: float
    strength: Range
    dose: Range
    advised_g_per_kg: float | None
    """Null where it is as good as surely too weak."""
    chance_good: float
    best_before: dt.date
    used_until: dt.date
    usable: bool
    moves: tuple[str, ...]
    """What moves its good days most, the widest first."""


class Lot(Shape):
    """A lot of inoculated bran."""

    id: str
    stage: Literal["souring", "dried", "store", "used_up", "recalled"]
    began: dt.date
    made_here: bool
    in_kg: float
    used_kg: float
    out_kg: float
    left_kg: float
    recalled: dt.date | None
    worth: Worth | None
    """Null while it is being made."""


class Lots(Shape):
    """Lots, by id."""

    items: tuple[Lot, ...]
    next: Cursor


class Wanted(Shape):
    """How much the next batch is to give."""

    kg: float
    low: float
    high: float
    days: int
    first: dt.date


class Batch(Shape):
    """The next batch of bran; `answer` is what `sourloam bran` says of it."""

    wanted: Wanted | None
    start_by: dt.date | None
    runs_out: dt.date | None
    fault: str
    """Why none can be reckoned; empty if one can."""
    answer: Fact | None


class Measure(Shape):
    """A household measure."""

    id: str
    name: str
    mass_kg: float | None
    volume_l: float | None
    since: dt.date


class Stores(Shape):
    """What belongs to the place as a whole."""

    measures: tuple[Measure, ...]
    bran_left_kg: float
    """All that is left, too weak or recalled bran as well."""
    bran_usable_kg: float
    """What may go on layers: neither too weak nor failed nor recalled, here or at another place of
    the token's maker."""
    bran_until: dt.date | None
    """The first day without bran that may be used, by the dose that each lot asks for; null beyond
    a year, or where nothing is used."""
    bran_used_g: float


class Sign(Shape):
    """Something to see or smell."""

    id: str
    stage: Literal["vessel", "ground"]
    group: str
    label: str


class Signs(Shape):
    """All signs, in the order in which they are asked."""

    items: tuple[Sign, ...]


class Rescue(Shape):
    """What signs mean and what to do; `entry` is the body of a `rescued` entry that keeps it."""

    answer: Fact
    entry: Fact


class Achieved(Shape):
    """What a place achieved; null while it is being reckoned."""

    answer: Fact | None
    waits: bool
    trouble: str


class Member(Shape):
    """Somebody with a role."""

    id: int
    name: str
    role: Literal["coordinator", "keeper", "gardener", "reader"]


class Invitation(Shape):
    """A link to join that still works."""

    id: uuid.UUID
    role: Literal["coordinator", "keeper", "gardener", "reader"]
    by: str
    until: dt.datetime
    link: str | None = None
    """The link itself, told only when it is made."""


class People(Shape):
    """Everybody of a place, and the links that whoever made the token may see."""

    people: tuple[Member, ...]
    invitations: tuple[Invitation, ...]


class BroughtIn(Shape):
    """What a file brought."""

    place: str
    name: str
    new: int
    known: int
    photos: int


class Line(Shape):
    """One line of a sheet: the entry that it becomes, or why it becomes none."""

    number: int
    entry: Fact | None
    fault: str


class Sheet(Shape):
    """A sheet of weighings; nothing is written down unless `taken`."""

    taken: bool
    new: int
    known: int
    lines: tuple[Line, ...]


class TrialSide(Shape):
    """What becomes of one vessel; days count from its first layer, the first one in front."""

    layer_kg: float
    layers: int
    newest_ph: tuple[Range, ...]
    """Of the newest layer, at the end of each day."""
    liquid: tuple[Range, ...]
    """All that drained until the end of each day."""
    days_until_sour: Range
    """From the last layer; null where it is not in the time that is followed."""
    liquid_total: Range
    failing: Range
    spoiled_top: Range


class Trial(Shape):
    """Two vessels side by side, in the same possible worlds."""

    changed: tuple[str, ...]
    """What differs between the two."""
    held_back_below_ph: float
    """Below this pH spoilage is held back."""
    members: int
    a: TrialSide
    b: TrialSide
