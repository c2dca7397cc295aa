"""The answer of a plan, field by field: what ``--json`` prints and every report reads.

Quantities are a median with the 10 and 90 % points over the members. ``None`` in a range
means "beyond the time foreseen" (a vessel that never fills, a layer that never turns sour).
"""

from __future__ import annotations

from datetime import date as Day
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from sourloam.numerics import Range as Range  # part of every answer

Standing = Literal[
    "published", "common practice, no source", "from memory, unverified", "our judgement"
]
State = Literal["empty", "filling", "resting", "ready", "held", "failed"]
EntryKind = Literal[
    "start", "full", "drain", "rest", "ready", "bury", "plant", "wash", "bran", "closed",
    "last_burial", "hold", "no_room", "pass_on", "week", "reopen", "labour",
]  # fmt: skip


class _Model(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


class Season(_Model):
    """One season as the climate itself gives it ("all year" where months hardly differ)."""

    name: Literal["winter", "spring", "summer", "autumn", "all year"]
    months: tuple[int, ...]


class Usual(_Model):
    """What is usually advised, beside which our figure stands."""

    text: str
    low: float | None = None
    high: float | None = None
    unit: str = ""
    standing: Standing


class VesselKind(_Model):
    """One kind of vessel the site has or asks about."""

    name: str
    volume: float = Field(description="brim volume, L")
    usable: float = Field(description="between drain grid and headroom, L")
    surface: float = Field(description="mean cross-section, m2")
    owned: int = Field(ge=0)


class SiteSummary(_Model):
    """The case that was planned."""

    name: str
    kind: str
    start: Day
    until: Day = Field(description="last day of the planned time")
    accepted_risk: float = Field(description="accepted chance a year of having nowhere to put them")
    units: Literal["metric", "us"]
    scraps: tuple[str, ...] = Field(description="one line in words for each stream of scraps")
    climate: str
    room: str
    vessels: tuple[VesselKind, ...]
    has_ground: bool
    seasons: tuple[Season, ...]


class WeekAmount(_Model):
    """An amount in one week counted from the start."""

    week: int = Field(ge=1)
    start: Day
    amount: Range
    closed: str = Field("", description="name of the holiday that falls in the week, if any")


class MonthAmount(_Model):
    """An amount in one calendar month; ``month`` is its first day."""

    month: Day
    amount: Range


class SeasonAmount(_Model):
    """An amount in, or for what begins in, one season."""

    season: str
    amount: Range


class Scraps(_Model):
    """How much comes, when."""

    per_day: Range = Field(description="mean of the year, kg/day")
    per_year: Range = Field(description="kg")
    by_week: tuple[WeekAmount, ...] = Field(description="kg a week")
    by_season: tuple[SeasonAmount, ...] = Field(description="kg/day")
    by_month: tuple[MonthAmount, ...] = Field(
        description="mean kg a week in each month of the planned time, months cut short left out"
    )
    dry_matter: Range = Field(description="% of fresh mass")
    composition: tuple[ClassShare, ...]


class ClassShare(_Model):
    """Share of one class of scraps in the mix."""

    name: str
    share: Range = Field(description="% of fresh mass")


class SeasonFill(_Model):
    """How one kind of vessel fills when started in a season."""

    season: str
    days: Range
    taken: Range = Field(description="fresh scraps and bran taken, kg")
    layers: Range = Field(description="layers of the usual mass, each with its dose of bran")
    poor: float = Field(description="share of members whose contents go bad, 0-1")


class Fill(_Model):
    """Days to fill one kind of vessel."""

    vessel: str
    by_season: tuple[SeasonFill, ...]
    level: tuple[LevelPoint, ...] = Field(description="share of the usable height by day")
    usual: Usual
    why: str


class LevelPoint(_Model):
    """Height of the contents on one day after the start, % of the usable height."""

    day: int
    share: Range


class SeasonRest(_Model):
    """Rest after the last layer, when the vessel is closed in a season."""

    season: str
    days: Range
    temperature: Range = Field(description="in the vessel during the rest, °C")
    not_sour: float = Field(description="share of members whose newest layer never turns sour, 0-1")


class Finish(_Model):
    """Days of rest after the last layer until the newest layer is sour and steady."""

    by_season: tuple[SeasonRest, ...]
    usual: Usual
    why: str


class Chance(_Model):
    """Chance a year of having nowhere to put scraps with a number of vessels."""

    number: int
    chance: float = Field(ge=0, le=1)
    low: float = Field(ge=0, le=1, description="Wilson 10 % bound from the number of members")
    high: float = Field(ge=0, le=1, description="Wilson 90 % bound")
    refused: Range = Field(description="scraps with nowhere to go, kg a year")


class VesselOption(_Model):
    """One kind of vessel alone."""

    vessel: str
    owned: int
    needed: int | None = Field(description="smallest number within the accepted risk; None if none")
    needed_if_weighed: int | None = Field(
        description="the same if a week of weighing showed the middle amount to be right"
    )
    most_tried: int
    curve: tuple[Chance, ...]
    verdict: str
    way_out: str = Field("", description="what would help, or would spare vessels")


class RuledOut(_Model):
    """A kind of vessel that is too small for this place, and why."""

    vessel: str
    owned: int
    days: Range = Field(description="days until full")
    why: str


class Combination(_Model):
    """The vessels owned, used together."""

    vessels: tuple[str, ...] = Field(description="names, repeated by number owned")
    chance: Chance
    enough: bool
    verdict: str


class Span(_Model):
    """One vessel in one state, from a day to a day (last day included)."""

    vessel: str = Field(description='label such as "19 L no. 1"')
    state: State
    start: Day
    end: Day


class Blocked(_Model):
    """A time in which something can't be done (last day included)."""

    kind: Literal["ground", "beds", "closed"] = Field(
        description="ground frozen; beds busy; the kitchen closed"
    )
    name: str
    start: Day
    end: Day


class Vessels(_Model):
    """How many, and how they take turns."""

    answer: str
    options: tuple[VesselOption, ...]
    ruled_out: tuple[RuledOut, ...] = Field(
        (), description="kinds left out of everything else, because they are full too soon"
    )
    owned_together: Combination | None
    chosen: str = Field(description="name of the kind the year strip and calendar use")
    chosen_number: int
    year: tuple[Span, ...] = Field(description="the median member's vessels through the time")
    blocked: tuple[Blocked, ...]


class LayerBran(_Model):
    """Bran for one ordinary layer in one kind of vessel."""

    vessel: str
    mass: Range = Field(description="g")
    spoons: Range = Field(description="level spoons of the site's kind")
    per_surface: Range = Field(description="g/m2 of surface")
    by_share: Range = Field(description="g the share of the scraps asks for")
    by_surface: Range = Field(description="g the dusting of the surface asks for")


class Bran(_Model):
    """Inoculated bran: how much, when, why so much."""

    carrier: str
    spoon: str
    dose: Range = Field(description="g per kg of scraps, over the year")
    per_layer: tuple[LayerBran, ...]
    by_month: tuple[MonthAmount, ...] = Field(description="g")
    per_year: Range = Field(description="kg")
    doubled: bool
    why: str


class Liquid(_Model):
    """Drained liquid: how much, how often, how to use it."""

    by_week: tuple[WeekAmount, ...] = Field(description="mL a week")
    per_kg: Range = Field(description="mL per kg of scraps")
    per_year: Range = Field(description="L")
    drain_every_days: int
    usual_rhythm: Usual
    room_days: int | None = Field(
        description="days that liquid takes to fill the safe share of the space under the grid, "
        "or longer, in nine cases of ten; None if more than a year"
    )
    per_draining: Range = Field(description="mL in the busiest filling vessel")
    sump: float = Field(description="volume under the grid, mL")
    days_until_sump_full: Range = Field(description="days at the busiest time, if never drained")
    usual: Usual
    why: str
    dilution: str


class MonthGround(_Model):
    """Whether the ground takes a ferment in a calendar month; ``month`` is its first day."""

    month: Day
    closed_days: Range = Field(description="days the ground is frozen")
    busy_days: int = Field(description="days the beds are busy by the site's word")


class Ground(_Model):
    """First estimate of what the ground must give."""

    way: Literal["trench", "tub"]
    vessels_per_year: Range = Field(description="full vessels to bury a year")
    per_vessel_mass: Range = Field(description="ferment per vessel, kg")
    per_vessel_nitrogen: Range = Field(description="g N per vessel")
    trench_per_vessel: Range | None = Field(description="m of trench")
    bed_area: Range | None = Field(
        description="m2 for all ferment of a year, within the ceilings of the site's own beds"
    )
    bed_area_least: Range | None = Field(description="m2 a year at the highest ceiling")
    bed_area_given: float | None = Field(description="m2 the site has")
    enough: bool | None
    taken: Range | None = Field(
        None, description="% of a year's ferment that beds take; a tub takes all"
    )
    buried: int = Field(0, description="vessels buried, or tipped into the tub, in the calendar")
    parted: int = Field(
        0, description="vessels of which the calendar buries a part and passes on the rest"
    )
    passed_on: int = Field(0, description="vessels whose ferment the calendar passes on")
    phosphorus: Range | None = Field(
        None, description="g a year that the beds get on a square metre, if they take what they can"
    )
    phosphorus_carried: float | None = Field(
        None, description="g/m2 of phosphorus that harvests carry away in a year"
    )
    rest_goes: Literal["nowhere needed", "tub", "other people"] = Field(
        "nowhere needed", description="where ferment goes that the beds don't take"
    )
    limited_by: Literal["nitrogen", "phosphorus", "oxygen", "geometry", "tub volume"]
    tub_soil: Range | None = Field(description="L of soil mixed with one vessel's ferment")
    wait: Range = Field(description="days from burying until sowing")
    wait_by_season: tuple[SeasonAmount, ...] = Field(description="the same, by season of burying")
    wait_why: str = Field(
        "", description="what makes the long end of the wait so long; empty where it is not"
    )
    by_month: tuple[MonthGround, ...]
    why: str


class Labour(_Model):
    """Hours of work in the coming year of the middle case."""

    hours_a_week: float = Field(description="that people have in an ordinary week")
    stated: bool = Field(description="True if the site says so; else usual for such a place")
    routine: float = Field(description="for layers and drainings of an ordinary week, h")
    busiest_week: Day = Field(description="first day of the week that asks most")
    busiest: float = Field(description="what it asks, h")
    weeks_above: int = Field(description="weeks that ask more than people have")
    buried_at_most: int = Field(description="vessels that there is time to bury in a week")
    text: str


class Entry(_Model):
    """One dated line of the year ahead."""

    date: Day
    until: Day | None = None
    kind: EntryKind
    vessel: str = ""
    begun: int = Field(0, description="vessels begun by this line")
    buried: int = Field(0, description="vessels buried, or tipped into the tub, by this line")
    parted: int = Field(0, description="vessels buried in part by this line, the rest passed on")
    passed_on: int = Field(0, description="vessels whose ferment goes elsewhere by this line")
    text: str


class Effect(_Model):
    """What one input does to one outcome when it goes from its low to its high value."""

    outcome: Literal["fill", "finish", "vessels", "chance", "liquid"]
    unit: str
    at_low: float | None
    at_high: float | None
    share: float = Field(description="size of the change against the middle outcome, 0 or more")


class Driver(_Model):
    """One uncertain input, ranked by how much it moves the answer."""

    id: str
    name: str
    rank: int
    low: float
    middle: float
    high: float
    unit: str
    effects: tuple[Effect, ...]
    text: str
    season: str = Field(default="", description="in which the vessel of the effects is begun")


class Practice(_Model):
    """A rule of thumb beside this case."""

    id: str
    rule: str
    usual: str
    computed: Range | None
    shown: str = Field(description="the computed figure in words")
    verdict: Literal["agrees", "differs", "no figure"]
    why: str
    source: str
    standing: Standing


class Caution(_Model):
    """A usual caution and why it applies here."""

    id: str
    title: str
    applies: str
    text: str
    source: str
    standing: Standing


class Provenance(_Model):
    """How the answer was computed."""

    version: str
    seed: int
    members: int
    years: int
    warm_up_years: int
    evidence: tuple[str, ...] = Field(description="ids of every row used")
    notes: tuple[str, ...] = Field(description="what was simplified, in words")


class Plan(_Model):
    """The whole answer."""

    site: SiteSummary
    scraps: Scraps
    fill: tuple[Fill, ...]
    finish: Finish
    vessels: Vessels
    bran: Bran
    liquid: Liquid
    ground: Ground
    labour: Labour | None = None
    calendar: tuple[Entry, ...]
    drivers: tuple[Driver, ...]
    practice: tuple[Practice, ...]
    cautions: tuple[Caution, ...]
    provenance: Provenance
