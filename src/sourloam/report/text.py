"""The plan as text."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import RenderableType

from sourloam.planning.contract import Plan
from sourloam.report.opening import opening
from sourloam.report.page import Look, Page
from sourloam.report.reasons import cautions, drivers, practice, provenance
from sourloam.report.returning import calendar, ground, labour
from sourloam.report.running import bran, case, filling_and_resting, liquid, scraps, vessels
from sourloam.units import check_system

_SECTIONS = (
    opening,
    case,
    scraps,
    vessels,
    filling_and_resting,
    bran,
    liquid,
    ground,
    labour,
    calendar,
    drivers,
    practice,
    cautions,
    provenance,
)


def plan_text(plan: Plan, system: str = "metric") -> Page:
    """The whole plan to print with Rich, in "metric" or "us" units.

    It fits itself to the console: 80 columns or wider, with or without colour, and in plain
    letters where the console knows no others. ValueError for an unknown system.
    """
    check_system(system)

    def parts(look: Look) -> Iterator[RenderableType]:
        for section in _SECTIONS:
            yield from section(plan, look)

    return Page(parts, system)
