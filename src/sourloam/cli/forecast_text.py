"""What a log foresees, to print with Rich: one short block a vessel, then what was learned."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import Any

import numpy as np
from rich.console import RenderableType

from sourloam.evidence import book
from sourloam.forecast.movers import LABELS
from sourloam.forecast.outlook import VesselForecast
from sourloam.forecast.telling import PlaceForecast, Told
from sourloam.report.page import Look, Page, heading, listing, paragraph
from sourloam.units import check_system, percent, show, show_range

_M3_PER_ML = 1e-6
_WIDTHS = (17, 14)
_KEYS = ("low", "median", "high")
_FAR = "beyond the time foreseen"
_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_FEW = 0.01  # a smaller chance is not told to the point
_HARDLY = 0.05  # a factor of week or year nearer to 1 is not told
CAUTION = (
    "A vessel that is likely to fail may smell foul and hold gas: open it slowly, outdoors, with "
    "gloves, and wash your hands. A forecast is no proof that germs are gone."
)


def forecast_text(found: PlaceForecast, system: str = "metric") -> Page:
    """The whole page, in "metric" or "us" units. ValueError for an unknown system."""
    check_system(system)

    def parts(look: Look) -> Iterator[RenderableType]:
        yield paragraph(f"{found.name}, as foreseen on {_date(found.today)}", style="bold")
        if not found.vessels:
            yield paragraph("No vessel holds layers whose amount is known: nothing to foresee.")
        for told in found.vessels:
            yield from _vessel(told, look.system)
        yield from _learned(found, look.system)
        yield heading("How it is computed")
        yield paragraph(
            "The model of a vessel is run many times, each time with other amounts, packing, "
            "warmth and bran; the runs that agree best with the log weigh most. The first figure "
            "is the middle of them, the range holds eight in ten. docs/forecast.md says more."
        )
        yield heading("Cautions")
        yield paragraph(CAUTION)

    return Page(parts, system)


def _vessel(told: Told, system: str) -> Iterator[RenderableType]:
    seen = told.forecast
    summary = seen.summary()
    days = (seen.today - seen.began).days
    doing = "resting" if seen.resting else "filling"
    yield heading(f"{told.name}: {doing}, {days} days since its first layer")
    yield listing(_rows(seen, summary, system), _WIDTHS)
    closed = _closed_slow(seen, summary)
    if closed is not None:
        yield paragraph(
            f"It fills slowly: reckoned as closed on {_date(closed)}, full or not, and sour from "
            "there.",
            indent=2,
        )
    for why in seen.notes:
        yield paragraph(f"Likely to fail: {why}", indent=2)
    for one in seen.surprises:
        day = seen.began + dt.timedelta(days=one.day)
        yield paragraph(f"Surprising on {_date(day)}: {one.sentence}", indent=2)
    if seen.movers:
        what = "sour and steady" if seen.resting else "full"
        moved = ", ".join(f"{LABELS[m.what]} ({percent(m.share)})" for m in seen.movers)
        yield paragraph(f"What moves the day of being {what} most: {moved}.", indent=2)


def _closed_slow(seen: VesselForecast, summary: dict[str, Any]) -> dt.date | None:
    """The day on which one that fills too slowly is reckoned as closed; None where it is not."""
    if seen.resting:
        return None
    closed = seen.began + dt.timedelta(days=round(book()["planning.longest_fill"].value))
    full = summary["full_on"]["median"]
    return closed if full is None or dt.date.fromisoformat(full) > closed else None


def _rows(
    seen: VesselForecast, summary: dict[str, Any], system: str
) -> Iterator[tuple[str, str, str]]:
    if not seen.resting:
        yield ("full", *_days(summary["full_on"]))
    yield ("sour and steady", *_days(summary["finished_on"]))
    gathered = summary["next_drain_ml"]
    if gathered is not None:
        yield ("next draining", *_days(summary["next_drain_on"]))
        yield ("liquid then", *_between(gathered, _M3_PER_ML, "small_volume", system))
    else:
        yield ("next draining", "none worth it", "")
    if not seen.resting:
        middle, ends = _between(summary["bran_left_kg"], 1.0, "small_mass", system)
        yield ("bran until full", middle, f"{ends}, at the usual dose")
    low, middle, high = (_chance(summary["chance_of_failing_range"][key]) for key in _KEYS)
    yield ("chance of failing", middle, "" if low == high else f"{low} to {high}")


def _chance(share: float) -> str:
    return percent(share) if share >= _FEW else "under 1 %"


def _between(
    points: dict[str, float], factor: float, dimension: str, system: str
) -> tuple[str, str]:
    """The middle, and the range in its unit."""
    low, middle, high = (points[key] * factor for key in _KEYS)
    shown = show(middle, dimension, system)
    return shown, show_range(low, high, dimension, system, like=middle)


def _days(points: dict[str, str | None]) -> tuple[str, str]:
    low, middle, high = (
        _FAR if points[key] is None else _date(dt.date.fromisoformat(str(points[key])))
        for key in _KEYS
    )
    return middle, "" if low == high else f"{low} to {high}"


def _learned(found: PlaceForecast, system: str) -> Iterator[RenderableType]:
    yield heading("What this place's log has taught")
    low, middle, high = found.rate_kg
    turns = found.turns
    vessels = f"{turns} finished vessel{'' if turns == 1 else 's'}" if turns else "no vessel yet"
    yield paragraph(
        f"Scraps, coming four weeks: {show(middle, 'mass_rate', system)} "
        f"({show_range(low, high, 'mass_rate', system)}), learned from {vessels}; the site file "
        f"says {show(found.said_kg, 'mass_rate', system)}."
    )
    week = found.habits.week
    if np.abs(week - 1).max() >= _HARDLY:
        told = ", ".join(f"{day} {percent(f)}" for day, f in zip(_DAYS, week, strict=True))
        yield paragraph(f"Of what the site file says, by weekday: {told}.")
    else:
        yield paragraph("By weekday: as the site file says.")
    swing = float(np.hypot(*found.habits.year))
    if swing >= _HARDLY:
        top = np.degrees(np.arctan2(found.habits.year[1], found.habits.year[0])) % 360
        month = dt.date(2025, 1, 1) + dt.timedelta(days=int(top / 360 * 365))
        yield paragraph(
            f"By season: most about {month:%B}, {percent(np.expm1(swing))} above the mean."
        )


def _date(day: dt.date) -> str:
    return f"{day:%-d %b %Y}"
