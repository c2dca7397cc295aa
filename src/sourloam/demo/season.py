"""A season of the invented places of Alder Row, that ends on the day it is asked for."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from sourloam.demo import bran_diary, diary, garden_diary
from sourloam.demo.bran_diary import Given
from sourloam.demo.course import Owned, live, vessels_of
from sourloam.demo.habits import PLACES, Habit, read_site
from sourloam.demo.truth import PlaceTruth, TurnTruth, draw_place
from sourloam.demo.vessel_diary import write_turn
from sourloam.ledger import Entry
from sourloam.site import Site

_BEYOND = 280  # days past today that the truth goes on, so that forecasts can be proved
_LEAST = 400  # days of weather that a season can be read from
DAYS = 420


@dataclass(frozen=True)
class SeasonPlace:
    """One place as a logbook knows it: id, name, site, zone, and its entries in the order in
    which they were written."""

    id: str
    name: str
    site: Site
    zone: str
    units: str
    entries: tuple[Entry, ...]


@dataclass(frozen=True)
class HiddenPlace:
    """The same place as it really is, with all turns of its vessels, those to come included."""

    place: PlaceTruth
    turns: tuple[TurnTruth, ...]

    def on(self, day: float) -> dt.date | None:
        """Calendar date of a day of the story; None for one that never comes."""
        return self.place.date(int(day)) if np.isfinite(day) else None


@dataclass(frozen=True)
class Season:
    """Places with their logs; ``truth`` by place id is never shown to people."""

    today: dt.date
    places: tuple[SeasonPlace, ...]
    truth: Mapping[str, HiddenPlace]


def season(today: dt.date, seed: int = 1, days: int = DAYS) -> Season:
    """The places of Alder Row with a log of so many days, written up to the eve of ``today``.

    The same ``today``, ``seed`` and ``days`` give the same season. Raises ValueError for less
    than four weeks, in which no vessel would come to its end.
    """
    if days < 28:
        raise ValueError(f"days {days}: give at least 28")
    told, hidden = [], {}
    given: list[Given] = []
    for number, habit in enumerate(PLACES):
        rng = np.random.default_rng([seed, number])
        place, truth = _place(habit, today, days, rng, given)
        told.append(place)
        hidden[place.id] = truth
    return Season(today, tuple(told), hidden)


def _place(
    habit: Habit, today: dt.date, days: int, rng: np.random.Generator, given: list[Given]
) -> tuple[SeasonPlace, HiddenPlace]:
    site, text = read_site(habit)
    first = today - dt.timedelta(days=days)
    truth = draw_place(site, first, max(days + _BEYOND, _LEAST), rng)
    owned = vessels_of(truth, habit.file)
    turns = live(truth, habit, owned, days, rng)
    book = diary.Diary(truth, habit, days - habit.stops_before, rng)
    _write(book, text, owned, turns, given)
    written = sorted(book.entries, key=lambda e: (e.written_at, e.id))
    place = SeasonPlace(
        id=f"alder-row-{habit.file}",
        name=site.name,
        site=site,
        zone="UTC",
        units=site.place.units,
        entries=tuple(diary.stamped(entry) for entry in written),
    )
    return place, HiddenPlace(truth, tuple(turns))


def _write(
    book: diary.Diary, text: str, owned: list[Owned], turns: list[Any], given: list[Given]
) -> None:
    diary.begin(book, text, [(one.id, one.name, one.kind) for one in owned])
    for turn in turns:
        write_turn(book, turn)
    garden_diary.write_burials(book, turns)
    garden_diary.write_crops(book)
    garden_diary.write_liquid(book)
    if not bran_diary.makes_bran(book):
        given += bran_diary.write_bran(book, turns)
    _room(book)
    if book.habit.file == "school":
        book.quarrel(book.until - 12)
    if book.habit.file == "house":
        stray = {"vessel": owned[-1].id, "volume_ml": 60.0, "use": "sink"}
        book.write(1.8, "drained", stray)  # the wrong vessel was tapped on the screen
    if bran_diary.makes_bran(book):
        bran_diary.write_making(book, turns, given)


def _room(book: diary.Diary) -> None:
    """The thermometer in the room, once a month."""
    for day in range(10, book.until, 30):
        warmth = float(book.place.room_c[day]) + 0.5 * float(book.rng.standard_normal())
        book.write(day + 0.75, "warmth_read", {"temperature_c": round(warmth)})
