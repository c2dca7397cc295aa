"""The beds from above, to scale, with their trenches by date and state."""

from __future__ import annotations

from datetime import date
from typing import Any

import altair as alt

from sourloam.garden.chart_ground import Drawn, lay_beds
from sourloam.garden.chart_style import (
    BED,
    BED_EDGE,
    FERMENT,
    INK,
    PALE,
    QUIET,
    READY,
    Sheet,
    panel_title,
)
from sourloam.garden.contract import BurialAnswer, GardenPlan
from sourloam.units import show

ROOM_ALONG = 46  # method: layout, px that a date needs along a trench
STATES = ("planned", "settling", "ready to plant")
_FILL = {"planned": PALE, "settling": FERMENT, "ready to plant": READY}
_LETTERS = {"planned": INK, "settling": "white", "ready to plant": INK}


def beds_panel(plan: GardenPlan, on: date | None, sheet: Sheet) -> alt.LayerChart:
    """Plan view. ``on``: the day whose state is shown; None shows every trench of the plan."""
    drawn, height = lay_beds(plan.beds, sheet)
    beds = [_bed(plan, place, sheet) for place in drawn]
    trenches = [
        t
        for d in drawn
        for b in plan.burials.plan
        if b.bed == d.bed.name
        for t in _trench(b, d, on, sheet)
    ]
    x = alt.X("x0:Q", axis=None, scale=alt.Scale(domain=[0, sheet.width], nice=False))
    y_scale = alt.Scale(domain=[0, height], nice=False, reverse=True)
    y = alt.Y("y0:Q", axis=None, scale=y_scale)
    ground = alt.Chart(alt.InlineData(values=beds))
    box = {"x": x, "x2": "x1", "y": y, "y2": "y1"}
    layers: list[Any] = [
        ground.mark_rect(fill=BED, stroke=BED_EDGE, strokeWidth=1, cornerRadius=3).encode(**box),
        ground.mark_text(
            align="left",
            baseline="bottom",
            dy=-5,
            fontSize=sheet.text,
            fontWeight="bold",
            color=INK,
        ).encode(x=x, y=y, text="label:N"),
        ground.mark_text(
            align="left", baseline="top", dy=5, fontSize=sheet.small, color=QUIET, lineBreak="|"
        ).encode(x=x, y=alt.Y("y1:Q", axis=None), text="under:N"),
    ]
    if trenches:
        layers += _trench_marks(trenches, box, sheet)
    chart = alt.LayerChart(layer=layers)
    several = len({round(d.scale, 3) for d in drawn}) > 1
    return chart.properties(
        width=sheet.width, height=max(height, 2 * sheet.row), title=_heading(on, several, sheet)
    )


def _heading(on: date | None, several: bool, sheet: Sheet) -> alt.TitleParams:
    scales = " Each row of beds has its own scale." if several else ""
    if on is None:
        said = f"Brown: trenches of this plan, with the week of burial.{scales}"
        return panel_title(sheet, "The beds from above", said)
    return panel_title(
        sheet,
        f"The beds from above on {on.day} {on:%B %Y}",
        f"Pale: still to dig. Brown: buried and settling. Ochre: ready to plant.{scales}",
    )


def _trench_marks(trenches: list[dict[str, Any]], box: dict[str, Any], sheet: Sheet) -> list[Any]:
    data = alt.Chart(alt.InlineData(values=trenches))
    fill = alt.Color("fill:N", scale=None)
    letters = alt.Color("letters:N", scale=None)
    at = {"x": alt.X("xm:Q", axis=None), "y": alt.Y("ym:Q", axis=None)}
    return [
        data.mark_rect(cornerRadius=2, stroke=FERMENT, strokeWidth=1).encode(color=fill, **box),
        *(
            data.transform_filter(f"datum.turned == {turned}")
            .mark_text(fontSize=sheet.small, angle=angle, baseline="middle")
            .encode(text="date:N", color=letters, **at)
            for turned, angle in (("true", 0), ("false", 270))  # method: layout, degrees
        ),
    ]


def _bed(plan: GardenPlan, place: Drawn, sheet: Sheet) -> dict[str, Any]:
    bed = place.bed
    most = bed.nitrogen_limit / 1000
    buried, limit = (
        show(kg, "small_mass", sheet.system, most)
        for kg in ((bed.nitrogen_buried.median or 0) / 1000, most)
    )
    length, width = (show(m, "length", sheet.system, bed.length) for m in (bed.length, bed.width))
    kinds = bed.texture.replace("_", " ")
    return {
        **place.box((0, bed.length), (0, bed.width)),
        "label": bed.name,
        "under": f"{length.split()[0]} × {width}, {kinds}"
        f"|N {buried.split()[0]} of {limit} a year|{_weeks(plan, bed.name)}",
    }


def _weeks(plan: GardenPlan, name: str) -> str:
    """The weeks of a bed's burials, the first few by date."""
    weeks = sorted({b.week for b in plan.burials.plan if b.bed == name})
    if not weeks:
        return "nothing goes in"
    said = ", ".join(_day(week) for week in weeks[:2])
    return said + (f" and {len(weeks) - 2} more" if len(weeks) > 2 else "")


def _day(day: date) -> str:
    return f"{day.day} {day:%b}"


def _trench(
    burial: BurialAnswer, place: Drawn, on: date | None, sheet: Sheet
) -> list[dict[str, Any]]:
    state, half = _state(burial, on), burial.width / 2
    found = []
    for piece in burial.pieces:
        box = place.box(
            (piece.along - half, piece.along + half),
            (piece.start, piece.end),
        )
        wide, long = burial.width * place.scale, (piece.end - piece.start) * place.scale
        fits = wide >= sheet.small + 3 and long >= ROOM_ALONG
        found.append(
            {
                **box,
                "xm": (box["x0"] + box["x1"]) / 2,
                "ym": (box["y0"] + box["y1"]) / 2,
                "date": _day(burial.week) if fits else "",
                "turned": place.turned,
                "fill": _FILL[state],
                "letters": _LETTERS[state],
            }
        )
    return found


def _state(burial: BurialAnswer, on: date | None) -> str:
    if on is None:
        return "settling"
    if on < burial.week:
        return "planned"
    return "ready to plant" if burial.plant_from and burial.plant_from <= on else "settling"
