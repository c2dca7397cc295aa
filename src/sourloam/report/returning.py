"""Sections on giving the ferment to the ground, and on the dates of the year."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from itertools import groupby

from rich.console import RenderableType
from rich.text import Text

from sourloam.planning.contract import Entry, Ground, Plan
from sourloam.report.page import Look, heading, paragraph, plain, sentence, table
from sourloam.report.quantities import amount, one


def ground(plan: Plan, look: Look) -> Iterator[RenderableType]:
    """What the ground must give, and when it can't."""
    found, system = plan.ground, look.system
    yield heading("Ground" if found.way == "trench" else "Soil tub")
    yield paragraph(
        f"{amount(found.vessels_per_year, system)} to empty in a year, each with "
        f"{amount(found.per_vessel_mass, system)} of ferment that holds "
        f"{amount(found.per_vessel_nitrogen, system)} of nitrogen."
    )
    yield from (paragraph(line) for line in _needs(found, system))
    yield paragraph(sentence(found.why))
    yield paragraph(
        f"After burying, wait {amount(found.wait, system)} before you sow or plant there."
    )
    if len(found.wait_by_season) > 1:
        yield table(
            ("Buried in", "Wait before sowing or planting"),
            [(s.season, amount(s.amount, system)) for s in found.wait_by_season],
        )
    if any(m.busy_days or m.closed_days.high for m in found.by_month):
        yield _months(found, system)


def _needs(found: Ground, system: str) -> Iterator[str]:
    limit = {
        "nitrogen": "the nitrogen a square metre may get in a year",
        "oxygen": "the air that the soil can draw in",
        "geometry": "the room that trenches take",
        "tub volume": "the volume of the tub",
    }[found.limited_by]
    if found.trench_per_vessel:
        yield f"For each vessel dig {amount(found.trench_per_vessel, system)} of trench."
    if found.bed_area:
        least = ""
        if found.bed_area_least:
            least = f", and never less than {amount(found.bed_area_least, system)}"
        yield f"In a year that asks for {amount(found.bed_area, system)} of bed{least}."
    if found.bed_area_given is not None:
        verdict = {True: ": enough.", False: ": not enough.", None: "."}[found.enough]
        yield f"You have {one(found.bed_area_given, 'm2', system)}{verdict}"
    if found.tub_soil:
        yield f"Mix each vessel's ferment with {amount(found.tub_soil, system)} of soil."
    yield f"The tightest limit here is {limit}."


def _months(found: Ground, system: str) -> RenderableType:
    shown = [m for m in found.by_month if m.busy_days or m.closed_days.high]
    return table(
        ("The ground can't take it in", "Frozen or too cold", "Beds busy"),
        [
            (
                f"{m.month:%B %Y}",
                amount(m.closed_days, system),
                one(m.busy_days, "days", system),
            )
            for m in shown
        ],
    )


def calendar(plan: Plan, look: Look) -> Iterator[RenderableType]:
    """What is due, month by month, for the middle one of the simulated cases."""
    yield heading("The year, month by month")
    yield paragraph(
        "Dates follow the middle one of the simulated cases: your vessels decide, not the dates."
    )
    entries = sorted(plan.calendar, key=lambda entry: entry.date)
    for month, group in groupby(entries, key=lambda entry: f"{entry.date:%B %Y}"):
        yield Text(f"\n{month}", style="bold")
        yield table(("Day", "Vessel", "What is due"), [_row(entry) for entry in group])


def _row(entry: Entry) -> tuple[str, str, str]:
    return _days(entry.date, entry.until), plain(entry.vessel), sentence(entry.text)


def _days(first: date, last: date | None) -> str:
    if last is None or last == first:
        return f"{first.day} {first:%b}"
    if (first.year, first.month) == (last.year, last.month):
        return f"{first.day}–{last.day} {first:%b}"
    return f"{first.day} {first:%b} – {last.day} {last:%b}"
