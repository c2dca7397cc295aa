"""Colours and measures of the garden's drawings.

Our own palette: soil browns and ochre for ferment, leaf green for crops, slate for frost. What
differs in meaning differs in lightness and in words too, so that it parts in grey print and for
colour-blind eyes.
"""

from __future__ import annotations

from datetime import date

import altair as alt

INK, PAPER, QUIET, RULE = "#2b2620", "#fbf8f1", "#7b7264", "#e6ddcb"
BED, BED_EDGE = "#ece2cf", "#b9a88a"
CROP, CROP_EDGE, CROP_INK = "#cfe0bd", "#9bb583", "#30431f"
FERMENT, READY, PALE = "#7a3b12", "#e0a43a", "#eadfc6"
LEAF, FROST = "#4d6b33", "#738a99"
FONT = "Georgia, 'DejaVu Serif', serif"
WIDTH = 820  # method: layout, px
ROW = 46  # method: layout, px a row
TALL = 140  # method: layout, px of a small panel
SMALL, TEXT, HEAD, TITLE = 12, 13, 16, 22  # method: layout, px of letters
BETWEEN = 104  # method: layout, px between panels, their headings included
LINE = 105  # method: layout, letters in a line of the title


def wrapped(text: str) -> list[str]:
    """Lines of at most ``LINE`` letters."""
    lines, line = [], ""
    for word in text.split():
        if line and len(line) + len(word) >= LINE:
            lines.append(line)
            line = word
        else:
            line = f"{line} {word}".strip()
    return [*lines, line]


def panel_title(text: str, *under: str) -> alt.TitleParams:
    """Heading of a panel with quiet lines below."""
    return alt.TitleParams(
        text=text, subtitle=list(under), subtitleFontSize=TEXT, subtitleColor=QUIET, frame="group"
    )


def month_axis(start: date, end: date) -> alt.X:
    """The year from left to right, a mark a month."""
    scale = alt.Scale(domain=[moment(start), moment(end)])
    axis = alt.Axis(format="%b", tickCount="month", labelAlign="left", labelOffset=4, grid=True)
    return alt.X("start:T", title=None, scale=scale, axis=axis)


def moment(day: date) -> str:
    """A day as the charts read it."""
    return f"{day.isoformat()}T00:00:00"
