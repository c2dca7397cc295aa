"""A whole site file as one checked object."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from typing import Annotated, Self

from pydantic import Field, PrivateAttr, model_validator

from sourloam.climate import ClimateError, Daily
from sourloam.climate import Room as StandingPlace
from sourloam.site.beds import Bed, FinishedVessel
from sourloam.site.conversion import Supply, to_daily, to_supplies, to_vessel, usual_mix
from sourloam.site.equipment import Bran, VesselKind
from sourloam.site.land import Ground, Rules
from sourloam.site.plausible import YEAR_DAYS, check_size, mean_day_kg
from sourloam.site.sections import (
    Busy,
    Closed,
    Months,
    Place,
    Scraps,
    Section,
    Week,
)
from sourloam.site.surroundings import Room, Weather
from sourloam.vessel.kinds import Vessel

_MANY = 100  # entries of one section that a file may hold


class Site(Section):
    """One place: its scraps, vessels, weather, ground and rules.

    Attributes are numbers whose unit stands in the name (volume_m3). The methods give what the
    science rooms take.
    """

    place: Place = Field(alias="site")
    """Which place this is and when it begins."""
    climate: Weather
    """The weather outside."""
    room: Room
    """Where the vessels stand."""
    scraps: Annotated[list[Scraps], Field(min_length=1, max_length=_MANY)]
    """Who makes scraps, how much and of what sort."""
    vessels: Annotated[list[VesselKind], Field(min_length=1, max_length=_MANY, alias="vessel")]
    """Kinds of vessel."""
    ground: Ground
    """Where the ferment goes back."""
    week: Week | None = None
    """How the days of the week differ; usual for the sort of place if left out."""
    months: Months | None = None
    """How the months differ; all alike if left out."""
    closed: Annotated[list[Closed], Field(max_length=_MANY, default_factory=list)]
    """Holidays and closures."""
    bran: Bran = Bran()
    """The inoculated bran."""
    busy: Annotated[list[Busy], Field(max_length=_MANY, default_factory=list)]
    """Times at which the beds can't be dug."""
    rules: Rules = Rules()
    """What binds this practice where you are."""
    beds: Annotated[list[Bed], Field(max_length=_MANY, default_factory=list, alias="bed")]
    """Beds that may take ferment, one by one; `sourloam garden` plans them."""
    finished: Annotated[list[FinishedVessel], Field(max_length=_MANY, default_factory=list)]
    """Finished vessels to bury; foreseen from the scraps if left out."""

    _record_text: str | None = PrivateAttr(None)  # the person's own weather record, as read

    @model_validator(mode="after")
    def _names_differ(self) -> Self:
        names = Counter(kind.name for kind in self.vessels)
        twice = [name for name, times in names.items() if times > 1]
        if twice:
            raise ValueError(f'two kinds of vessel are named "{twice[0]}"; give each its own name')
        return self

    @model_validator(mode="after")
    def _beds_can_be_told_apart(self) -> Self:
        for what, names in (
            ("beds", Counter(bed.name for bed in self.beds)),
            ("finished vessels", Counter(vessel.name for vessel in self.finished)),
        ):
            twice = [name for name, times in names.items() if times > 1]
            if twice:
                raise ValueError(f'two {what} are named "{twice[0]}"; give each its own name')
        for i, bed in enumerate(self.beds, start=1):
            if bed.texture is None and self.ground.texture is None:
                raise ValueError(f"bed[{i}]: texture is missing; give it here or in [ground]")
        return self

    @model_validator(mode="after")
    def _science_takes_it(self) -> Self:
        """What only shows when the science rooms look at it is told while reading."""
        for i, kind in enumerate(self.vessels, start=1):
            try:
                to_vessel(kind)
            except ValueError as error:
                raise ValueError(f"vessel[{i}]: {error}") from None
        if self.climate.csv is None:
            try:
                to_daily(self.climate, None)
            except ClimateError as error:
                raise ValueError(f"climate: {error}") from None
        return self

    @model_validator(mode="after")
    def _scraps_and_vessels_are_of_a_size(self) -> Self:
        start = self.place.start
        supplies = self.to_streams(start, start + dt.timedelta(days=YEAR_DAYS - 1))
        mean_kg = mean_day_kg(supplies, start)
        if not mean_kg:
            raise ValueError("closed: no day of the first year is open; there is nothing to plan")
        for i, vessel in enumerate(self.to_vessels(), start=1):
            check_size(vessel, mean_kg, f"vessel[{i}]")
        return self

    @property
    def name(self) -> str:
        """What people call the place."""
        return self.place.name

    @property
    def usual_mix(self) -> str | dict[str, float]:
        """The mix of a layer that names none: that of the first source."""
        return usual_mix(self.scraps[0])

    def to_climate(self) -> Daily:
        """The weather outside as a daily record, or as a smooth curve of the mean year."""
        return to_daily(self.climate, self._record_text)

    def to_room(self) -> StandingPlace:
        """Where the vessels stand."""
        return StandingPlace(
            self.room.kind, self.room.temperature_c, self.room.winter_temperature_c
        )

    def to_vessels(self) -> list[Vessel]:
        """The shape of each kind of vessel, in the order of ``vessels``."""
        return [to_vessel(kind) for kind in self.vessels]

    def to_streams(self, first: dt.date, last: dt.date) -> list[Supply]:
        """Who makes scraps when, with the closures that touch the days ``first`` to ``last``."""
        return to_supplies(
            self.scraps, self.place, self.week, self.months, self.closed, (first, last)
        )
