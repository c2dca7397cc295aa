"""What the reckoning answers, in plain checked objects: every figure a range, with its sources."""

from __future__ import annotations

import datetime as dt
from typing import Literal

from pydantic import BaseModel, ConfigDict

from sourloam.numerics.range import Range

Verdict = Literal["supported", "not supported", "cannot be told"]


class _Answer(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


class Said(_Answer):
    """A sentence with holes and what goes into them: plain numbers, and masses in kg."""

    text: str
    numbers: dict[str, float] = {}
    masses_kg: dict[str, float] = {}


class Part(_Answer):
    """One source of a gas over the horizon; ``sources`` are evidence ids."""

    name: str
    gas: Literal["ch4", "n2o", "co2e"]
    amount: Range
    sources: tuple[str, ...]


class YearAmount(_Answer):
    """One year after the season; 0 is the season's own."""

    year: int
    amount: Range


class Where(_Answer):
    """Where some of the carbon or nitrogen is in the end."""

    name: str
    amount: Range


class SoilCarbon(_Answer):
    """Carbon of the scraps still in soil or landfill after so many years."""

    years: int
    amount: Range


class RouteAnswer(_Answer):
    """One way for all the scraps. ``per_tonne`` is kg CO2e for a tonne of them."""

    id: str
    name: str
    total: Range
    total_with_credits: Range
    per_tonne: Range
    parts: tuple[Part, ...]
    by_year: tuple[YearAmount, ...]
    carbon: tuple[Where, ...]
    nitrogen: tuple[Where, ...]
    soil_carbon: tuple[SoilCarbon, ...]
    nitrogen_to_garden: Range
    phosphorus_to_garden: Range
    potassium_to_garden: Range
    usable_nitrogen: Range


class Comparison(_Answer):
    """What fermenting saves against another way (below 0: it costs), and how sure that is.

    ``chance`` is the share of members in which fermenting gives off less. The same with credits
    for fertiliser and power saved elsewhere.
    """

    id: str
    against: str
    saved: Range
    saved_per_tonne: Range
    chance: float
    saved_with_credits: Range
    chance_with_credits: float
    nitrogen_more: Range
    carbon_more_after_20: Range
    words: str


class Driver(_Answer):
    """One input from its 10 to its 90 % point, all else at the middle: what fermenting saves."""

    id: str
    name: str
    low: float
    high: float
    unit: str
    at_low: float
    at_high: float


class Tornado(_Answer):
    """What moves the saving against one other way, largest first."""

    against: str
    middle: float
    unit: str
    drivers: tuple[Driver, ...]


class Claim(_Answer):
    """A popular statement held against this case."""

    id: str
    statement: str
    verdict: Verdict
    figure: Range | None
    figure_words: str
    chance: float | None
    reason: Said
    sources: tuple[str, ...]


class MoneyLine(_Answer):
    """One line of the account; above 0 it is saved, below 0 it is spent."""

    name: str
    amount: Range


class Money(_Answer):
    """The account in the person's own prices; ``currency`` as they wrote it."""

    currency: str
    lines: tuple[MoneyLine, ...]
    balance: Range


class Handling(_Answer):
    """Water and ways: rinsing, water that comes back to the soil, tonne-kilometres not hauled."""

    rinsing: Range
    water_to_soil: Range
    not_hauled: Range


class Kept(_Answer):
    """The scraps of the period and what they hold; ``drained_l`` as a log has it."""

    scraps: Range
    binned: Range
    bran: Range
    carbon: Range
    nitrogen: Range
    ferment: Range
    liquid: Range
    measured: tuple[Said, ...]
    drained_l: float | None = None


class Source(_Answer):
    """A footnote: a row of the evidence, what it says and who says so."""

    number: int
    id: str
    name: str
    value: float
    low: float
    high: float
    unit: str
    standing: str
    citation: str
    note: str


class Provenance(_Answer):
    """How it was computed."""

    version: str
    members: int
    seed: int
    report: str
    years: int
    methane_weight: float
    nitrous_weight: float
    evidence: tuple[str, ...]
    notes: tuple[str, ...]


class Impact(_Answer):
    """The whole answer for a place or a programme of several."""

    name: str
    places: tuple[str, ...]
    start: dt.date
    end: dt.date
    units: Literal["metric", "us"]
    headline: tuple[str, ...]
    kept: Kept
    routes: tuple[RouteAnswer, ...]
    comparisons: tuple[Comparison, ...]
    tornadoes: tuple[Tornado, ...]
    handling: Handling
    money: Money | None
    claims: tuple[Claim, ...]
    cautions: tuple[str, ...]
    sources: tuple[Source, ...]
    provenance: Provenance

    def route(self, id_: str) -> RouteAnswer:
        """The way of that id; KeyError if there is none."""
        for route in self.routes:
            if route.id == id_:
                return route
        raise KeyError(id_)

    def footnote(self, id_: str) -> int:
        """Number of the footnote of an evidence id; KeyError if there is none."""
        for source in self.sources:
            if source.id == id_:
                return source.number
        raise KeyError(id_)
