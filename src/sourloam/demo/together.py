"""The programme of Alder Row: what those who carry the garden's bran around write down.

Every line follows from what the places' own logs tell of the season; how many people came and how
far somebody drove is drawn as in the invented town.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from sourloam.demo.habits import PLACES, Habit
from sourloam.demo.season import SeasonPlace
from sourloam.demo.town import hub, north_east

_CLASS_AFTER = 9  # days after bran was carried around
_WORD_AFTER, _VISIT_AFTER = 21, 35  # days without an entry
_ASKED_EVERY, _CALM = 45, 14
_TUESDAY = 1


@dataclass(frozen=True)
class Line:
    """A line of the programme's log; ``place`` where it is of one."""

    day: dt.date
    kind: str
    place: str | None = None
    body: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class Spot:
    """Where a place of the row lies (latitude, longitude) and its hours of the day."""

    at: tuple[float, float]
    hours: tuple[int, int] | None


def spots() -> dict[str, Spot]:
    """By place id."""
    return {f"alder-row-{one.file}": Spot(_spot(one), one.hours) for one in PLACES}


def _spot(habit: Habit) -> tuple[float, float]:
    latitude, longitude = hub()
    east, north = habit.from_hub_m
    up, right = north_east(north / 1000, east / 1000)
    return latitude + up, longitude + right


def round_day(today: dt.date) -> dt.date:
    """Tuesday of the week that comes."""
    return today + dt.timedelta(days=7 - today.weekday() + _TUESDAY)


def lines(places: Sequence[SeasonPlace], today: dt.date, seed: int = 1) -> list[Line]:
    """The programme's log up to the eve of ``today``, in order; the same season gives the same."""
    rng = np.random.default_rng([seed, len(places)])
    places = [place for place in places if place.entries]
    bran = list(_bran(places))
    days = sorted({line.day for line in bran})
    found = [*bran, *_carried(days, rng), *_troubles(places), *_silences(places, today)]
    found += _asked(places, today, rng)
    return sorted((line for line in found if line.day < today), key=lambda line: line.day)


def _bran(places: Sequence[SeasonPlace]) -> Iterator[Line]:
    """What the garden wrote down as handed out was brought there."""
    ids = {place.name: place.id for place in places}
    for entry in (entry for place in places for entry in place.entries):
        if entry.kind == "bran_handed_out":
            told = entry.body.model_dump()
            yield Line(entry.at.date(), "bran", ids[told["to"]], {"kg": told["mass_kg"]})


def _carried(days: Sequence[dt.date], rng: np.random.Generator) -> Iterator[Line]:
    """The way with the bran, and the class that followed it."""
    for day in days:
        hours, km = float(rng.uniform(1, 2)), float(rng.uniform(5, 8))
        yield Line(day, "round", body={"hours": round(hours, 1), "km": round(km, 1)})
        people = int(rng.integers(4, 12))
        later = day + dt.timedelta(days=_CLASS_AFTER)
        yield Line(later, "training", body={"people": people, "hours": 2.0})


def _troubles(places: Sequence[SeasonPlace]) -> Iterator[Line]:
    """Whoever had a vessel fail asked what to do."""
    for place in places:
        for entry in place.entries:
            if entry.kind == "judged" and entry.body.model_dump()["verdict"] == "failed":
                body = {
                    "note": "A vessel smells rotten. What now?",
                    "answer": "Leave it shut, outdoors, and go through the rescue page first.",
                }
                yield Line(entry.at.date(), "question", place.id, body)


def _silences(places: Sequence[SeasonPlace], today: dt.date) -> Iterator[Line]:
    """A place that wrote nothing for weeks got a word, then a visit."""
    for place in places:
        last = max(entry.at.date() for entry in place.entries)
        if (today - last).days > _VISIT_AFTER + _CALM:
            yield Line(last + dt.timedelta(days=_WORD_AFTER), "word", place.id)
            body = {"hours": 0.5, "note": "Busy until autumn; the vessels may stay."}
            yield Line(last + dt.timedelta(days=_VISIT_AFTER), "visit", place.id, body)


def _asked(
    places: Sequence[SeasonPlace], today: dt.date, rng: np.random.Generator
) -> Iterator[Line]:
    """Now and then somebody is visited, and asks."""
    first = min(entry.at.date() for place in places for entry in place.entries)
    day = first + dt.timedelta(days=_ASKED_EVERY)
    while day < today - dt.timedelta(days=_CALM):
        place = places[int(rng.integers(len(places)))]
        if max(entry.at.date() for entry in place.entries) >= day:
            body = {"note": "Is white film normal?", "answer": "Yes; dry and white is."}
            yield Line(day, "question", place.id, body)
            yield Line(day, "visit", place.id, {"hours": 0.5})
        day += dt.timedelta(days=_ASKED_EVERY)


__all__ = ["Line", "Spot", "lines", "round_day", "spots"]
