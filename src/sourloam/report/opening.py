"""The answer first: a few sentences to read aloud, then the vessel and the year at a glance."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from datetime import date
from math import inf

from rich.console import RenderableType
from rich.padding import Padding
from rich.text import Text

from sourloam.planning.contract import Fill, Plan
from sourloam.report.page import INDENT, Look, drawing, paragraph, plain
from sourloam.report.quantities import BEYOND, amount, word
from sourloam.report.saying import fill_of, ground_said, turns_said, vessels_said
from sourloam.report.strips import (
    STATE_SIGNS,
    blocked_row,
    cells_per_month,
    label_width,
    month_head,
    month_starts,
    shortened,
    side_view,
    vessel_rows,
    whole_years,
)

_ROWS = 12


def opening(plan: Plan, look: Look) -> Iterator[RenderableType]:
    """Title, the answer, the two pictures."""
    site = plan.site
    until = day_month_year(site.until)
    title = f"{site.name}, from {day_month_year(site.start)} to {until}"
    yield Text(plain(title), style="bold")
    yield Text("═" * min(look.width, len(plain(title))), style="dim", no_wrap=True)
    for said in (
        vessels_said(plan, look.system),
        turns_said(plan, look.system),
        ground_said(plan, look.system),
    ):
        yield Padding(paragraph(said), (0, 0, 1, 0))
    if key := reading_key(plan, look.system):
        yield paragraph(key, "dim")
    fill = fill_of(plan, plan.vessels.chosen)
    if fill:
        yield drawing(vessel_picture(plan, fill, look))
    yield drawing(year_picture(plan, look))


def reading_key(plan: Plan, system: str) -> str:
    """How to read a figure with its range, on a figure of this plan; empty if none has a range."""
    fill = fill_of(plan, plan.vessels.chosen)
    spans = [season.days for season in fill.by_season] if fill else []
    spans += [season.days for season in plan.finish.by_season]
    for days in spans:
        said = amount(days, system)
        match = re.fullmatch(r"((\S+) days?) \((\S+) to (\S+)\)", said)
        if match:
            middle, low, high = match[2], match[3], match[4]
            return (
                f"Read {said} as: {middle} is the middle value, and eight of ten simulated cases "
                f"lie between {low} and {high}."
            )
    return ""


def day_month_year(day: date) -> str:
    """Such as 1 March 2027."""
    return f"{day.day} {day:%B %Y}"


def vessel_picture(plan: Plan, fill: Fill, look: Look) -> list[str]:
    """The vessel from the side, with days at its heights."""
    known = sorted(fill.by_season, key=lambda s: s.days.median or inf)
    full = amount(known[0].days, look.system) if known else BEYOND
    when = f" in {known[0].season}" if len(known) > 1 else ""
    draining = amount(plan.liquid.per_draining, look.system)
    days = plan.liquid.drain_every_days
    every = "every day" if days == 1 else f"every {days} days"
    return side_view(fill, f"full after {full}{when}", f"{draining} {every}")


def standby(plan: Plan) -> str:
    """The vessels that the middle case never needs, in words; empty if it needs them all."""
    idle = plan.vessels.chosen_number - len({span.vessel for span in plan.vessels.year})
    if idle <= 0:
        return ""
    verb = "stands" if idle == 1 else "stand"
    return f"{word(idle)} more {verb} by, for years less lucky than this one"


def year_picture(plan: Plan, look: Look) -> list[str]:
    """The year as strips: a row for each vessel, then ground, beds and closed days."""
    lines: list[str] = []
    months = month_starts(plan.site.start, plan.site.until)
    for year in whole_years(months, plan.site.until):
        lines += [*_one_year(plan, year, look), ""]
    shown = {span.state for span in plan.vessels.year} | {"empty"}
    signs = [f"{sign} {state}" for state, sign in STATE_SIGNS.items() if state in shown]
    lines.append("  ".join(signs))
    if plan.vessels.blocked:
        lines.append("x in the rows below the vessels: not possible, or closed")
    return lines


def _one_year(plan: Plan, months: Sequence[date], look: Look) -> list[str]:
    names = {"ground": "ground frozen", "beds": "beds busy", "closed": "kitchen closed"}
    present = [kind for kind in names if any(b.kind == kind for b in plan.vessels.blocked)]
    labels = [shortened(s.vessel) for s in plan.vessels.year] + [names[k] for k in present]
    cells, wide = cells_per_month(look.width, labels), label_width(labels)
    rows = vessel_rows(plan.vessels.year, months, cells)
    left_out = len(rows) - _ROWS
    lines = [f"{months[0].year:<{wide}}  {month_head(months, cells)}"]
    lines += [f"{shortened(name):{wide}}  {strip}" for name, strip in rows[:_ROWS]]
    if left_out > 0:
        lines.append(_aside(f"and {left_out} more that take turns in the same way", wide, look))
    if standby(plan):
        lines.append(_aside(f"and {standby(plan)}", wide, look))
    for kind in present:
        strip = blocked_row(plan.vessels.blocked, kind, months, cells)
        lines.append(f"{names[kind]:{wide}}  {strip}")
    return lines


def _aside(text: str, wide: int, look: Look) -> str:
    """A line below the strips, under them where it fits, further left where it would not."""
    return " " * max(0, min(wide + 2, look.width - INDENT - len(text))) + text
