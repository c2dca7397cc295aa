"""Where each bed is drawn: rows of beds of like size, each row to its own scale, in px."""

from __future__ import annotations

from dataclasses import dataclass

from sourloam.garden.chart_style import SMALL, TEXT, WIDTH
from sourloam.garden.contract import BedAnswer

LIKE = 4.0  # method: layout, beds of one row differ in length by less
APART = 34  # method: layout, px between beds
NARROWEST = 150  # method: layout, px that a bed's name and figures need
TALLEST = 300  # method: layout, px of a bed at most
CLOSEST = 100  # method: layout, px a metre at most
OVER, UNDER = TEXT + 10, 4 * SMALL + 22  # method: layout, px for the name above, figures below


@dataclass(frozen=True)
class Drawn:
    """A bed on the drawing: its corner and scale; ``turned`` if its length runs down the page."""

    bed: BedAnswer
    x: float
    y: float
    scale: float
    turned: bool

    @property
    def across_px(self) -> float:
        """Width on the drawing."""
        return self.scale * _long(self.bed)[0]

    @property
    def down_px(self) -> float:
        """Height on the drawing."""
        return self.scale * _long(self.bed)[1]

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


def lay_beds(beds: tuple[BedAnswer, ...]) -> tuple[list[Drawn], float]:
    """Every bed in its place, and the height of it all, px."""
    drawn, y = [], 0.0
    for row in _rows(beds):
        scale = _scale(row)
        x, y = 0.0, y + OVER
        for bed in row:
            drawn.append(Drawn(bed, x, y, scale, bed.width > bed.length))
            x += max(scale * _long(bed)[0], NARROWEST) + APART
        y += scale * max(_long(bed)[1] for bed in row) + UNDER
    return drawn, y


def _rows(beds: tuple[BedAnswer, ...]) -> list[list[BedAnswer]]:
    most = (WIDTH + APART) // (NARROWEST + APART)
    rows: list[list[BedAnswer]] = []
    for bed in beds:
        now = rows[-1] if rows else []
        lengths = [_long(b)[0] for b in (*now, bed)]
        if not now or len(now) >= most or max(lengths) > LIKE * min(lengths):
            rows.append([bed])
        else:
            now.append(bed)
    return rows


def _scale(row: list[BedAnswer]) -> float:
    """px a metre: the row fits the width, no bed is too tall."""
    tallest = TALLEST / max(_long(bed)[1] for bed in row)
    low, high = 0.0, min(tallest, CLOSEST)
    for _ in range(40):  # method: halving to far below a px
        middle = (low + high) / 2
        width = sum(max(middle * _long(bed)[0], NARROWEST) + APART for bed in row) - APART
        low, high = (middle, high) if width <= WIDTH else (low, middle)
    return low
