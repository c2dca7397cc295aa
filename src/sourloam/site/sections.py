"""The sections of a site file, one model each. Every field says what it is, for the docs."""

from __future__ import annotations

import datetime as dt
from typing import Annotated, Literal, Self

from pydantic import BaseModel, ConfigDict, Field, model_validator

from sourloam.site.mixes import MIX_SCHEMA, read_mix
from sourloam.site.quantities import (
    Answer,
    Date,
    Day,
    MonthDay,
    Name,
    Read,
    number,
    one_of,
    quantity,
    whole,
)

Length = Annotated[float, quantity("length", "30 cm", "1 cm", "5 m")]
Height = Annotated[float, quantity("length", "5 cm", "0 cm", "2 m")]
TrenchLength = Annotated[float, quantity("length", "30 cm", "5 cm", "10 m")]
Spacing = Annotated[float, quantity("length", "60 cm", "5 cm", "10 m")]
Limit = Annotated[float, quantity("mass_rate", "50 kg/week", "0.001 kg/day", "5000 kg/day")]
Distance = Annotated[float, quantity("length", "20 m", "0 m", "10000 m")]
Area = Annotated[float, quantity("area", "12 m²", "0.01 m²", "100000 m²")]
Volume = Annotated[float, quantity("volume", "19 L", "0.5 L", "2000 L")]
MassRate = Annotated[float, quantity("mass_rate", "0.3 kg/day", "0.001 kg/day", "5000 kg/day")]
Plate = Annotated[float, quantity("mass", "1 kg", "0 kg", "500 kg")]
RoomTemperature = Annotated[float, quantity("temperature", "18 °C", "-40 °C", "55 °C")]
Swing = Annotated[float, quantity("temperature_difference", "9 °C", "0 °C", "40 °C")]
Dose = Annotated[float, quantity("share", "20 g/kg", "0 g/kg", "300 g/kg")]
Wait = Annotated[float, quantity("duration", "3 weeks", "0 days", "365 days")]
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


class Weather(Section):
    """[climate]: one of a packaged record, your own record, monthly means, or mean and swing."""

    record: Annotated[str, one_of("mild-oceanic")] | None = None
    """A daily record that comes with Sourloam."""
    csv: str | None = None
    """Your own daily record: a file with columns date, tmin_c, tmax_c, beside the site file."""
    monthly_means: (
        Annotated[list[Annotated[float, number(-80, 140)]], Field(min_length=12, max_length=12)]
        | None
    ) = None
    """Mean temperature of the air of the twelve months, January first; say the `unit`."""
    unit: Annotated[str, one_of("°C", "°F")] | None = None
    """Unit of `monthly_means`."""
    mean_c: RoomTemperature | None = Field(None, alias="mean")
    """Mean temperature of the air over the year."""
    swing_k: Swing | None = Field(None, alias="swing")
    """How far the warmest time of the mean year lies above `mean`: half of warmest less coldest."""
    warmest: MonthDay | None = None
    """Month and day of the warmest time of the year; "01-20" in the south, say."""

    @model_validator(mode="after")
    def _one_source(self) -> Self:
        ways = {
            "record": self.record,
            "csv": self.csv,
            "monthly_means": self.monthly_means,
            "mean": self.mean_c,
        }
        given = [name for name, value in ways.items() if value is not None]
        if len(given) != 1:
            found = " and ".join(given) or "none of them"
            raise ValueError(
                f"found {found}; give exactly one of record, csv, monthly_means (with unit), "
                "or mean with swing and warmest"
            )
        self._companions(given[0])
        return self

    def _companions(self, way: str) -> None:
        """Each way comes with its own further keys and no others."""
        wanted = {"monthly_means": ("unit",), "mean": ("swing", "warmest")}.get(way, ())
        others = {"unit": self.unit, "swing": self.swing_k, "warmest": self.warmest}
        for key, value in others.items():
            if value is not None and key not in wanted:
                raise ValueError(f"{key} doesn't go with {way}; leave it out")
            if key in wanted and value is None:
                raise ValueError(f"{key} is missing; {way} needs {' and '.join(wanted)}")


class Room(Section):
    """[room]: where the vessels stand."""

    kind: Annotated[str, one_of("indoors", "shed", "cellar", "outdoors")] = "indoors"
    """Indoors keeps the temperature you state; a shed follows the weather, a cellar the ground."""
    temperature_c: RoomTemperature | None = Field(None, alias="temperature")
    """Usual temperature there: needed indoors, in a cellar the mean of the year if you know it."""
    winter_temperature_c: RoomTemperature | None = Field(None, alias="winter_temperature")
    """Temperature indoors at the coldest time of the year; `temperature` then is the warmest."""

    @model_validator(mode="after")
    def _stated_where_it_helps(self) -> Self:
        if self.kind == "indoors" and self.temperature_c is None:
            raise ValueError('temperature is missing; indoors needs it, e.g. "20 °C"')
        if self.kind in ("shed", "outdoors") and self.temperature_c is not None:
            raise ValueError(f"temperature: {self.kind} follows the weather; leave it out")
        if self.kind != "indoors" and self.winter_temperature_c is not None:
            raise ValueError("winter_temperature is for indoors only; leave it out")
        return self


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
    """Over how many households they spread; the days of many even each other out."""
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


class VesselKind(Section):
    """[[vessel]]: a kind of vessel that you own or could get."""

    name: Name
    """What you call it; each kind has its own name."""
    volume_m3: Volume | None = Field(None, alias="volume")
    """Volume as sold."""
    top_diameter_m: Length | None = Field(None, alias="top_diameter")
    """Inside diameter at the brim; with base_diameter and height, instead of `volume`."""
    base_diameter_m: Length | None = Field(None, alias="base_diameter")
    """Inside diameter at the bottom."""
    height_m: Length | None = Field(None, alias="height")
    """Inside height."""
    grid_height_m: Height | None = Field(None, alias="grid_height")
    """Height of the drain grid above the bottom."""
    headroom_m: Height | None = Field(None, alias="headroom")
    """Space left free under the lid, plate included."""
    plate_kg: Plate | None = Field(None, alias="plate")
    """Mass of what lies on the scraps while the lid is shut; "0 kg" if nothing."""
    owned: Annotated[int, whole(0, 1000)] = 0
    """How many you have already."""
    most: Annotated[int, whole(1, 1000)] | None = None
    """The most that you have room for."""
    opened_per_day: Annotated[float, number(0.05, 20)] = 1.0
    """How often the lid is opened while it fills."""

    @model_validator(mode="after")
    def _size_is_known(self) -> Self:
        measures = (self.top_diameter_m, self.base_diameter_m, self.height_m)
        given = [m for m in measures if m is not None]
        if given and len(given) < len(measures):
            raise ValueError(
                "top_diameter, base_diameter and height go together; give all three or only volume"
            )
        if not given and self.volume_m3 is None:
            raise ValueError('volume is missing; e.g. volume = "19 L"')
        if given and self.volume_m3 is not None:
            raise ValueError("give either volume or the three measures, not both")
        if self.most is not None and self.most < self.owned:
            raise ValueError(f"most ({self.most}) is below owned ({self.owned})")
        return self


class Bran(Section):
    """[bran]: the inoculated bran."""

    carrier: Annotated[str, one_of("wheat_bran", "rice_bran")] = "wheat_bran"
    """What the bran is."""
    dose: Dose | None = None
    """Bran to fresh scraps, by mass; computed if left out."""
    strength: Annotated[float, number(3, 11)] | None = None
    """Live lactic bacteria, power of ten per gram; unknown if left out."""
    spoon: Annotated[
        str, one_of("us_tablespoon", "metric_tablespoon", "australian_tablespoon", "uk_tablespoon")
    ] = "metric_tablespoon"
    """The spoon with which you measure."""


class Ground(Section):
    """[ground]: where the ferment goes back."""

    none: bool = False
    """True if there is no ground: then it goes to a tub of soil."""
    texture: Annotated[str, one_of("sand", "sandy_loam", "loam", "clay")] | None = None
    """How the soil feels."""
    bed_area_m2: Area | None = Field(None, alias="bed_area")
    """Area of beds that may take ferment."""
    trench_width_m: TrenchLength | None = Field(None, alias="trench_width")
    """Width of a trench."""
    trench_depth_m: TrenchLength | None = Field(None, alias="trench_depth")
    """Depth of a trench."""
    trench_spacing_m: Spacing | None = Field(None, alias="trench_spacing")
    """From the middle of a trench to the middle of the next."""
    wait_days: Wait | None = Field(None, alias="wait")
    """Wait between burying and planting, if yours differs from the usual."""
    raw_crops: bool = False
    """True if crops that are eaten raw grow there."""

    @model_validator(mode="after")
    def _ground_or_none(self) -> Self:
        if not self.none:
            for key, value in (("texture", self.texture), ("bed_area", self.bed_area_m2)):
                if value is None:
                    raise ValueError(f"{key} is missing; or write none = true if there's no ground")
        elif self.bed_area_m2 is not None:
            raise ValueError("none = true and bed_area don't go together; leave one out")
        width, spacing = self.trench_width_m, self.trench_spacing_m
        if width is not None and spacing is not None and spacing < width:
            raise ValueError("trench_spacing is below trench_width; trenches would overlap")
        return self


class Rules(Section):
    """[rules]: what binds this practice where you are; "unknown" brings a reminder to ask."""

    same_property: Answer = "unknown"
    """Are scraps made, fermented and used on one property?"""
    animal_food: Answer = "unknown"
    """Does meat, fish, dairy or cooked food come in?"""
    farmed_animals_near: Answer = "unknown"
    """Are farmed animals (hens and pet pigs too) on or near the land?"""
    burial_allowed: Answer = "unknown"
    """Is burying ferment allowed where you are?"""
    notification_needed: Answer = "unknown"
    """Must somebody be told, or paid a fee, before you begin?"""
    produce_sold: Answer = "unknown"
    """Is what grows sold, or certified as organic?"""
    pest_rules: Answer = "unknown"
    """Are there rules about bears, rats or other animals that scraps draw?"""
    carried_by_others: Answer = "unknown"
    """Does anybody carry scraps or ferment over public roads?"""
    liquid_to_drain: Answer = "unknown"
    """Does drained liquid go to a drain?"""
    given_away: Answer = "unknown"
    """Does ferment or soil made with it go to other people?"""
    limit_kg_per_day: Limit | None = Field(None, alias="limit")
    """The most scraps that local rules allow."""
    distance_to_water_m: Distance | None = Field(None, alias="distance_to_water")
    """From the beds to the nearest stream, ditch, pond or drain."""
    distance_to_well_m: Distance | None = Field(None, alias="distance_to_well")
    """From the beds to the nearest well or spring."""
    distance_to_boundary_m: Distance | None = Field(None, alias="distance_to_boundary")
    """From the beds to the neighbours' land."""
