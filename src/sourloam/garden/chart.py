"""The garden's picture: beds from above, the season, the liquid; one definition for all files."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import altair as alt

from sourloam.garden.chart_beds import beds_panel
from sourloam.garden.chart_style import (
    BETWEEN,
    CROP,
    CROP_EDGE,
    CROP_INK,
    FERMENT,
    FONT,
    FROST,
    HEAD,
    INK,
    LEAF,
    PALE,
    PAPER,
    QUIET,
    READY,
    ROW,
    RULE,
    SMALL,
    TALL,
    TEXT,
    TITLE,
    WIDTH,
    moment,
    month_axis,
    panel_title,
    wrapped,
)
from sourloam.garden.contract import CropSpan, GardenPlan

LETTER_PX = 8  # method: layout, px of a small letter
CROP_PX, BURIAL_PX, ABOVE_PX, MARK_PX = 24, 10, -18, 110  # method: layout, px


def garden_chart(plan: GardenPlan, on: date | None = None) -> alt.VConcatChart:
    """The whole picture. ``on``: day whose trenches' state is shown; None shows the plan's all."""
    parts: list[Any] = [beds_panel(plan, on), _season(plan)]
    if plan.feeding is not None:
        parts.append(_liquid(plan))
    title = alt.TitleParams(
        text=plan.site,
        subtitle=wrapped(plan.burials.answer),
        fontSize=TITLE,
        subtitleFontSize=TEXT,
        subtitleColor=INK,
        offset=HEAD,
    )
    chart: alt.VConcatChart = alt.vconcat(*parts, spacing=BETWEEN, bounds="flush")
    words = {"name": plan.site, "said": [plan.burials.answer, *plan.burials.refusals]}
    return _styled(chart.properties(title=title, background=PAPER, padding=24, usermeta=words))


def _styled(chart: alt.VConcatChart) -> alt.VConcatChart:
    chart = chart.configure(font=FONT).configure_view(stroke=None)
    chart = chart.configure_axis(
        labelColor=INK,
        titleColor=INK,
        labelFontSize=TEXT,
        titleFontSize=TEXT,
        titleFontWeight="normal",
        gridColor=RULE,
        domain=False,
        tickColor=QUIET,
    )
    chart = chart.configure_title(color=INK, fontSize=HEAD, anchor="start", frame="group")
    return chart


def _season(plan: GardenPlan) -> alt.LayerChart:
    """Rows are beds; crops, burials and the frozen ground along the year."""
    order = [bed.name for bed in plan.beds]
    x = month_axis(plan.start, plan.until + timedelta(days=1))
    y_axis = alt.Axis(labelLimit=WIDTH / 5, labelPadding=6, ticks=False)
    y = alt.Y("bed:N", sort=order, title=None, axis=y_axis)
    layers = [*_frost(plan, x), *_crops(plan, x, y), *_burials(plan, x, y)]
    if not layers:
        nothing = [{"bed": name, "start": moment(plan.start)} for name in order]
        layers = [alt.Chart(alt.InlineData(values=nothing)).mark_tick(opacity=0).encode(x=x, y=y)]
    title = panel_title(
        "The season",
        "Green: crop. Brown: ferment settling in the bed, up to the first day to plant (ochre).",
        "Slate: ground frozen or too cold in some years, the darker the surer.",
    )
    chart = alt.LayerChart(layer=layers)
    return chart.properties(width=WIDTH, height=ROW * len(order), title=title)


def _frost(plan: GardenPlan, x: alt.X) -> list[Any]:
    weeks = [
        {
            "start": moment(week.week),
            "end": moment(week.week + timedelta(days=7)),
            "unsure": 1 - week.chance,
        }
        for week in plan.ground
        if week.chance < 1
    ]
    if not weeks:
        return []
    dark = alt.Opacity("unsure:Q", scale=alt.Scale(domain=[0, 1], range=[0, 0.9]), legend=None)
    data = alt.Chart(alt.InlineData(values=weeks))
    return [data.mark_rect(fill=FROST).encode(x=x, x2="end:T", opacity=dark)]


def _crops(plan: GardenPlan, x: alt.X, y: alt.Y) -> list[Any]:
    spans = [
        {
            "bed": bed.name,
            "crop": crop.crop,
            "start": moment(max(crop.start, plan.start)),
            "end": moment(min(crop.end, plan.until)),
            "named": _name_fits(plan, crop),
        }
        for bed in plan.beds
        for crop in bed.plantings
        if crop.end >= plan.start and crop.start <= plan.until
    ]
    if not spans:
        return []
    data = alt.Chart(alt.InlineData(values=spans))
    bar = data.mark_bar(fill=CROP, stroke=CROP_EDGE, height=CROP_PX, cornerRadius=3)
    named = alt.Chart(alt.InlineData(values=[s for s in spans if s["named"]]))
    name = named.mark_text(align="left", dx=6, fontSize=SMALL, color=CROP_INK)
    return [bar.encode(x=x, x2="end:T", y=y), name.encode(x=x, y=y, text="crop:N")]


def _name_fits(plan: GardenPlan, crop: CropSpan) -> bool:
    """Whether a crop's name has room in its bar."""
    days = (min(crop.end, plan.until) - max(crop.start, plan.start)).days
    return days * WIDTH / (plan.until - plan.start).days > 12 + LETTER_PX * len(crop.crop)


def _burials(plan: GardenPlan, x: alt.X, y: alt.Y) -> list[Any]:
    spans = [
        {
            "bed": b.bed,
            "start": moment(b.week),
            "end": moment(min(b.plant_from or plan.until, plan.until)),
            "fit": b.plant_from is not None and b.plant_from <= plan.until,
        }
        for b in plan.burials.plan
    ]
    if not spans:
        return []
    data = alt.Chart(alt.InlineData(values=spans))
    bar = data.mark_bar(fill=FERMENT, height=BURIAL_PX, cornerRadius=2, yOffset=ABOVE_PX)
    fit = data.transform_filter("datum.fit").mark_point(
        shape="diamond",
        size=MARK_PX,
        filled=True,
        fill=READY,
        stroke=INK,
        strokeWidth=1,
        opacity=1,
        yOffset=ABOVE_PX,
    )
    return [bar.encode(x=x, x2="end:T", y=y), fit.encode(x=alt.X("end:T"), y=y)]


def _liquid(plan: GardenPlan) -> alt.LayerChart:
    """Litres drained a week, and what the beds have room for."""
    assert plan.feeding is not None
    weeks = [
        {
            "start": moment(week.week),
            "end": moment(week.week + timedelta(days=6)),
            "supply": week.supply.median or 0,
            "high": week.supply.high or 0,
            "used": week.used.median or 0,
            "floor": 0,
        }
        for week in plan.feeding.weeks
    ]
    data = alt.Chart(alt.InlineData(values=weeks))
    x = month_axis(plan.start, plan.until + timedelta(days=1))
    layers = [
        data.mark_rect(fill=fill).encode(
            x=x, x2="end:T", y=alt.Y(f"{top}:Q", title="L a week"), y2="floor"
        )
        for top, fill in (("high", PALE), ("supply", READY), ("used", LEAF))
    ]
    title = panel_title(
        "Drained liquid: what comes and what the beds take",
        "Green: room on growing beds, thinned. Ochre: surplus in the middle case. "
        "Pale: more in one case of ten.",
    )
    chart = alt.LayerChart(layer=layers)
    return chart.properties(width=WIDTH, height=TALL, title=title)
