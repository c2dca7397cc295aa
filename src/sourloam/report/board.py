"""A drawing board: marks placed in the board's own measures, without axes of their own.

Each kind of mark is one Altair layer. Rows are plain dictionaries with ``x``, ``y``, where
needed ``x2``, ``y2``, ``words``, ``colour``, and ``tip`` for what a pointer shows.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import altair as alt

from sourloam.report.page import plain
from sourloam.report.palette import BODY_SIZE, HEAD_SIZE, INK, MUTED, NOTE_SIZE, SANS, SERIF

Row = Mapping[str, Any]


class Board:
    """Marks on a sheet of ``width`` by ``height`` pixels; y is in pixels from the top."""

    def __init__(self, width: int, height: int, x_from: float, x_to: float) -> None:
        self.width, self.height = width, height
        self._x = alt.Scale(domain=[x_from, x_to], nice=False, zero=False)
        self._y = alt.Scale(domain=[height, 0], nice=False, zero=False)
        self._layers: list[alt.Chart] = []

    def rects(self, rows: Sequence[Row], **style: Any) -> None:
        """Boxes from x to x2 and y to y2."""
        self._add(rows, "rect", ("x2", "y2"), style)

    def rules(self, rows: Sequence[Row], **style: Any) -> None:
        """Straight lines from x, y to x2, y2."""
        self._add(rows, "rule", ("x2", "y2"), style)

    def lines(self, rows: Sequence[Row], **style: Any) -> None:
        """One line through the points, in their order."""
        self._add(rows, "line", (), style)

    def areas(self, rows: Sequence[Row], **style: Any) -> None:
        """The space between y and y2 along x."""
        self._add(rows, "area", ("y2",), style)

    def points(self, rows: Sequence[Row], **style: Any) -> None:
        """Dots or other small shapes."""
        self._add(rows, "point", (), {"filled": True, "opacity": 1, **style})

    def words(self, rows: Sequence[Row], **style: Any) -> None:
        """Text at x, y."""
        usual = {"font": SANS, "fontSize": NOTE_SIZE, "color": INK, "align": "left"}
        self._add(rows, "text", (), {"baseline": "middle", **usual, **style})

    def chart(self, title: str, notes: Sequence[str] = ()) -> alt.LayerChart:
        """Everything drawn so far, under a title that says the finding."""
        head = alt.TitleParams(
            text=plain(title),
            subtitle=list(notes),
            anchor="start",
            font=SERIF,
            fontSize=HEAD_SIZE,
            fontWeight="bold",
            color=INK,
            subtitleFont=SANS,
            subtitleFontSize=BODY_SIZE,
            subtitleColor=MUTED,
            subtitlePadding=5,
            offset=12,
        )
        return alt.LayerChart(layer=self._layers, width=self.width, height=self.height, title=head)

    def _add(
        self, rows: Sequence[Row], mark: str, ends: tuple[str, ...], style: dict[str, Any]
    ) -> None:
        if not rows:
            return
        base = alt.Chart(alt.InlineData(values=[_cleaned(row) for row in rows]))
        made = getattr(base, f"mark_{mark}")(**style)
        shown: dict[str, Any] = {
            "x": alt.X("x:Q", scale=self._x, axis=None),
            "y": alt.Y("y:Q", scale=self._y, axis=None),
        }
        if "x2" in ends:
            shown["x2"] = alt.X2("x2:Q")
        if "y2" in ends:
            shown["y2"] = alt.Y2("y2:Q")
        first = rows[0]
        if "words" in first:
            shown["text"] = alt.Text("words:N")
        if "colour" in first:
            shown["color"] = alt.Color("colour:N", scale=None, legend=None)
        if "tip" in first:
            shown["tooltip"] = alt.Tooltip("tip:N", title=" ")
        if mark == "line":
            shown["order"] = alt.Order("x:Q")
        self._layers.append(made.encode(**shown))


def _cleaned(row: Row) -> dict[str, Any]:
    return {k: plain(v) if isinstance(v, str) else v for k, v in row.items()}


def nice_steps(most: float, wanted: int = 3) -> list[float]:
    """Round numbers from 0 up to at most ``most``, about so many above 0."""
    if most <= 0:
        return [0.0]
    raw = most / wanted
    size = 10.0 ** _floor_log10(raw)
    step = next(s * size for s in (1, 2, 2.5, 5, 10) if s * size >= raw * (1 - 1e-9))
    return [step * i for i in range(int(most / step + 1e-9) + 1)]


def _floor_log10(value: float) -> int:
    return int(f"{value:e}".split("e")[1])
