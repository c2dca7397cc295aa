"""A published trial as a file: what was done, what was assumed where it is silent, what read."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import Annotated, Literal, Self

from pydantic import BaseModel, ConfigDict, Field, ValidationError, model_validator

from sourloam.evidence import EvidenceError, Row
from sourloam.evidence.row import Standing

Role = Literal["chosen with", "kept"]
Cut = Literal["chopped", "minced", "whole", "slurry"]
Quantity = Literal[
    "ph",
    "lactic",
    "acetic",
    "butyric",
    "ammonia",
    "titratable",
    "lactic_bacteria",
    "enterobacteria",
]
Relation = Literal["is", "below", "above"]
#: Every arm must state these; the optional ones are nought where not stated.
NEEDED = (
    "dry_matter",
    "sugars",
    "starch",
    "protein",
    "fat",
    "ash",
    "buffering",
    "start_ph",
    "lactic_bacteria",
    "enterobacteria",
    "temperature",
)
OPTIONAL = ("added_sugar", "acids", "potassium", "sodium", "own_lactic_bacteria")


class _Strict(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


class Input(_Strict):
    """A number that the model is fed with: as published, or assumed with a range and a reason.

    ``low`` and ``high`` are the 10 and 90 % points.
    """

    value: float
    low: float
    high: float
    unit: Annotated[str, Field(min_length=1)]
    standing: Standing
    why: Annotated[str, Field(min_length=1)]

    def row(self, name: str) -> Row:
        """As a row of evidence, from which values are drawn."""
        return Row(
            id=f"trial.{name}",
            value=self.value,
            low=self.low,
            high=self.high,
            unit=self.unit,
            distribution="fixed" if self.low == self.high else "normal",
            standing="our judgement",
            note=self.why,
        )


class Series(_Strict):
    """Readings of one quantity; ``relation`` says whether they are values or bounds."""

    quantity: Quantity
    unit: Literal["pH", "g/kg dry", "g/kg fresh", "% of N", "log10 cfu/g"]
    relation: Relation = "is"
    days: Annotated[list[float], Field(min_length=1)]
    values: list[float]
    spread: float | list[float] | None = None

    @model_validator(mode="after")
    def _even(self) -> Self:
        if len(self.values) != len(self.days):
            raise ValueError("as many values as days, please")
        if isinstance(self.spread, list) and len(self.spread) != len(self.days):
            raise ValueError("as many spreads as days, or one for all")
        if sorted(self.days) != self.days:
            raise ValueError("days must rise")
        return self

    def spread_at(self, index: int) -> float | None:
        """Spread of one reading, or None where none was published."""
        return self.spread[index] if isinstance(self.spread, list) else self.spread


class Arm(_Strict):
    """One treatment: inputs that differ from the trial's, and its readings."""

    name: str
    void: str = ""  # why its readings test nothing; they are shown and not scored
    inputs: Mapping[str, Input] = {}
    series: Annotated[list[Series], Field(min_length=1)]

    @property
    def last_day(self) -> float:
        """Day of the last reading."""
        return max(series.days[-1] for series in self.series)


class Trial(_Strict):
    """One publication."""

    id: str
    name: str
    citation: Annotated[str, Field(min_length=1)]
    doi: str
    seen_at: Annotated[str, Field(min_length=1)]
    role: Role
    role_reason: Annotated[str, Field(min_length=1)]
    kind: str
    cut: Cut
    published: str
    spread_is: str
    caveat: str = ""
    inputs: Mapping[str, Input]
    arm: Annotated[list[Arm], Field(min_length=1)]

    @model_validator(mode="after")
    def _complete(self) -> Self:
        for arm in self.arm:
            given = set(self.inputs) | set(arm.inputs)
            if missing := set(NEEDED) - given:
                raise ValueError(f"arm '{arm.name}' lacks {', '.join(sorted(missing))}")
            if unknown := given - set(NEEDED) - set(OPTIONAL):
                raise ValueError(f"arm '{arm.name}': no such input: {', '.join(sorted(unknown))}")
        return self

    def inputs_of(self, arm: Arm) -> dict[str, Input]:
        """All inputs of an arm, its own before the trial's."""
        return {**self.inputs, **arm.inputs}


@cache
def trials() -> tuple[Trial, ...]:
    """All trials that ship with Sourloam, by file name; EvidenceError where one breaks a rule."""
    folder = files("sourloam.validation") / "trials"
    found = sorted((f for f in folder.iterdir() if f.name.endswith(".toml")), key=lambda f: f.name)
    return tuple(
        read_trial(f.name.removesuffix(".toml"), f.read_text(encoding="utf-8")) for f in found
    )


def read_trial(name: str, text: str) -> Trial:
    """One trial from the text of its file; EvidenceError names the place and what is wrong."""
    try:
        return Trial(id=name, **tomllib.loads(text))
    except ValidationError as error:
        problem = error.errors()[0]
        where = ".".join(str(part) for part in problem["loc"])
        raise EvidenceError(f"trials/{name}.toml: {where} {problem['msg']}") from None
