"""How a forecast narrowed: one bar for each day of the log, the newest lowest."""

from __future__ import annotations

from dataclasses import dataclass

from sourloam.drawing.palette import SMALL, WIDE
from sourloam.drawing.svg import document, fitted, line, path, tag, text_width, through, words

_LEFT, _RIGHT, _TOP, _BOTTOM = 72.0, 10.0, 26.0, 32.0
_ROW, _BAR = 27.0, 13.0
_NOTE = 58.0
_AIR = 0.04  # of the axis, beside the widest bar


@dataclass(frozen=True)
class FunnelRow:
    """What was foreseen on one day: ends of the range and its middle, None where beyond what was
    foreseen; ``label`` names the day, ``note`` stands at the end."""

    label: str
    low: float | None
    middle: float | None
    high: float | None
    note: str = ""


@dataclass(frozen=True)
class FunnelPicture:
    """Rows from the oldest; ``ticks`` are (value, words) along the bottom, ``notes`` heads the
    notes of the rows. ``ends`` are those of the axis."""

    rows: tuple[FunnelRow, ...]
    ends: tuple[float, float]
    ticks: tuple[tuple[float, str], ...]
    title: str
    desc: str = ""
    notes: str = ""

    def __post_init__(self) -> None:
        if len(self.rows) < 2 or self.ends[1] <= self.ends[0]:
            raise ValueError("a funnel has two rows or more, and an axis of some length")


def draw_funnel(picture: FunnelPicture, wide: float = WIDE, standalone: bool = False) -> str:
    """SVG of the rows."""
    height = _TOP + _ROW * len(picture.rows) + _BOTTOM
    axis = _Axis.of(picture, wide)
    body = words(picture.notes, wide - _RIGHT, _TOP - 8, "d-small", "end") if picture.notes else ""
    body += _frame(picture, axis, height)
    for number, row in enumerate(picture.rows):
        body += _bar(row, _middle_y(number), axis, wide)
    middles = [
        (axis.at(row.middle), _middle_y(number))
        for number, row in enumerate(picture.rows)
        if row.middle is not None
    ]
    if len(middles) > 1:
        body += path(through(middles), "d-middle")
    for x, y in middles:
        body += tag("circle", cx=x, cy=y, r=4.0, class_="d-seen")
    return document((wide, height), body, picture.title, picture.desc, standalone)


@dataclass(frozen=True)
class _Axis:
    first: float
    last: float
    left: float
    right: float

    @classmethod
    def of(cls, picture: FunnelPicture, wide: float) -> _Axis:
        room = _NOTE if any(row.note for row in picture.rows) else 0.0
        first, last = picture.ends
        air = _AIR * (last - first)
        return cls(first - air, last + air, _LEFT, wide - _RIGHT - room)

    def at(self, value: float) -> float:
        share = min(max((value - self.first) / (self.last - self.first), 0.0), 1.0)
        return self.left + share * (self.right - self.left)


def _middle_y(number: int) -> float:
    return _TOP + _ROW * (number + 0.5)


def _bar(row: FunnelRow, y: float, axis: _Axis, wide: float) -> str:
    drawn = words(fitted(row.label, _LEFT - 8, SMALL), _LEFT - 8, y + 4, "d-small", "end")
    if row.low is not None:
        x = axis.at(row.low)
        end = axis.right if row.high is None else axis.at(row.high)
        top, width = y - _BAR / 2, max(end - x, 2.0)
        drawn += tag("rect", x=x, y=top, width=width, height=_BAR, rx=3.0, class_="d-band")
    if row.note:
        drawn += words(row.note, wide - _RIGHT, y + 4, "d-small", "end")
    return drawn


def _frame(picture: FunnelPicture, axis: _Axis, height: float) -> str:
    base, taken = height - _BOTTOM, -1e9
    drawn = line(axis.left, base, axis.right, base, "d-fine")
    for value, label in picture.ticks:
        x, half = axis.at(value), text_width(label, SMALL) / 2
        if x - half < taken or x + half > axis.right + _RIGHT:
            continue
        taken = x + half + 6
        drawn += line(x, base, x, base + 5, "d-fine")
        drawn += words(label, x, base + 21, "d-small", "middle")
    return drawn
