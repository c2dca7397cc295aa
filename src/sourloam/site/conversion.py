"""From the sections of a site file to what the science rooms take."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from sourloam import climate, scraps
from sourloam.evidence import book
from sourloam.site.equipment import VesselKind
from sourloam.site.sections import (
    Closed,
    MealScraps,
    MeasuredScraps,
    Months,
    PeopleScraps,
    Place,
    Span,
    Week,
)
from sourloam.site.surroundings import Weather
from sourloam.vessel.kinds import Vessel

Entry = PeopleScraps | MealScraps | MeasuredScraps


@dataclass(frozen=True)
class Supply:
    """One source of scraps: how much (stream and calendar), of what sort, how small.

    ``mix`` is a preset's name or shares by class that add up to 1.
    """

    stream: scraps.Stream
    calendar: scraps.Calendar
    mix: str | Mapping[str, float]
    pieces: str


def to_vessel(kind: VesselKind) -> Vessel:
    """The shape of one kind; what the file leaves out comes from the evidence."""
    grid = _given(kind.grid_height_m, "grid_height")
    headroom = _given(kind.headroom_m, "headroom")
    plate = _given(kind.plate_kg, "plate_mass")
    if kind.top_diameter_m is not None:
        base, height = kind.base_diameter_m, kind.height_m
        assert base is not None  # the model takes all three or none
        assert height is not None
        return Vessel(kind.name, kind.top_diameter_m, base, height, grid, headroom, plate)
    assert kind.volume_m3 is not None  # the model takes either
    brim = kind.volume_m3 * _default("brim_to_nominal")
    slender, taper = _default("height_to_diameter"), _default("taper")
    return Vessel.of_volume(kind.name, brim, slender, taper, grid, headroom, plate)


def _given(value: float | None, name: str) -> float:
    return _default(name) if value is None else value


def _default(name: str) -> float:
    return book()[f"site.vessel.{name}"].value


def to_daily(weather: Weather, record_text: str | None) -> climate.Daily:
    """The weather as a daily record; ``record_text`` is the person's own record, if any."""
    if weather.record is not None:
        return climate.packaged_record(weather.record)
    if weather.csv is not None:
        return climate.read_csv(record_text or "", weather.csv)
    if weather.monthly_means is not None:
        means = np.array(weather.monthly_means)
        return climate.from_monthly_means((means - 32) / 1.8 if weather.unit == "°F" else means)
    assert weather.mean_c is not None  # the model takes all three or none
    assert weather.swing_k is not None
    assert weather.warmest is not None
    return climate.from_mean_and_swing(
        weather.mean_c, weather.swing_k, _day_of_year(weather.warmest)
    )


def _day_of_year(month_day: str) -> int:
    month, day = (int(part) for part in month_day.split("-"))
    return (dt.date(2001, month, min(day, 28) if month == 2 else day)).timetuple().tm_yday


def to_supplies(
    entries: Iterable[Entry],
    place: Place,
    week: Week | None,
    months: Months | None,
    closed: Iterable[Closed],
    window: tuple[dt.date, dt.date],
) -> list[Supply]:
    """One supply for each source, within a window of days."""
    closures = tuple(
        (np.datetime64(first, "D"), np.datetime64(last, "D"), span.share)
        for span in closed
        for first, last in spans_within(span, *window)
    )
    season = months.factors if months else (1.0,) * 12
    supplies = []
    for entry in entries:
        factors = week.factors if week else _usual_week(entry, place)
        calendar = scraps.Calendar(factors, season, closures)
        supplies += [
            Supply(stream, calendar, usual_mix(entry), entry.pieces) for stream in _streams(entry)
        ]
    return supplies


def _usual_week(entry: Entry, place: Place) -> tuple[float, ...]:
    if isinstance(entry, PeopleScraps):
        return scraps.household_week(book()["waste.weekend_factor"].value)
    if place.kind == "school" or (isinstance(entry, MealScraps) and entry.meals == "school_lunch"):
        return (1.0,) * 5 + (book()["site.week.school.weekend"].value,) * 2
    return (1.0,) * 7


def _streams(entry: Entry) -> list[scraps.Stream]:
    if isinstance(entry, PeopleScraps):
        return [scraps.Household(entry.people, entry.capture, entry.households)]
    if isinstance(entry, MealScraps):
        return [scraps.Meals(_meals(entry), entry.per_day)]
    return [scraps.Measured(entry.amount_kg_per_day, entry.spread, entry.day_to_day)]


def _meals(entry: MealScraps) -> str:
    return f"{entry.meals}_cooked_on_site" if entry.cooked_on_site else entry.meals


def usual_mix(entry: Entry) -> str | dict[str, float]:
    """The mix of a source: as stated, else what is usual for such a source."""
    if entry.mix is not None:
        return entry.mix
    return scraps.USUAL_PRESET[_meals(entry) if isinstance(entry, MealScraps) else "household"]


def spans_within(span: Span, first: dt.date, last: dt.date) -> Iterator[tuple[dt.date, dt.date]]:
    """The dated spans (last day included) that touch the window; a yearly one may give several."""
    if isinstance(span.start, dt.date) and isinstance(span.end, dt.date):
        if span.end >= first and span.start <= last:
            yield span.start, span.end
        return
    for year in range(first.year - 1, last.year + 1):
        start, end = _in_year(str(span.start), year), _in_year(str(span.end), year)
        if end < start:  # over the turn of the year
            end = _in_year(str(span.end), year + 1)
        if end >= first and start <= last:
            yield start, end


def _in_year(month_day: str, year: int) -> dt.date:
    """That day in that year; 29 February is the 28th in a common year."""
    month, day = (int(part) for part in month_day.split("-"))
    try:
        return dt.date(year, month, day)
    except ValueError:
        return dt.date(year, month, day - 1)
