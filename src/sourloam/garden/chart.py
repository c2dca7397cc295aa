"""The garden's picture: beds from above, the season, the liquid; one definition for all files."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import altair as alt

from sourloam.garden.chart_beds import beds_panel
from sourloam.garden.chart_style import (
    CROP,
    CROP_EDGE,
    CROP_INK,
    DESK,
    FERMENT,
    FONT,
    FROST,
    INK,
    LEAF,
    LETTER,
    PALE,
    PAPER,
    PHONE,
    QUIET,
    READY,
    RULE,
    TALL,
    Sheet,
    moment,
    month_axis,
    panel_title,
    wrapped,
)
from sourloam.garden.contract import CropSpan, GardenPlan, TubPlan
from sourloam.units import factor

LETTER_PX = 8  # method: layout, px of a small letter
CROP_PX, BURIAL_PX, ABOVE_PX, MARK_PX = 24, 10, -18, 110  # method: layout, px
ABOVE_NAME_PX = -32  # method: layout, px
MOST_TICKS = 5  # method: layout, figures on an axis of counts
SIDE_PX = 46  # method: layout, px of an axis at the side
US_GALLON_FROM = 0.25  # method: below it fluid ounces
FEW_L = 1.0  # method: below it weeks are told in small units


def garden_chart(
    plan: GardenPlan, on: date | None = None, system: str = "metric", narrow: bool = False
) -> alt.VConcatChart:
    """The whole picture. ``on``: day whose trenches' state is shown; None shows the plan's all.

    ``system`` is the reader's units; ``narrow`` draws it for a phone held upright.
    """
    sheet = replace(PHONE if narrow else DESK, system=system)
    parts: list[Any] = [beds_panel(plan, on, sheet), _season(plan, sheet)] if plan.beds else []
    if plan.tubs is not None:
        parts.append(_tubs(plan, plan.tubs, sheet))
    if plan.feeding is not None:
        parts.append(_liquid(plan, sheet))
    title = alt.TitleParams(
        text=wrapped(plan.site, int(sheet.width / (LETTER * sheet.title))),
        subtitle=wrapped(plan.burials.answer, sheet.line),
        fontSize=sheet.title,
        subtitleFontSize=sheet.text,
        subtitleColor=INK,
        offset=sheet.head,
    )
    chart: alt.VConcatChart = alt.vconcat(*parts, spacing=sheet.between, bounds="flush")
    words = {"name": plan.site, "said": [plan.burials.answer, *plan.burials.refusals]}
    chart = chart.properties(title=title, background=PAPER, padding=sheet.padding, usermeta=words)
    return _styled(chart, sheet)


def _styled(chart: alt.VConcatChart, sheet: Sheet) -> alt.VConcatChart:
    chart = chart.configure(font=FONT).configure_view(stroke=None)
    chart = chart.configure_axis(
        labelColor=INK,
        titleColor=INK,
        labelFontSize=sheet.text,
        titleFontSize=sheet.text,
        titleFontWeight="normal",
        gridColor=RULE,
        domain=False,
        tickColor=QUIET,
    )
    chart = chart.configure_title(color=INK, fontSize=sheet.head, anchor="start", frame="group")
    return chart


def _season(plan: GardenPlan, sheet: Sheet) -> alt.LayerChart:
    """Rows are beds; crops, burials and the frozen ground along the year."""
    order = [bed.name for bed in plan.beds]
    x = month_axis(sheet, plan.start, plan.until + timedelta(days=1))
    # On a phone each name stands above its row, so that the year has the whole width.
    beside = alt.Axis(labelLimit=sheet.width / 5, labelPadding=6, ticks=False)
    y_axis = None if sheet.narrow else beside
    y = alt.Y("bed:N", sort=order, title=None, axis=y_axis)
    layers = [*_frost(plan, x), *_crops(plan, x, y, sheet), *_burials(plan, x, y)]
    if layers and sheet.narrow:
        layers.append(_names(plan, x, y, sheet))
    if not layers:
        nothing = [{"bed": name, "start": moment(plan.start)} for name in order]
        layers = [alt.Chart(alt.InlineData(values=nothing)).mark_tick(opacity=0).encode(x=x, y=y)]
    title = panel_title(
        sheet,
        "The season",
        "Green: crop. Brown: ferment settling in the bed, up to the first day to plant (ochre).",
        "Slate: ground frozen or too cold in some years, the darker the surer.",
    )
    chart = alt.LayerChart(layer=layers)
    return chart.properties(width=sheet.width, height=sheet.row * len(order), title=title)


def _names(plan: GardenPlan, x: alt.X, y: alt.Y, sheet: Sheet) -> alt.Chart:
    """Each bed's name above its row."""
    names = [{"bed": bed.name, "start": moment(plan.start)} for bed in plan.beds]
    words = alt.Chart(alt.InlineData(values=names)).mark_text(
        align="left", fontSize=sheet.text, fontWeight="bold", color=INK, dy=ABOVE_NAME_PX
    )
    named: alt.Chart = words.encode(x=x, y=y, text="bed:N")
    return named


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


def _crops(plan: GardenPlan, x: alt.X, y: alt.Y, sheet: Sheet) -> list[Any]:
    spans = [
        {
            "bed": bed.name,
            "crop": crop.crop,
            "start": moment(max(crop.start, plan.start)),
            "end": moment(min(crop.end, plan.until)),
            "named": _name_fits(plan, crop, sheet),
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
    name = named.mark_text(align="left", dx=6, fontSize=sheet.small, color=CROP_INK)
    return [bar.encode(x=x, x2="end:T", y=y), name.encode(x=x, y=y, text="crop:N")]


def _name_fits(plan: GardenPlan, crop: CropSpan, sheet: Sheet) -> bool:
    """Whether a crop's name has room in its bar."""
    days = (min(crop.end, plan.until) - max(crop.start, plan.start)).days
    return days * sheet.width / (plan.until - plan.start).days > 12 + LETTER_PX * len(crop.crop)


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


def _liquid(plan: GardenPlan, sheet: Sheet) -> alt.LayerChart:
    """What drains in a week, and what the beds have room for."""
    assert plan.feeding is not None
    most = max((week.supply.high or 0 for week in plan.feeding.weeks), default=0)
    unit, litres = _measure(most, sheet.system)
    weeks = [
        {
            "start": moment(week.week),
            "end": moment(week.week + timedelta(days=6)),
            "supply": (week.supply.median or 0) / litres,
            "high": (week.supply.high or 0) / litres,
            "used": (week.used.median or 0) / litres,
            "floor": 0,
        }
        for week in plan.feeding.weeks
    ]
    data = alt.Chart(alt.InlineData(values=weeks))
    x = month_axis(sheet, plan.start, plan.until + timedelta(days=1))
    axis = alt.Axis(orient="right" if sheet.narrow else "left", tickCount=4)
    inside = sheet.width - (SIDE_PX if sheet.narrow else 0)
    layers = [
        data.mark_rect(fill=fill).encode(
            x=x, x2="end:T", y=alt.Y(f"{top}:Q", title=f"{unit} a week", axis=axis), y2="floor"
        )
        for top, fill in (("high", PALE), ("supply", READY), ("used", LEAF))
    ]
    title = panel_title(
        sheet,
        "Drained liquid: what comes and what the beds take",
        "Green: room on growing beds, thinned. Ochre: surplus in the middle case. "
        "Pale: more in one case of ten.",
    )
    chart = alt.LayerChart(layer=layers)
    return chart.properties(width=inside, height=TALL, title=title)


def _measure(litres: float, system: str) -> tuple[str, float]:
    """A unit for up to so many litres, and its size, L."""
    if system == "metric":
        return ("mL", 0.001) if litres < FEW_L else ("L", 1.0)
    small = litres < US_GALLON_FROM * factor("us gal", "volume") * 1000
    name = "us fl oz" if small else "us gal"
    return ("US fl oz" if small else "US gal"), factor(name, "volume") * 1000


def _tubs(plan: GardenPlan, tubs: TubPlan, sheet: Sheet) -> alt.LayerChart:
    """How many tubs stand in each week."""
    weeks = [
        {
            "start": moment(plan.start + timedelta(days=7 * week)),
            "end": moment(plan.start + timedelta(days=7 * week + 6)),
            "tubs": count,
            "floor": 0,
        }
        for week, count in enumerate(tubs.in_use)
    ]
    x = month_axis(sheet, plan.start, plan.until + timedelta(days=1))
    inside = sheet.width - (SIDE_PX if sheet.narrow else 0)
    step = max(1, round(tubs.at_once / MOST_TICKS))
    whole = list(range(0, tubs.at_once + 1, step))
    axis = alt.Axis(orient="right" if sheet.narrow else "left", values=whole, format="d")
    bars = alt.Chart(alt.InlineData(values=weeks)).mark_rect(fill=FERMENT)
    drawn = bars.encode(x=x, x2="end:T", y=alt.Y("tubs:Q", title="tubs", axis=axis), y2="floor")
    title = panel_title(
        sheet,
        "Tubs of old soil that stand at work",
        "Each from the day a vessel is finished until its soil is ready in nine cases of ten.",
    )
    return alt.LayerChart(layer=[drawn]).properties(width=inside, height=TALL, title=title)
