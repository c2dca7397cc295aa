"""The year as a picture: every vessel's turns, and the scraps that come week by week."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

import altair as alt

from sourloam.planning.contract import Plan, Span
from sourloam.report.board import Board, nice_steps
from sourloam.report.opening import standby
from sourloam.report.palette import (
    BEET,
    BEET_PALE,
    BLOCKED_COLOURS,
    BLOCKED_WORDS,
    HAIR,
    HATCHED,
    INK,
    MUTED,
    NOTE_SIZE,
    STATE_COLOURS,
    STATE_WORDS,
)
from sourloam.report.quantities import amount, one, word
from sourloam.report.strips import known, month_starts, shortened, whole_weeks
from sourloam.units.registry import factor

WIDTH = 880
_MARGIN = 158
_HEAD = 58
_FOOT = 8
_IDLE = 26
_NAMED_FROM = 12
_ONE_YEAR = 14


class _YearBoard(Board):
    """A board whose x runs in days from the first day of the first month."""

    def __init__(self, plan: Plan, height: int) -> None:
        self.months = month_starts(plan.site.start, plan.site.until)
        self.first = self.months[0]
        self.last = plan.site.until + timedelta(days=1)
        days = (self.last - self.first).days
        self.day_px = (WIDTH - _MARGIN) / days
        super().__init__(WIDTH, height, -_MARGIN / self.day_px, days)

    def at(self, day: date) -> int:
        """Position of the morning of a day."""
        return (day - self.first).days

    def left(self, pixels: float) -> float:
        """Position so many pixels from the left edge of the sheet."""
        return (pixels - _MARGIN) / self.day_px

    def draw_months(self, top: float, bottom: float, named: bool) -> None:
        """Hair lines between months, and their names above."""
        edges = [self.at(m) for m in self.months] + [self.at(self.last)]
        lines = [{"x": e, "x2": e, "y": top, "y2": bottom} for e in edges]
        self.rules(lines, color=HAIR, strokeWidth=1)
        if named:
            every, form = (1, "%b") if len(self.months) <= _ONE_YEAR else (3, "%b %Y")
            names = [
                {"x": self.at(m) + 3 / self.day_px, "y": top - 8, "words": f"{m:{form}}"}
                for m in self.months[::every]
                if (self.last - m).days > _NAMED_FROM
            ]
            self.words(names, color=MUTED)


def year_chart(plan: Plan, system: str) -> alt.LayerChart:
    """Each vessel of the middle case as a row of bars, over frozen ground and closed days."""
    names = list(dict.fromkeys(span.vessel for span in plan.vessels.year))
    idle = standby(plan)
    kinds = [k for k in BLOCKED_WORDS if any(b.kind == k for b in plan.vessels.blocked)]
    step = max(13, min(34, 420 // max(1, len(names))))
    vessels_end = _HEAD + step * len(names) + (_IDLE if idle else 0)
    board = _YearBoard(plan, vessels_end + 22 * len(kinds) + _FOOT)
    _draw_blocked(board, plan, kinds, vessels_end)
    board.draw_months(_HEAD - 6, vessels_end, named=True)
    _draw_spans(board, plan, names, step)
    _draw_labels(board, names, kinds, step, vessels_end)
    if idle:
        y = vessels_end - _IDLE / 2 - 1
        board.words([{"x": 4 / board.day_px, "y": y, "words": idle}], fontStyle="italic")
    _draw_key(board, {span.state for span in plan.vessels.year})
    return board.chart(
        _title(len(names), bool(idle)),
        ["the middle one of the simulated cases; your own vessels decide, not the dates"],
    )


def _title(number: int, some_stand_by: bool) -> str:
    """What the rows show; where others stand by, that these are the ones in use."""
    if number == 1:
        return "How one vessel fills and rests"
    used = "in use " if some_stand_by else ""
    return f"How the {word(number)} vessels {used}take turns"


def _draw_blocked(board: _YearBoard, plan: Plan, kinds: list[str], top: float) -> None:
    for row, kind in enumerate(kinds):
        spans = [b for b in plan.vessels.blocked if b.kind == kind]
        ends = [(board.at(b.start), board.at(b.end) + 1, b) for b in spans]
        tips = [f"{b.name}: {_days(b.start, b.end)}" for b in spans]
        colour = BLOCKED_COLOURS[kind]
        shade = [{"x": a, "x2": z, "y": _HEAD - 6, "y2": top} for a, z, _ in ends]
        board.rects(shade, color=colour, opacity=0.75)
        y = top + 22 * row + 6
        bars = [
            {"x": a, "x2": z, "y": y, "y2": y + 12, "tip": tip}
            for (a, z, _), tip in zip(ends, tips, strict=True)
        ]
        board.rects(bars, color=colour, stroke=MUTED, strokeWidth=0.8)


def _draw_spans(board: _YearBoard, plan: Plan, names: list[str], step: int) -> None:
    high = step * 0.62
    for state in STATE_COLOURS:
        rows = []
        for span in plan.vessels.year:
            if span.state == state:
                y = _HEAD + step * names.index(span.vessel) + (step - high) / 2
                rows.append(_box(board, span, y, high))
        if state == "empty":
            middle = [{**r, "y": r["y"] + high / 2, "y2": r["y"] + high / 2} for r in rows]
            board.rules(middle, color=MUTED, strokeWidth=1, strokeDash=[1, 3])
            continue
        board.rects(rows, color=STATE_COLOURS[state], stroke=INK, strokeWidth=0.7)
        if state in HATCHED:
            hatch = [line for row in rows for line in _hatch(board, row, high)]
            board.rules(hatch, color=HATCHED[state], strokeWidth=1.2)


def _box(board: _YearBoard, span: Span, y: float, high: float) -> dict[str, Any]:
    tip = f"{span.vessel}: {span.state}, {_days(span.start, span.end)}"
    return {
        "x": board.at(span.start),
        "x2": board.at(span.end) + 1,
        "y": y,
        "y2": y + high,
        "tip": tip,
    }


def _hatch(board: _YearBoard, box: dict[str, Any], high: float) -> Iterator[dict[str, float]]:
    """Slanting lines inside a box, so that it is told apart in grey."""
    slant, gap = high / board.day_px, 7 / board.day_px
    x = box["x"] + gap
    while x + 1e-9 < box["x2"] + slant:
        over, under = max(0.0, x - box["x2"]), max(0.0, box["x"] - (x - slant))
        yield {
            "x": x - over,
            "y": box["y"] + over * board.day_px,
            "x2": x - slant + under,
            "y2": box["y2"] - under * board.day_px,
        }
        x += gap


def _draw_labels(
    board: _YearBoard, names: list[str], kinds: list[str], step: int, end: float
) -> None:
    x = board.left(_MARGIN - 10)
    rows = [
        {"x": x, "y": _HEAD + step * (i + 0.5), "words": shortened(name)}
        for i, name in enumerate(names)
    ]
    board.words(rows, align="right", fontSize=min(NOTE_SIZE, step - 1))
    notes = [
        {"x": x, "y": end + 22 * i + 12, "words": BLOCKED_WORDS[kind]}
        for i, kind in enumerate(kinds)
    ]
    board.words(notes, align="right", color=MUTED)


def _draw_key(board: _YearBoard, states: set[str]) -> None:
    x = float(_MARGIN)
    for state, words in STATE_WORDS.items():
        if state not in states:
            continue
        box = {"x": board.left(x), "x2": board.left(x + 20), "y": 4, "y2": 18}
        board.rects([box], color=STATE_COLOURS[state], stroke=INK, strokeWidth=0.7)
        if state in HATCHED:
            hatch = list(_hatch(board, box, 14))
            board.rules(hatch, color=HATCHED[state], strokeWidth=1.2)
        board.words([{"x": board.left(x + 26), "y": 11.5, "words": words}])
        x += 26 + 6.3 * len(words) + 26


def weeks_chart(plan: Plan, system: str) -> alt.LayerChart:
    """Scraps by week with the 10-90 % band, on the same days as the year above."""
    weeks = [w for w in whole_weeks(plan.scraps.by_week, plan.site.until) if known(w)]
    unit = "lb" if system == "us" else "kg"
    size = factor(unit, "mass")
    tops = [w.amount.high if w.amount.high is not None else w.amount.median for w in weeks]
    most = max((top or 0.0 for top in tops), default=0.0) / size or 1.0
    height, top, bottom = 150, 12, 138
    board = _YearBoard(plan, height)

    def y(value: float | None) -> float:
        return bottom - (value or 0.0) / size / most * (bottom - top)

    board.draw_months(top, bottom, named=False)
    steps = nice_steps(most, 4)
    grid = [
        {"x": 0, "x2": board.at(board.last), "y": y(s * size), "y2": y(s * size)} for s in steps
    ]
    board.rules(grid, color=HAIR, strokeWidth=1)
    labels = [
        {"x": board.left(_MARGIN - 10), "y": y(s * size), "words": f"{s:g} {unit}"} for s in steps
    ]
    board.words(labels, align="right", color=MUTED)
    band, line = [], []
    for week in weeks:
        for day in (week.start, min(week.start + timedelta(days=7), board.last)):
            x, a = board.at(day), week.amount
            band.append({"x": x, "y": y(a.low), "y2": y(a.high if a.high else a.median)})
            line.append({"x": x, "y": y(a.median)})
    board.areas(band, color=BEET_PALE)
    board.lines(line, color=BEET, strokeWidth=2)
    dots = [
        {
            "x": board.at(w.start) + 3.5,
            "y": y(w.amount.median),
            "tip": f"week {w.week}: {amount(w.amount, system)} {w.closed}".strip(),
        }
        for w in weeks
    ]
    board.points(dots, size=60, color=BEET, opacity=0)
    mean = one(plan.scraps.per_day.median, "kg/day", system)
    return board.chart(
        f"About {mean} of scraps come",
        ["by week: line, the middle value; band, where eight of ten simulated cases lie"],
    )


def _days(first: date, last: date) -> str:
    return f"{first.day} {first:%b} to {last.day} {last:%b %Y}"
