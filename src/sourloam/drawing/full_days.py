"""Full vessels by day: as many small vessels stand on the plank as will be full, all alike."""

from __future__ import annotations

import math
from dataclasses import dataclass

from sourloam.drawing.palette import SMALL
from sourloam.drawing.svg import document, fitted, path, words

_WIDE, _GAP, _HEAD, _FOOT = 60.0, 8.0, 26.0, 46.0
_ACROSS = 3  # vessels side by side in a day
_PAIL, _TALL, _ROW, _PITCH = 15.0, 18.0, 23.0, 20.0  # a vessel, and how far apart they stand
_MOST_ROWS = 8
_ROUND = (1, 2, 5, 10, 20, 50, 100, 200, 500)


@dataclass(frozen=True)
class FullDay:
    """A day's word and how many are full: 10 %, middle, 90 % points."""

    word: str
    low: float
    middle: float
    high: float


@dataclass(frozen=True)
class FullPicture:
    """Days in their order."""

    days: tuple[FullDay, ...]
    title: str
    desc: str = ""

    @property
    def each(self) -> int:
        """How many vessels one drawn vessel stands for."""
        most = max((day.high for day in self.days), default=0.0)
        fits = (n for n in _ROUND if math.ceil(most / n) <= _ACROSS * _MOST_ROWS)
        return next(fits, _ROUND[-1])


def draw_full(picture: FullPicture, standalone: bool = False) -> str:
    """SVG of the days side by side on one plank: filled vessels up to the middle, empty outlines
    up to the high point."""
    each = picture.each
    most = max((_drawn(day.high, each) for day in picture.days), default=0)
    floor = _HEAD + _ROW * max(1, math.ceil(most / _ACROSS))
    body, x = "", 4.0
    for day in picture.days:
        body += _day(day, each, x, floor)
        x += _WIDE + _GAP
    wide = x - _GAP + 4.0
    body += path(f"M0 {floor}h{wide:.1f}v8h-{wide:.1f}z", "d-plank")
    return document((wide, floor + _FOOT), body, picture.title, picture.desc, standalone)


def _drawn(value: float, each: int) -> int:
    return math.ceil(round(value) / each)


def _day(day: FullDay, each: int, x: float, floor: float) -> str:
    sure, likely = _drawn(day.middle, each), _drawn(day.high, each)
    drawn = "".join(_pail(n, n < sure, x, floor) for n in range(max(sure, likely)))
    rows = max(1, math.ceil(max(sure, likely) / _ACROSS))
    middle = x + _WIDE / 2
    drawn += words(f"{day.middle:.0f}", middle, floor - _ROW * rows - 6, "d-name", "middle")
    drawn += words(fitted(day.word, _WIDE, SMALL), middle, floor + 24, "d-word", "middle")
    if round(day.high) > round(day.low):
        ends = f"{day.low:.0f} – {day.high:.0f}"
        drawn += words(ends, middle, floor + 41, "d-small", "middle")
    return drawn


def _pail(number: int, filled: bool, x: float, floor: float) -> str:
    """One closed vessel at its place in the stack."""
    row, column = divmod(number, _ACROSS)
    left = x + (_WIDE - (_ACROSS - 1) * _PITCH - _PAIL) / 2 + column * _PITCH
    foot = floor - row * _ROW - 1
    body = f"M{left + 1:.1f} {foot - _TALL:.1f}l2 {_TALL:.0f}h{_PAIL - 6:.0f}l2 -{_TALL:.0f}Z"
    lid = path(f"M{left:.1f} {foot - _TALL:.1f}h{_PAIL:.0f}", "d-line")
    return path(body, "d-s-resting") + lid if filled else path(body, "d-s-dirty")
