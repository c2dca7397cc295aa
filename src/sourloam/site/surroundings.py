"""The sections on the weather and on the room where the vessels stand."""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import Field, model_validator

from sourloam.site.quantities import MonthDay, number, one_of, quantity
from sourloam.site.sections import Section

RoomTemperature = Annotated[float, quantity("temperature", "18 °C", "-40 °C", "55 °C")]
Swing = Annotated[float, quantity("temperature_difference", "9 °C", "0 °C", "40 °C")]


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
    rain_mm_by_month: (
        Annotated[list[Annotated[float, number(0, 3000)]], Field(min_length=12, max_length=12)]
        | None
    ) = None
    """Rain and melted snow of the twelve months, mm, January first; usual if left out."""

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
