"""What the API answers about programmes of places."""

from __future__ import annotations

import datetime as dt
import uuid
from typing import Annotated, Literal

from pydantic import Field

from sourloam.api.shapes import Cursor, Fact, Shape
from sourloam.numerics import Range

Role = Literal["coordinator", "helper", "reader"]
Kind = Literal["home", "school", "cafe", "garden", "other"]
Clock = Annotated[
    str,
    Field(
        pattern=r"^([01][0-9]|2[0-3]):[0-5][0-9]$",
        description="a time of the clock there, such as 08:30",
    ),
]
Chance = Annotated[Range, Field(description="a chance from 0 to 1")]


class Programme(Shape):
    """A programme, its hub, and what goes round."""

    id: str
    name: str
    zone: str
    role: Role
    """The role that the token acts with here."""
    today: dt.date
    hub: str
    latitude: float | None
    longitude: float | None
    room: int
    """Vessels that the van holds."""
    payload_kg: float
    starts: Clock
    ends: Clock
    bran_kg: float
    """Bran at the hub."""
    round_days: int
    """Days between rounds."""


class Programmes(Shape):
    """Programmes, by id."""

    items: tuple[Programme, ...]
    next: Cursor


class ProgrammeMember(Shape):
    """Somebody with a role in a programme."""

    id: int
    name: str
    role: Role


class ProgrammePeople(Shape):
    """Everybody with a role."""

    people: tuple[ProgrammeMember, ...]


class ProgrammeLink(Shape):
    """A link to join a programme, as a person with a role or with a place of one's own."""

    id: uuid.UUID
    role: Literal["coordinator", "helper", "reader", "place"]
    by: str
    """Who made it."""
    until: dt.datetime
    link: str | None = None
    """Told once, when it is made."""


class ProgrammeLinks(Shape):
    """Links that still work, the newest first."""

    links: tuple[ProgrammeLink, ...]


class ReasonToGo(Shape):
    """One reason why a place needs somebody."""

    what: Literal["failed", "nowhere", "failing", "stopped", "bran", "undrained"]
    chance: Chance | None
    """Null where it was seen."""
    why: str
    helps: str
    on: dt.date | None


class Silence(Shape):
    """How long a place has been quiet, its closed days left out; where `began` is false since it
    joined, for it never wrote anything."""

    last: dt.date
    days: int
    usual_days: float
    stopped: Chance
    began: bool


class PlacedVessel(Shape):
    """A vessel as its programme sees it; days as foreseen, null without a forecast."""

    id: str
    name: str
    stage: str
    kg: float
    full_on_low: dt.date | None
    full_on: dt.date | None
    full_on_high: dt.date | None
    finished_on: dt.date | None
    failing: Chance | None
    fetched_on: dt.date | None
    """The day of the round that took it; the place's own log does not tell yet. Its stage then is
    fetched."""


class ProgrammePlace(Shape):
    """A place as its programme sees it: facts, never its notes."""

    id: str
    name: str
    kind: Kind
    joined: dt.date
    latitude: float | None
    longitude: float | None
    opens: Clock | None
    closes: Clock | None
    how: str
    """How it is found."""
    as_of: dt.date | None
    """The day of these facts; null while they are still to be reckoned."""
    vessels: tuple[PlacedVessel, ...]
    kg: float
    """All scraps logged so far."""
    sound: int
    failed: int
    spare: int
    """Clean vessels that rounds left and its own log does not tell of."""
    bran_kg: float | None
    """What is left there, with what the programme left since bran last came in by its log."""
    risks: tuple[ReasonToGo, ...]
    silence: Silence | None


class ProgrammePlaces(Shape):
    """Places, by id."""

    items: tuple[ProgrammePlace, ...]
    next: Cursor


class PlaceWanting(Shape):
    """A place that wants somebody today."""

    place: str
    name: str
    visit: bool
    """Whether somebody should go there rather than write."""
    long_quiet: bool
    risks: tuple[ReasonToGo, ...]


class FullBy(Shape):
    """How many vessels stand full by a day if none is fetched."""

    day: dt.date
    vessels: Range


class Soon(Shape):
    """A vessel that is likely full within the week."""

    place: str
    name: str
    vessel: str
    full_on: dt.date | None
    chance: float


class BranToMake(Shape):
    """Bran over the coming days."""

    days: int
    asked: Range
    stock_kg: float
    make: Range
    unknown: int
    """Places of which nothing is known."""
    take: Range
    """What places that run short will need beyond their own stock."""


class BedShort(Shape):
    """A place whose ferment will not fit its beds; `held` where the ground is shut."""

    place: str
    name: str
    due_kg: float
    lacking: Range
    held: bool


class Morning(Shape):
    """Everything that a coordinator sees first."""

    today: dt.date
    places: int
    waiting: int
    """Places whose facts are still to be reckoned."""
    help: tuple[PlaceWanting, ...]
    full: tuple[FullBy, ...]
    soon: tuple[Soon, ...]
    bran: BranToMake
    beds: tuple[BedShort, ...]
    fetched: int
    """Vessels that rounds took, as their places' own logs do not tell yet."""
    next_round: dt.date | None
    known: tuple[str, ...]
    """What moves these answers most, and how they are reckoned."""


class Stop(Shape):
    """One stop of a round."""

    place: str
    name: str
    arrive: Clock
    full: int
    clean: int
    kg: float
    bran_kg: float
    """Bran to bring."""
    pressing: float
    how: str
    trip: int
    full_on_board: int
    kg_on_board: float


class LeftOut(Shape):
    """A place that is not on the round, and why."""

    place: str
    name: str
    why: Literal["nowhere_on_the_map", "too_far_down", "no_room_or_time"]


class Round(Shape):
    """A planned round; ways are as the crow flies times a detour."""

    day: dt.date
    stops: tuple[Stop, ...]
    leaves: Clock
    back: Clock
    trips: int
    way: Range
    hours: Range
    left_out: tuple[LeftOut, ...]


class ProgrammeLine(Shape):
    """One line of the programme's own log."""

    id: uuid.UUID
    kind: str
    day: dt.date
    written_at: dt.datetime
    by: str
    place: str | None
    body: Fact


class ProgrammeLines(Shape):
    """Lines that count, in the order in which they were written."""

    items: tuple[ProgrammeLine, ...]
    next: Cursor


class ScrapsOfMonth(Shape):
    """Scraps of one month."""

    month: dt.date
    kg: float


class SavedTogether(Shape):
    """What all places save against another way, below 0 it costs."""

    id: str
    saved: Range
    saved_per_tonne: Range
    chance: float


class WayTogether(Shape):
    """What a way gives off for the same scraps."""

    id: str
    total: Range


class ClimateTogether(Shape):
    """All places added up world by world, so that errors which they share do not even out."""

    places: int
    waiting: int
    first: dt.date | None
    last: dt.date | None
    """The days as of which places were reckoned."""
    scraps: Range | None
    ways: tuple[WayTogether, ...]
    against: tuple[SavedTogether, ...]
    movers: tuple[str, ...]
    """Rows of the evidence with which the saving against a landfill goes most."""


class Stayed(Shape):
    """Of the places that joined long enough ago, those with scraps so many months later."""

    after_months: int
    places: int
    active: int


class ProgrammeFigures(Shape):
    """What those who pay for a programme ask for. Of a period are scraps, emptied vessels and what
    the programme's own log tells; places, vessels, `active`, `stayed`, `sound`, `failed`,
    `buried_kg`, `liquid_l` and the climate are of all time."""

    places: int
    kept: Range
    weighed_share: float
    by_month: tuple[ScrapsOfMonth, ...]
    fetched_kg: float
    contamination_kg: float
    active: Range
    stayed: tuple[Stayed, ...]
    vessels: int
    """Vessels that stand at places today, free ones too."""
    emptied: int | None
    """Null while the days of some are not reckoned."""
    sound: int
    failed: int
    buried_kg: float
    liquid_l: float
    trainings: int
    trained: int
    questions: int
    visits: int
    rounds: int
    complaints: int
    hours: float
    bran_out_kg: float
    climate: ClimateTogether


class Exchange(Shape):
    """What a running exchange of vessels takes."""

    vessels: Range
    resting: Range
    floor: Range
    weekly: float
    water: Range
    hours: Range
    at_home: int
