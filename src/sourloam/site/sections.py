"""The sections of a site file on the place, its scraps and its calendar.

Every field says what it is, for the docs. Other sections stand in ``surroundings``,
``equipment``, ``land`` and ``beds``.
"""

from __future__ import annotations

import datetime as dt
from typing import Annotated, Literal, Self

from pydantic import BaseModel, ConfigDict, Field, model_validator

from sourloam.site.mixes import MIX_SCHEMA, read_mix
from sourloam.site.quantities import (
    Date,
    Day,
    Name,
    Read,
    number,
    one_of,
    quantity,
    whole,
)

MassRate = Annotated[float, quantity("mass_rate", "0.3 kg/day", "0.001 kg/day", "5000 kg/day")]
Mix = Annotated[str | dict[str, float], Read(read_mix, MIX_SCHEMA)]
Factor = Annotated[float, number(0, 10)]
DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")


class Section(BaseModel):
    """Strict: no unknown key, no change after reading."""

    model_config = ConfigDict(
        frozen=True,
        extra="forbid",
        strict=True,
        allow_inf_nan=False,
        populate_by_name=False,
        use_attribute_docstrings=True,
    )


class Place(Section):
    """[site]: which place this is and when it begins."""

    name: Name
    """What you call the place."""
    kind: Annotated[str, one_of("home", "school", "cafe", "garden", "other")]
    """Sort of place; some cautions hang on it."""
    start: Date
    """Day of the first layer."""
    units: Annotated[str, one_of("metric", "us")] = "metric"
    """Units in which the plan is printed."""
    risk: Annotated[float, number(0.001, 0.5)] = 0.05
    """Chance a year, that you accept, of having nowhere to put the scraps."""
    hours_a_week: Annotated[float, number(0.1, 1000)] | None = None
    """Hours that people have for it in an ordinary week; if left out, usual for such a place."""


class _Stream(Section):
    mix: Mix | None = None
    """A ready mix by name, or shares by class that add up to 1; the usual one if left out."""
    pieces: Annotated[str, one_of("minced", "chopped", "whole")] = "chopped"
    """How small the scraps go in."""


class PeopleScraps(_Stream):
    """[[scraps]] from = "people": a household or several."""

    source: Literal["people"] = Field(alias="from")
    """`people`, `meals` or `measured`."""
    people: Annotated[float, number(0.1, 1_000_000)]
    """How many people, all households together."""
    households: Annotated[int, whole(1, 100)] = 1
    """Over how many households they spread; many together are less uncertain than one."""
    capture: Annotated[float, number(0.001, 1)] | None = None
    """Share of their scraps that really goes into the vessel; unknown if left out."""


class MealScraps(_Stream):
    """[[scraps]] from = "meals": a kitchen that counts its meals."""

    source: Literal["meals"] = Field(alias="from")
    """`people`, `meals` or `measured`."""
    meals: Annotated[str, one_of("school_lunch", "cafe_cover", "restaurant_cover", "hospital_meal")]
    """Sort of meal."""
    per_day: Annotated[float, number(0.1, 1_000_000)]
    """Meals on an ordinary open day."""
    cooked_on_site: bool = False
    """True if the trimmings of a school's kitchen come on top of what diners leave."""

    @model_validator(mode="after")
    def _kitchen_of_a_school(self) -> Self:
        if self.cooked_on_site and self.meals != "school_lunch":
            raise ValueError(f"cooked_on_site goes with school_lunch; {self.meals} counts it in")
        return self


class MeasuredScraps(_Stream):
    """[[scraps]] from = "measured": you have weighed them."""

    source: Literal["measured"] = Field(alias="from")
    """`people`, `meals` or `measured`."""
    amount_kg_per_day: MassRate = Field(alias="amount")
    """Mean over ordinary days."""
    spread: Annotated[float, number(0, 1)] = 0.0
    """How unsure that mean is, as a share of it: 0.1 for give or take a tenth."""
    day_to_day: Annotated[float, number(0, 3)] | None = None
    """How far single days differ, as a share of the mean (standard deviation)."""


Scraps = Annotated[PeopleScraps | MealScraps | MeasuredScraps, Field(discriminator="source")]


class Week(Section):
    """[week]: how each day compares with an ordinary open day; 0 is closed."""

    mon: Factor = 1.0
    """Monday."""
    tue: Factor = 1.0
    """Tuesday."""
    wed: Factor = 1.0
    """Wednesday."""
    thu: Factor = 1.0
    """Thursday."""
    fri: Factor = 1.0
    """Friday."""
    sat: Factor = 1.0
    """Saturday."""
    sun: Factor = 1.0
    """Sunday."""

    @model_validator(mode="after")
    def _some_day_is_open(self) -> Self:
        if not any(self.factors):
            raise ValueError("every day is 0; at least one day must be above 0")
        return self

    @property
    def factors(self) -> tuple[float, ...]:
        """Monday to Sunday."""
        return tuple(getattr(self, day) for day in DAYS)


class Months(Section):
    """[months]: how each month compares with the mean one."""

    jan: Factor = 1.0
    """January."""
    feb: Factor = 1.0
    """February."""
    mar: Factor = 1.0
    """March."""
    apr: Factor = 1.0
    """April."""
    may: Factor = 1.0
    """May."""
    jun: Factor = 1.0
    """June."""
    jul: Factor = 1.0
    """July."""
    aug: Factor = 1.0
    """August."""
    sep: Factor = 1.0
    """September."""
    oct: Factor = 1.0
    """October."""
    nov: Factor = 1.0
    """November."""
    dec: Factor = 1.0
    """December."""

    @model_validator(mode="after")
    def _some_month_is_open(self) -> Self:
        if not any(self.factors):
            raise ValueError("every month is 0; at least one month must be above 0")
        return self

    @property
    def factors(self) -> tuple[float, ...]:
        """January to December."""
        return tuple(getattr(self, month) for month in MONTHS)


class Span(Section):
    """From one day to another, both counted in; month and day alone come back every year."""

    start: Day = Field(alias="from")
    """First day: a date (2026-07-20), or "07-20" for every year."""
    end: Day = Field(alias="to")
    """Last day, written the same way as `from`."""

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if isinstance(self.start, str) != isinstance(self.end, str):
            raise ValueError('from and to differ; write both as 2026-07-20 or both as "07-20"')
        if isinstance(self.start, dt.date) and isinstance(self.end, dt.date):
            if self.end < self.start:
                raise ValueError(
                    f"to ({self.end}) is before from ({self.start}); put the earlier day in from"
                )
            if (self.end - self.start).days > LONGEST_SPAN_DAYS:
                raise ValueError(f"longer than {LONGEST_SPAN_DAYS} days; check the years")
        return self

    @property
    def yearly(self) -> bool:
        """True if it comes back every year."""
        return isinstance(self.start, str)


LONGEST_SPAN_DAYS = 3660


class Closed(Span):
    """[[closed]]: days with no scraps, or fewer: holidays, closures."""

    share: Annotated[float, number(0, 10)] = 0.0
    """Scraps on those days as a share of ordinary days; 0 is none."""
    name: Name | None = None
    """What you call it."""


class Busy(Span):
    """[[busy]]: days on which the beds are full of crops and no trench can be dug."""

    name: Name | None = None
    """What you call it."""
