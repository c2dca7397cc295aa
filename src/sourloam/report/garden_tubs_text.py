"""Tubs of the garden plan as text: what is mixed when, and how one is filled."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from rich.console import RenderableType

from sourloam.garden.contract import Range, TubAnswer, TubBatch, TubPlan
from sourloam.report.page import Look, heading, paragraph, table
from sourloam.report.quantities import amount, one
from sourloam.units import percent


def wait_days(wait: Range, system: str) -> str:
    """The wait in days; in words where its long end lies beyond half a year."""
    if wait.high is not None or wait.low is None:
        return amount(wait, system)
    middle = "" if wait.median is None else f"{wait.median:.0f} days in the middle, "
    return f"{middle}{wait.low:.0f} days at the earliest, at worst over half a year"


def tubs_section(tubs: TubPlan, look: Look) -> Iterator[RenderableType]:
    """A line a month: what is mixed, and when it is ready."""
    yield heading("Month by month")
    months: dict[date, list[TubBatch]] = {}
    for batch in tubs.batches:
        months.setdefault(batch.mixed.replace(day=1), []).append(batch)
    rows = [
        (
            f"{month:%b %Y}",
            str(len(here)),
            str(sum(b.tubs for b in here)),
            one(sum(b.soil.median or 0.0 for b in here), "L", look.system),
            _by([b.ready_from for b in here]),
            _by([b.outside_from for b in here]),
        )
        for month, here in months.items()
    ]
    head = ("Mixed in", "Vessels", "Tubs", "Old soil", "Ready by", "Outside by")
    yield table(head, rows, right=(1, 2, 3))
    yield paragraph(
        "Ready by: in nine cases of ten, where the vessels stand; outside: in the open air, under "
        "a roof."
    )


def _by(days: list[date | None]) -> str:
    """The last of some days, or that one lies too far ahead."""
    known = [day for day in days if day is not None]
    return f"{max(known):%d %b %Y}" if len(known) == len(days) else "not for sure"


def tub_section(tub: TubAnswer, look: Look, told: bool) -> Iterator[RenderableType]:
    """How one tub is mixed and when it is ready; its answer first where that is ``told``."""
    yield heading("A tub of soil")
    if told:
        yield paragraph(tub.answer)
    rows = [
        (
            one(line.soil.median, "L", look.system),
            wait_days(line.ready, look.system),
            "any" if (line.share.median or 0.0) >= 1 else percent(line.share.median or 0.0),
        )
        for line in tub.lines
    ]
    yield table(("Old soil", "Ready to spread after", "Share of a bed's soil"), rows, right=(0, 2))
