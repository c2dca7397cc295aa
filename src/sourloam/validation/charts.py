"""One figure a trial: readings with their spread over the band of the model."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import altair as alt

from sourloam.validation.compare import Validation
from sourloam.validation.readings import ArmResult
from sourloam.validation.table import NAMES

# Two hues that stay apart in every common kind of colour blindness, and in grey.
_BAND, _READING = "#56B4E9", "#D55E00"
_SIZE = {"width": 170, "height": 120}


def validation_charts(validation: Validation, folder: Path) -> tuple[Path, ...]:
    """Write ``validation-TRIAL.svg`` for each trial into ``folder``; the paths written."""
    folder.mkdir(parents=True, exist_ok=True)
    by_trial: dict[str, list[ArmResult]] = {}
    for result in validation.arms:
        by_trial.setdefault(result.trial.id, []).append(result)
    paths = []
    for name, results in by_trial.items():
        path = folder / f"validation-{name.replace('_', '-')}.svg"
        trial_chart(results).save(str(path))
        paths.append(path)
    return tuple(paths)


def trial_chart(results: list[ArmResult]) -> alt.VConcatChart:
    """Small panels: a row for each quantity, a column for each arm."""
    quantities = [q for q in NAMES if any(q in result.bands for result in results)]
    rows = [
        alt.hconcat(*(_panel(result, q) for result in results if q in result.bands)).resolve_scale(
            y="shared"
        )
        for q in quantities
    ]
    note = "band: 10-90 % of the model, line: median, points: measured; a triangle is a bound"
    title = alt.TitleParams(results[0].trial.name, subtitle=note, anchor="start")
    chart: alt.VConcatChart = alt.vconcat(*rows).properties(title=title)
    return chart


def _panel(result: ArmResult, quantity: str) -> Any:
    series = next(s for s in result.arm.series if s.quantity == quantity)
    unit = "" if quantity == "ph" else f", {series.unit}"
    band = result.bands[quantity]
    model = [
        {"day": float(d), "low": float(a), "median": float(b), "high": float(c)}
        for d, a, b, c in zip(result.days, band.low, band.median, band.high, strict=True)
    ]
    x = alt.X("day:Q", title="day")
    y = alt.Y("low:Q", title=f"{NAMES[quantity]}{unit}", scale=alt.Scale(zero=quantity != "ph"))
    base = alt.Chart(alt.InlineData(values=model))
    layers: list[Any] = [
        base.mark_area(color=_BAND, opacity=0.45).encode(x=x, y=y, y2="high:Q"),
        base.mark_line(color="#1f4e79").encode(x=x, y="median:Q"),
        *_readings(result, quantity, x),
    ]
    title = alt.TitleParams(result.arm.name, fontSize=11)
    return alt.layer(*layers).properties(title=title, **_SIZE)


def _readings(result: ArmResult, quantity: str, x: alt.X) -> list[Any]:
    rows = [
        {
            "day": r.day,
            "value": r.measured,
            "from": r.measured - (r.published_spread or 0.0),
            "to": r.measured + (r.published_spread or 0.0),
            "shape": {"is": "circle", "below": "triangle-down", "above": "triangle-up"}[r.relation],
        }
        for r in result.readings
        if r.quantity == quantity
    ]
    base = alt.Chart(alt.InlineData(values=rows))
    shape = alt.Shape("shape:N", scale=None, legend=None)
    return [
        base.mark_rule(color=_READING).encode(x=x, y="from:Q", y2="to:Q"),
        base.mark_point(color=_READING, filled=True, size=45).encode(x=x, y="value:Q", shape=shape),
    ]
