"""The beds from above, to scale, with their trenches by date and state."""

from __future__ import annotations

from datetime import date
from typing import Any

import altair as alt

from sourloam.garden.chart_style import (
    BED,
    BED_EDGE,
    FERMENT,
    INK,
    PALE,
    QUIET,
    READY,
    ROW,
    SMALL,
    TEXT,
    WIDTH,
    panel_title,
)
from sourloam.garden.contract import BedAnswer, BurialAnswer, GardenPlan

PATH_M = 0.8  # method: layout, path drawn between beds
MARGIN_M = 0.6  # method: layout, room for a bed's name above and its figures below
ROW_M = 12.0  # method: layout, beds side by side up to this many metres
STATES = ("planned", "settling", "ready to plant")
_FILL = {"planned": PALE, "settling": FERMENT, "ready to plant": READY}
_LETTERS = {"planned": INK, "settling": "white", "ready to plant": INK}


def beds_panel(plan: GardenPlan, on: date | None) -> alt.LayerChart:
    """Plan view. ``on``: the day whose state is shown; None shows every trench of the plan."""
    beds, trenches, wide_m, deep_m = _ground_plan(plan, on)
    scale = WIDTH / wide_m
    x = alt.X("x0:Q", axis=None, scale=alt.Scale(domain=[0, wide_m], nice=False))
    y_scale = alt.Scale(domain=[-MARGIN_M, deep_m + MARGIN_M], nice=False, reverse=True)
    y = alt.Y("y0:Q", axis=None, scale=y_scale)
    ground = alt.Chart(alt.InlineData(values=beds))
    box = {"x": x, "x2": "x1", "y": y, "y2": "y1"}
    layers: list[Any] = [
        ground.mark_rect(fill=BED, stroke=BED_EDGE, strokeWidth=1, cornerRadius=3).encode(**box),
        ground.mark_text(
            align="left", baseline="bottom", dy=-5, fontSize=TEXT, fontWeight="bold", color=INK
        ).encode(x=x, y=y, text="label:N"),
        ground.mark_text(
            align="left", baseline="top", dy=5, fontSize=SMALL, color=QUIET, lineBreak="|"
        ).encode(x=x, y=alt.Y("y1:Q", axis=None), text="under:N"),
    ]
    if trenches:
        layers += _trench_marks(trenches, box)
    height = max((deep_m + 2 * MARGIN_M) * scale, 2 * ROW)
    chart = alt.LayerChart(layer=layers)
    return chart.properties(width=WIDTH, height=height, title=_heading(on))


def _heading(on: date | None) -> alt.TitleParams:
    if on is None:
        return panel_title(
            "The beds from above", "Brown: trenches of this plan, with the week of burial."
        )
    return panel_title(
        f"The beds from above on {on.day} {on:%B %Y}",
        "Pale: still to dig. Brown: buried and settling. Ochre: ready to plant.",
    )


def _trench_marks(trenches: list[dict[str, Any]], box: dict[str, Any]) -> list[Any]:
    data = alt.Chart(alt.InlineData(values=trenches))
    fill = alt.Color("fill:N", scale=None)
    letters = alt.Color("letters:N", scale=None)
    at = {"x": alt.X("xm:Q", axis=None), "y": alt.Y("ym:Q", axis=None)}
    return [
        data.mark_rect(cornerRadius=2, stroke=FERMENT, strokeWidth=1).encode(color=fill, **box),
        data.mark_text(fontSize=SMALL, angle=-90 % 360, baseline="middle").encode(  # method: layout
            text="date:N", color=letters, **at
        ),
    ]


def _ground_plan(
    plan: GardenPlan, on: date | None
) -> tuple[list[dict[str, Any]], list[dict[str, Any]], float, float]:
    """Beds side by side in rows, trenches within; width and depth of it all, m."""
    most = max(max(bed.length for bed in plan.beds), ROW_M)
    beds, trenches = [], []
    x, y, row, reach = 0.0, 0.0, 0.0, 0.0
    for bed in plan.beds:
        if x and x + bed.length > most:
            x, y, row = 0.0, y + row + 2 * MARGIN_M, 0.0
        beds.append(_bed(bed, x, y))
        trenches += [
            t for b in plan.burials.plan if b.bed == bed.name for t in _trench(b, x, y, on)
        ]
        reach, row = max(reach, x + bed.length), max(row, bed.width)
        x += bed.length + PATH_M
    return beds, trenches, max(reach, ROW_M * 0.5), y + row


def _bed(bed: BedAnswer, x: float, y: float) -> dict[str, Any]:
    area = bed.length * bed.width
    buried = bed.nitrogen_buried.median or 0
    return {
        "x0": x,
        "x1": x + bed.length,
        "y0": y,
        "y1": y + bed.width,
        "label": bed.name,
        "under": f"{area:.1f} m² {bed.texture.replace('_', ' ')}"
        f"|N {buried:.0f} of {bed.nitrogen_limit:.0f} g a year",
    }


def _trench(burial: BurialAnswer, x: float, y: float, on: date | None) -> list[dict[str, Any]]:
    state = _state(burial, on)
    when = f"{burial.week.day} {burial.week:%b}"
    return [
        {
            "x0": x + piece.along - burial.width / 2,
            "x1": x + piece.along + burial.width / 2,
            "y0": y + piece.start,
            "y1": y + piece.end,
            "xm": x + piece.along,
            "ym": y + (piece.start + piece.end) / 2,
            "date": when if piece.end - piece.start > 0.5 else "",
            "fill": _FILL[state],
            "letters": _LETTERS[state],
        }
        for piece in burial.pieces
    ]


def _state(burial: BurialAnswer, on: date | None) -> str:
    if on is None:
        return "settling"
    if on < burial.week:
        return "planned"
    return "ready to plant" if burial.plant_from and burial.plant_from <= on else "settling"
