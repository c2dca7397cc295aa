"""Where each bed is drawn: rows of beds of like size, each row to its own scale, in px."""

from __future__ import annotations

from dataclasses import dataclass

from sourloam.garden.chart_style import Sheet
from sourloam.garden.contract import BedAnswer

LIKE = 4.0  # method: layout, beds of one row differ in length by less
TALLEST = 300  # method: layout, px of a bed at most
CLOSEST = 100  # method: layout, px a metre at most


@dataclass(frozen=True)
class Drawn:
    """A bed on the drawing: its corner and scale; ``turned`` if its length runs down the page."""

    bed: BedAnswer
    x: float
    y: float
    scale: float
    turned: bool

    def box(self, along: tuple[float, float], across: tuple[float, float]) -> dict[str, float]:
        """A rectangle given in m along the bed's length and across it."""
        first, second = (across, along) if self.turned else (along, across)
        return {
            "x0": self.x + first[0] * self.scale,
            "x1": self.x + first[1] * self.scale,
            "y0": self.y + second[0] * self.scale,
            "y1": self.y + second[1] * self.scale,
        }


def _long(bed: BedAnswer) -> tuple[float, float]:
    return max(bed.length, bed.width), min(bed.length, bed.width)


def lay_beds(beds: tuple[BedAnswer, ...], sheet: Sheet) -> tuple[list[Drawn], float]:
    """Every bed in its place, and the height of it all, px."""
    drawn, y = [], 0.0
    over, under = sheet.text + 10, 4 * sheet.small + 22  # method: layout, name above, figures below
    for row in _rows(beds, sheet):
        scale = _scale(row, sheet)
        x, y = 0.0, y + over
        for bed in row:
            drawn.append(Drawn(bed, x, y, scale, bed.width > bed.length))
            x += max(scale * _long(bed)[0], sheet.bed_narrowest) + sheet.apart
        y += scale * max(_long(bed)[1] for bed in row) + under
    return drawn, y


def _rows(beds: tuple[BedAnswer, ...], sheet: Sheet) -> list[list[BedAnswer]]:
    most = (sheet.width + sheet.apart) // (sheet.bed_narrowest + sheet.apart)
    rows: list[list[BedAnswer]] = []
    for bed in beds:
        now = rows[-1] if rows else []
        lengths = [_long(b)[0] for b in (*now, bed)]
        if not now or len(now) >= most or max(lengths) > LIKE * min(lengths):
            rows.append([bed])
        else:
            now.append(bed)
    return rows


def _scale(row: list[BedAnswer], sheet: Sheet) -> float:
    """px a metre: the row fits the width, no bed is too tall."""
    tallest = TALLEST / max(_long(bed)[1] for bed in row)
    low, high = 0.0, min(tallest, CLOSEST)
    for _ in range(40):  # method: halving to far below a px
        middle = (low + high) / 2
        each = (max(middle * _long(bed)[0], sheet.bed_narrowest) + sheet.apart for bed in row)
        width = sum(each) - sheet.apart
        low, high = (middle, high) if width <= sheet.width else (low, middle)
    return low
