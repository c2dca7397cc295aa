"""Colours and measures of the garden's drawings.

Our own palette: soil browns and ochre for ferment, leaf green for crops, slate for frost. What
differs in meaning differs in lightness and in words too, so that it parts in grey print and for
colour-blind eyes.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import altair as alt

INK, PAPER, QUIET, RULE = "#2b2620", "#fbf8f1", "#7b7264", "#e6ddcb"
BED, BED_EDGE = "#ece2cf", "#b9a88a"
CROP, CROP_EDGE, CROP_INK = "#cfe0bd", "#9bb583", "#30431f"
FERMENT, READY, PALE = "#7a3b12", "#e0a43a", "#eadfc6"
LEAF, FROST = "#4d6b33", "#738a99"
FONT = "Georgia, 'DejaVu Serif', serif"
TALL = 140  # method: layout, px of a small panel
LETTER = 0.52  # method: layout, mean width of a letter over its height


@dataclass(frozen=True)
class Sheet:
    """What a picture is drawn on, px: a page on a desk, or a phone held upright; and the
    reader's units. ``month_step``: every how many months are named."""

    width: int
    row: int
    small: int
    text: int
    head: int
    title: int
    between: int
    bed_narrowest: int
    apart: int
    padding: int
    month_step: int
    narrow: bool
    system: str = "metric"

    @property
    def line(self) -> int:
        """Letters in a line of text."""
        return int(self.width / (LETTER * self.text))


DESK = Sheet(820, 46, 12, 13, 16, 22, 104, 150, 34, 24, 1, False)  # method: layout
PHONE = Sheet(350, 60, 13, 14, 17, 20, 132, 165, 20, 4, 2, True)  # method: layout


def wrapped(text: str, letters: int) -> list[str]:
    """Lines of at most so many letters."""
    lines, line = [], ""
    for word in text.split():
        if line and len(line) + len(word) >= letters:
            lines.append(line)
            line = word
        else:
            line = f"{line} {word}".strip()
    return [*lines, line]


def panel_title(sheet: Sheet, text: str, *under: str) -> alt.TitleParams:
    """Heading of a panel with quiet lines below."""
    return alt.TitleParams(
        text=wrapped(text, int(sheet.width / (LETTER * sheet.head))),
        subtitle=[line for said in under for line in wrapped(said, sheet.line)],
        fontSize=sheet.head,
        subtitleFontSize=sheet.text,
        subtitleColor=QUIET,
        frame="group",
    )


def month_axis(sheet: Sheet, start: date, end: date) -> alt.X:
    """The year from left to right, a mark a month or two."""
    scale = alt.Scale(domain=[moment(start), moment(end)])
    every = alt.TimeIntervalStep(interval="month", step=sheet.month_step)
    axis = alt.Axis(format="%b", tickCount=every, labelAlign="left", labelOffset=4, grid=True)
    return alt.X("start:T", title=None, scale=scale, axis=axis)


def moment(day: date) -> str:
    """A day as the charts read it."""
    return f"{day.isoformat()}T00:00:00"
