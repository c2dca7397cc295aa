"""Sections on giving the ferment to the ground, and on the dates of the year."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from itertools import groupby

from rich.console import RenderableType
from rich.text import Text

from sourloam.planning.contract import Entry, Ground, Plan, Range
from sourloam.report.page import Look, heading, listing, paragraph, plain, sentence, table
from sourloam.report.quantities import amount, one
from sourloam.units import show_on_bed


def ground(plan: Plan, look: Look) -> Iterator[RenderableType]:
    """What the ground must give, and when it can't."""
    found, system = plan.ground, look.system
    yield heading("Ground" if found.way == "trench" else "Soil tub")
    yield table(("What it must take", "How much"), _needs(found, system))
    yield paragraph(sentence(found.why))
    done = "burying" if found.way == "trench" else "mixing it in"
    wait = f"After {done}, wait {amount(found.wait, system)} before you sow or plant."
    yield paragraph(f"{wait} {found.wait_why}".strip())
    if len(found.wait_by_season) > 1:
        yield table(
            ("Buried in" if found.way == "trench" else "Mixed in", _WAIT),
            [(s.season, amount(s.amount, system)) for s in found.wait_by_season],
        )
        if len({s.amount.median for s in found.wait_by_season}) > 1:
            yield paragraph(_EACH_DAY)
    if any(m.busy_days or m.closed_days.high for m in found.by_month):
        yield _months(found, system)


_DATES = 15
_EACH_DAY = (
    "These are the middles of whole seasons. The dates below take the middle wait of the very day, "
    "which in late spring is shorter than the season's, and in late autumn longer."
)
_WAIT = "Wait before sowing or planting"
_LIMITS = {
    "nitrogen": "the nitrogen that a bed may get in a year",
    "phosphorus": "the phosphorus you allow a square metre in a year",
    "oxygen": "the air that the soil can draw in",
    "geometry": "the room that trenches take",
    "tub volume": "the volume of the tub",
}
_ELSEWHERE = {
    "nowhere needed": "Emptied elsewhere",
    "tub": "Mixed with old soil in a tub",
    "other people": "Passed on to others",
}
_VERDICTS = {True: " (enough)", False: " (not enough)", None: ""}


def _needs(found: Ground, system: str) -> list[tuple[str, str]]:
    """What the ground must take and give, as lines of a table; what is not known is left out."""
    given = found.bed_area_given
    rows = [
        ("Vessels to empty in a year", amount(found.vessels_per_year, system)),
        ("Ferment in each", amount(found.per_vessel_mass, system)),
        ("Nitrogen in each", amount(found.per_vessel_nitrogen, system)),
    ]
    ranges = (
        ("Trench for each", found.trench_per_vessel),
        ("Bed for a year of it", found.bed_area),
        ("Bed at the highest ceiling met in rules", found.bed_area_least),
        ("Soil to mix with each", found.tub_soil),
    )
    rows += [(name, amount(quantity, system)) for name, quantity in ranges if quantity]
    if given is not None:
        rows.append(("Bed you have", one(given, "m2", system) + _VERDICTS[found.enough]))
    if found.taken is not None:
        rows.append(("Of a year's ferment your beds take", amount(found.taken, system)))
    done = "Buried" if found.way == "trench" else "Tipped into the tub"
    rows.append((f"{done}, in the calendar below", one(found.buried, "vessels", system)))
    if found.parted:
        rows.append(("Buried in part, the rest elsewhere", one(found.parted, "vessels", system)))
    if found.passed_on:
        rows.append((_ELSEWHERE[found.rest_goes], one(found.passed_on, "vessels", system)))
    if found.phosphorus and found.phosphorus_carried is not None:
        carried = show_on_bed(found.phosphorus_carried / 1000, system)
        brought = _on_bed(found.phosphorus, system)
        rows.append(("Phosphorus it brings a year", f"{brought}; harvests carry away {carried}"))
    return [*rows, ("The tightest limit", _LIMITS[found.limited_by])]


def _on_bed(grams: Range, system: str) -> str:
    if system != "us" or None in (grams.median, grams.low, grams.high):
        return amount(grams, system)
    middle, low, high = (
        show_on_bed((x or 0.0) / 1000, system) for x in (grams.median, grams.low, grams.high)
    )
    return f"{middle} ({low.split(' ')[0]} to {high.split(' ')[0]})"


def _months(found: Ground, system: str) -> RenderableType:
    shown = [m for m in found.by_month if m.busy_days or m.closed_days.high]
    return table(
        ("The ground can't take it in", "Frozen", "Beds busy"),
        [
            (
                f"{m.month:%B %Y}",
                amount(m.closed_days, system),
                one(m.busy_days, "days", system),
            )
            for m in shown
        ],
    )


def labour(plan: Plan, look: Look) -> Iterator[RenderableType]:
    """The hours that it asks of people."""
    if plan.labour is None:
        return
    yield heading("Hours of work")
    yield paragraph(sentence(plan.labour.text))


def calendar(plan: Plan, look: Look) -> Iterator[RenderableType]:
    """What is due, month by month, for the middle one of the simulated cases."""
    yield heading("The year, month by month")
    yield paragraph(
        "Dates follow the middle one of the simulated cases: your vessels decide, not the dates."
    )
    entries = sorted(plan.calendar, key=lambda entry: entry.date)
    for month, group in groupby(entries, key=lambda entry: f"{entry.date:%B %Y}"):
        yield Text(f"\n{month}", style="bold")
        yield listing([_row(entry) for entry in group], [_DATES])


def _row(entry: Entry) -> tuple[str, str]:
    said = sentence(entry.text)
    if entry.vessel and entry.vessel.casefold() not in said.casefold():
        said = f"{plain(entry.vessel)}: {said}"
    return _days(entry.date, entry.until), said


def _days(first: date, last: date | None) -> str:
    if last is None or last == first:
        return f"{first.day} {first:%b}"
    if (first.year, first.month) == (last.year, last.month):
        return f"{first.day}–{last.day} {first:%b}"
    return f"{first.day} {first:%b} – {last.day} {last:%b}"
