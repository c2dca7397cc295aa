"""What fermenting brings, as one page of pictures."""

from __future__ import annotations

from textwrap import wrap

import altair as alt

from sourloam.impact.contract import Impact, RouteAnswer, Tornado
from sourloam.impact.summing import in_hundred
from sourloam.numerics import Range
from sourloam.report.board import Board, nice_steps
from sourloam.report.impact_units import in_units
from sourloam.report.page import plain
from sourloam.report.palette import (
    BEET,
    BODY_SIZE,
    HAIR,
    INK,
    MUTED,
    NOTE_SIZE,
    PAPER,
    SANS,
    SERIF,
    SLATE,
    STRAW,
    TITLE_SIZE,
)
from sourloam.units import check_system

_WIDTH = 880
_LABEL = 190
_RIGHT = 250
_STEP = 38
_TOP = 14
_COLUMNS = 120
_MOST_DRIVERS = 7
_DRIVER_LABEL = 330


def impact_chart(answer: Impact, system: str = "metric") -> alt.VConcatChart:
    """Every way, the saving, nitrogen, what moves it, and the statements, as one picture.

    About 900 pixels wide, on light paper, in "metric" or "us" units. ValueError for an unknown
    system.
    """
    check_system(system)
    panels = [_ways(answer, system), _course(answer, system), _nitrogen(answer, system)]
    moved = next((t for t in answer.tornadoes if t.drivers), None)
    if moved is not None:
        panels.append(_tornado(moved, system))
    panels.append(_claims(answer))
    name = plain(answer.name)
    said = [plain(line) for line in answer.headline]
    picture: alt.VConcatChart = (
        alt.vconcat(*panels, spacing=44)
        .properties(
            title=alt.TitleParams(
                text=wrap(f"{name}: what it brings", 58),
                subtitle=[line for text in said for line in wrap(text, _COLUMNS)],
                anchor="start",
                font=SERIF,
                fontSize=TITLE_SIZE,
                fontWeight="bold",
                color=INK,
                subtitleFont=SANS,
                subtitleFontSize=BODY_SIZE + 1,
                subtitleLineHeight=21,
                subtitleColor=INK,
                subtitlePadding=10,
                offset=30,
            ),
            description=f"{name}. {' '.join(said)}",
            usermeta={"name": f"{name}: what it brings", "said": said},
            padding={"left": 26, "right": 26, "top": 24, "bottom": 24},
        )
        .configure(background=PAPER, font=SANS)
        .configure_view(stroke=None)
    )
    return picture


def _ways(answer: Impact, system: str) -> alt.LayerChart:
    """A bar from the 10 to the 90 % point and a dot at the middle, for each way."""
    members = answer.provenance.members
    chances = {
        c.id: f"fermenting better: {in_hundred(c.chance, members)}" for c in answer.comparisons
    }
    rows = [
        (r.name, *_ends(r.total, system), chances.get(r.id, ""), r.id == "ferment")
        for r in answer.routes
    ]
    unit = "kg CO2e" if system == "metric" else "lb CO2e"
    return _rows(
        rows,
        f"Given off over {answer.provenance.years} years, {unit}",
        "bar: from the 10 to the 90 % point; dot: the middle",
    )


def _nitrogen(answer: Impact, system: str) -> alt.LayerChart:
    rows = [
        (r.name, *_ends(r.nitrogen_to_garden, system), "", r.id == "ferment")
        for r in answer.routes
        if r.id != "well_run_heap"
    ]
    unit = "kg" if system == "metric" else "lb"
    return _rows(rows, f"Nitrogen of the scraps that reaches garden soil, {unit}", "as above")


def _ends(value: Range, system: str) -> tuple[float, float, float]:
    low, middle, high = (
        in_units(end or 0.0, value.unit, system) for end in (value.low, value.median, value.high)
    )
    return low, middle, high


def _rows(
    rows: list[tuple[str, float, float, float, str, bool]], title: str, note: str
) -> alt.LayerChart:
    height = _TOP + _STEP * len(rows) + 24
    board = Board(_WIDTH, height, 0, _WIDTH)
    most = max((high for _, _, _, high, _, _ in rows), default=0.0) or 1.0
    scale = (_WIDTH - _LABEL - _RIGHT) / most
    foot = _TOP + _STEP * len(rows)
    steps = nice_steps(most, 4)
    board.rules(
        [{"x": _LABEL + s * scale, "x2": _LABEL + s * scale, "y": _TOP, "y2": foot} for s in steps],
        color=HAIR,
        strokeWidth=1,
    )
    board.words(
        [{"x": _LABEL + s * scale, "y": foot + 14, "words": f"{s:g}"} for s in steps],
        align="center",
        color=MUTED,
    )
    for i, (name, low, middle, high, words, own) in enumerate(rows):
        y = _TOP + _STEP * (i + 0.5)
        colour = BEET if own else SLATE
        tip = f"{name}: {middle:.3g} ({low:.3g} to {high:.3g})"
        board.words([{"x": 0, "y": y, "words": name}], fontWeight="bold" if own else "normal")
        board.rules(
            [{"x": _LABEL + low * scale, "x2": _LABEL + high * scale, "y": y, "y2": y}],
            color=STRAW if not own else colour,
            strokeWidth=9,
        )
        board.points(
            [{"x": _LABEL + middle * scale, "y": y, "tip": tip}],
            size=90,
            color=PAPER,
            stroke=INK,
            strokeWidth=2,
        )
        if words:
            board.words([{"x": _WIDTH, "y": y, "words": words}], align="right", color=MUTED)
    return board.chart(title, [note])


def _course(answer: Impact, system: str) -> alt.LayerChart:
    """What has been given off up to each year, middle of the range."""
    told = [r for r in answer.routes if r.id in ("ferment", "landfill", "compost_works", "heap")]
    years = answer.provenance.years
    height, left, right = 210, 60, 190
    board = Board(_WIDTH, height, 0, _WIDTH)
    sums = {r.id: _summed(r, system) for r in told}
    most = max(max(line) for line in sums.values()) or 1.0
    up, across = (height - 50) / most, (_WIDTH - left - right) / years
    for step in nice_steps(most, 3):
        y = height - 34 - step * up
        board.rules([{"x": left, "x2": _WIDTH - right, "y": y, "y2": y}], color=HAIR)
        board.words([{"x": left - 8, "y": y, "words": f"{step:g}"}], align="right", color=MUTED)
    for year in nice_steps(years, 5):
        at = left + year * across
        board.words(
            [{"x": at, "y": height - 16, "words": f"{year:g}"}], align="center", color=MUTED
        )
    styles = ((BEET, [1, 0]), (INK, [1, 0]), (SLATE, [6, 3]), (MUTED, [2, 3]))
    ends: list[float] = []
    styled = sorted(zip(told, styles, strict=False), key=lambda pair: sums[pair[0].id][-1])
    for route, (colour, dash) in styled:
        line = sums[route.id]
        board.lines(
            [{"x": left + i * across, "y": height - 34 - v * up} for i, v in enumerate(line)],
            color=colour,
            strokeDash=dash,
            strokeWidth=2.5,
        )
        y = _free(height - 34 - line[-1] * up, ends)
        ends.append(y)
        board.words([{"x": _WIDTH - right + 8, "y": y, "words": route.name}], color=colour)
    unit = "kg CO2e" if system == "metric" else "lb CO2e"
    return board.chart(f"Given off up to each year, {unit}", ["middle of the range; years after"])


def _free(y: float, taken: list[float]) -> float:
    """The nearest height at which a line of words touches none that stands already."""
    while any(abs(y - other) < NOTE_SIZE + 2 for other in taken):
        y -= 3
    return y


def _summed(route: RouteAnswer, system: str) -> list[float]:
    total, line = 0.0, []
    for year in route.by_year:
        total += in_units(year.amount.median or 0.0, year.amount.unit, system)
        line.append(total)
    return line


def _tornado(tornado: Tornado, system: str) -> alt.LayerChart:
    """The inputs that move the saving most: low end to high end about the middle."""
    drivers = tornado.drivers[:_MOST_DRIVERS]
    ends = [in_units(v, tornado.unit, system) for d in drivers for v in (d.at_low, d.at_high)]
    low, high = min(ends), max(ends)
    scale = (_WIDTH - _DRIVER_LABEL - 80) / ((high - low) or 1.0)
    foot = _TOP + _STEP * len(drivers)
    board = Board(_WIDTH, foot + 8, 0, _WIDTH)

    def x(value: float) -> float:
        return _DRIVER_LABEL + 40 + (in_units(value, tornado.unit, system) - low) * scale

    middle = x(tornado.middle)
    board.rules([{"x": middle, "x2": middle, "y": _TOP, "y2": foot}], color=HAIR, strokeWidth=2)
    for i, d in enumerate(drivers):
        y = _TOP + _STEP * (i + 0.5)
        board.words([{"x": 0, "y": y, "words": d.name}], limit=_DRIVER_LABEL)
        first, last = sorted((d.at_low, d.at_high))
        board.rules([{"x": x(first), "x2": x(last), "y": y, "y2": y}], color=STRAW, strokeWidth=9)
        tip = f"{d.name}: {d.low:g} to {d.high:g} {d.unit}"
        board.points(
            [{"x": x(d.at_low), "y": y, "tip": tip}], size=80, color=PAPER, stroke=BEET,
            strokeWidth=2,
        )  # fmt: skip
        board.points([{"x": x(d.at_high), "y": y, "tip": tip}], size=80, color=BEET, stroke=BEET)
        for at, value, side in ((x(first), first, "right"), (x(last), last, "left")):
            shift = -9 if side == "right" else 9
            words = f"{in_units(value, tornado.unit, system):.2g}"
            words = f"{float(words):g}"
            board.words([{"x": at + shift, "y": y, "words": words}], align=side)
    unit = "kg CO2e" if system == "metric" else "lb CO2e"
    return board.chart(
        f"What moves the saving against the {tornado.against}, {unit}",
        ["one input at a time: ring, at its 10 % point; dot, at its 90 % point"],
    )


def _claims(answer: Impact) -> alt.LayerChart:
    """Every statement with its verdict in words and a mark."""
    step = 26
    board = Board(_WIDTH, _TOP + step * len(answer.claims) + 6, 0, _WIDTH)
    rows = [(c, _TOP + step * (i + 0.5)) for i, c in enumerate(answer.claims)]
    board.words([{"x": 0, "y": y, "words": c.verdict} for c, y in rows], fontWeight="bold")
    board.words([{"x": 120, "y": y, "words": c.statement} for c, y in rows], limit=_WIDTH - 120)
    return board.chart("What people say, held against this case", [])
