"""The answer about a batch, field by field: what ``--json`` prints and the page reads.

Quantities are a median with the 10 and 90 % points over the members; ``None`` in a range means
"beyond the time foreseen" or "never". Amounts are metric; sentences are in the reader's units.
"""

from __future__ import annotations

import datetime as dt
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from sourloam.evidence.row import Standing
from sourloam.numerics import Range

StepKind = Literal["mix", "close", "vent", "look", "dry", "pack", "check", "use", "next"]


class _Model(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


class Weighed(_Model):
    """One thing to weigh out."""

    name: str
    mass: Range
    volume: Range | None = Field(None, description="L, loose where it is a powder")
    cups: Range | None = Field(None, description="level cups")


class Step(_Model):
    """One thing to do, on which day since mixing."""

    kind: StepKind
    day: int = Field(ge=0)
    date: dt.date
    text: str


class Souring(_Model):
    """The closed days."""

    room_c: float
    closed_days: int
    usual_days: int
    steady: Range = Field(description="days until souring is done by the vessel's kinetics")
    ph: Range
    gas: Range = Field(description="L of carbon dioxide from the whole batch")
    ph_sour: float = Field(description="highest pH of the slurry that passes")
    chance_sour: float = Field(description="chance that the slurry passes on the day it is opened")
    containers: Range | None = None
    packed: Range = Field(description="L, pressed")


class Drying(_Model):
    """From wet to dry."""

    method: str
    days: Range
    damp_days: Range = Field(description="days wetter than most moulds need")
    moisture_before: Range = Field(description="% of the whole")
    moisture_after: Range = Field(description="% of the whole")
    weight_after: Range = Field(description="kg when it is dry enough")
    activity: Range = Field(description="water activity in the store")
    chance_dry: float = Field(description="chance that this way reaches the dryness aimed at")
    trays: Range = Field(description="m2 of layer")
    energy: Range = Field(description="kWh")
    text: str


class Age(_Model):
    """A lot so many months after packing."""

    months: int = Field(ge=0)
    date: dt.date
    strength: Range = Field(description="living lactic bacteria, log10 cfu/g")
    dose: Range = Field(description="g/kg of scraps that this strength asks for")
    advised: float | None = Field(description="g/kg to give; None: the lot is too weak")
    chance_good: float = Field(description="chance that the largest dose is still enough")


class CostLine(_Model):
    """One part of the cost, in the person's own money."""

    name: str
    cost: Range


class Cost(_Model):
    """What a batch costs by the prices given."""

    lines: tuple[CostLine, ...]
    total: Range | None = None
    per_kg: Range | None = None
    without_price: tuple[str, ...] = ()


class Caution(_Model):
    """A usual caution."""

    id: str
    text: str
    source: str
    standing: Standing


class Mover(_Model):
    """An input that moves how long the batch stays strong enough, with the days at both ends."""

    name: str
    better_days: float
    worse_days: float
    text: str


class Tested(_Model):
    """A test of strength that was done, and what it says."""

    kind: str
    day: int = Field(ge=0, description="days after packing")
    verdict: Literal["pass", "doubt", "fail"]
    text: str


class Supply(_Model):
    """What a place asks for, and when the next batch must be started."""

    site: str
    need: Range = Field(description="kg over the time that this batch is for")
    first: dt.date
    until: dt.date
    start_next: dt.date
    text: str


class Answer(_Model):
    """One page: how much, of what, at what cost, ready when, good until when."""

    title: str
    wanted_kg: float
    carriers: str
    supply: Supply | None = None
    weighed: tuple[Weighed, ...]
    moisture: Range = Field(description="% water in the wetted mix")
    cells: Range = Field(description="log10 cfu/g in the wetted mix")
    steps: tuple[Step, ...]
    souring: Souring
    drying: Drying | None
    product: Range = Field(description="kg to pack")
    ready: dt.date
    ages: tuple[Age, ...]
    spoon: str
    spoons: Range | None = Field(description="level spoons for a kg of scraps, at first")
    good_for: Range = Field(description="days from packing until too weak")
    good_for_cool: Range = Field(description="the same, kept in a refrigerator")
    store_c: float = Field(description="°C of the store that best-before is told for")
    best_before: dt.date

    def good_until(self, days: float | None) -> dt.date:
        """So many days after packing, as a date."""
        return self.ready + dt.timedelta(days=int(days or 0) - 1)

    movers: tuple[Mover, ...] = Field(description="what moves the good days most, widest first")
    cost: Cost
    label: tuple[str, ...]
    tested: tuple[Tested, ...] = ()
    held_back: bool = Field(False, description="by its tests, none of it may be given")
    tests: tuple[str, ...]
    cautions: tuple[Caution, ...]
    notes: tuple[str, ...]
    members: int
    seed: int
    evidence: tuple[str, ...]
