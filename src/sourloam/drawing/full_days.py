"""Full vessels by day: a vessel for each day, filled as high as the number that will be full."""

from __future__ import annotations

from dataclasses import dataclass

from sourloam.drawing.svg import document, line, path, words

_WIDE, _GAP, _TOP, _FLOOR, _FOOT = 64.0, 14.0, 30.0, 148.0, 40.0
_TAPER = 8.0


@dataclass(frozen=True)
class FullDay:
    """A day's word and how many are full: 10 %, middle, 90 % points."""

    word: str
    low: float
    middle: float
    high: float


@dataclass(frozen=True)
class FullPicture:
    """Days in their order; all heights against the largest."""

    days: tuple[FullDay, ...]
    title: str
    desc: str = ""


def draw_full(picture: FullPicture, standalone: bool = False) -> str:
    """SVG of the days side by side on one plank."""
    most = max((day.high for day in picture.days), default=1.0) or 1.0
    body, x = "", _GAP / 2
    for day in picture.days:
        body += _pail(day, x, most)
        x += _WIDE + _GAP
    plank = f"M0 {_FLOOR}h{x - _GAP / 2:.1f}v9h-{x - _GAP / 2:.1f}z"
    body += path(plank, "d-plank")
    return document((x, _FLOOR + _FOOT), body, picture.title, picture.desc, standalone)


def _pail(day: FullDay, x: float, most: float) -> str:
    tall, middle = _FLOOR - _TOP, x + _WIDE / 2

    def height(value: float) -> float:
        return _FLOOR - tall * value / most

    def half(y: float) -> float:
        return _WIDE / 2 - _TAPER * (y - _TOP) / tall

    y = height(day.middle)
    wall = (
        f"M{middle - half(_TOP):.1f} {_TOP}L{middle - half(_FLOOR):.1f} {_FLOOR}"
        f"H{middle + half(_FLOOR):.1f}L{middle + half(_TOP):.1f} {_TOP}z"
    )
    inside = (
        f"M{middle - half(y):.1f} {y:.1f}L{middle - half(_FLOOR):.1f} {_FLOOR}"
        f"H{middle + half(_FLOOR):.1f}L{middle + half(y):.1f} {y:.1f}z"
    )
    drawn = path(wall, "d-wall") + (path(inside, "d-s-resting") if day.middle > 0 else "")
    if day.high - day.low >= 1:
        low, high = height(day.low), height(day.high)
        drawn += line(middle, low, middle, high, "d-line")
        drawn += line(middle - 8, low, middle + 8, low, "d-line")
        drawn += line(middle - 8, high, middle + 8, high, "d-line")
    drawn += words(f"{day.middle:.0f}", middle, _TOP - 10, "d-name", "middle")
    return drawn + words(day.word, middle, _FLOOR + 28, "d-word", "middle")
