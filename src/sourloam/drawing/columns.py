"""Amounts side by side as columns on one plank: scraps month by month, what reaches a garden."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from sourloam.drawing.palette import SMALL
from sourloam.drawing.svg import document, line, path, text_width, words

Stuff = Literal["fresh", "leaf", "trench"]  # scraps, what feeds plants, soil
_LEFT, _RIGHT, _HEAD, _TALL, _FOOT = 58.0, 6.0, 20.0, 150.0, 48.0
_NARROWEST, _WIDEST = 9.0, 96.0  # from one column to the next
_FULL, _BROADEST, _CAP = (
    0.76,
    34.0,
    5.0,
)  # a column: share of that, at most; half an end of its range
_STEPS = (1.0, 2.0, 5.0)
_MOST_TICKS = 4
_SPACE = 6.0


@dataclass(frozen=True)
class Column:
    """One amount with its word, a second word below where one is to be told, and its range."""

    word: str
    below: str
    value: float
    ends: tuple[float, float] | None = None

    @property
    def top(self) -> float:
        """The most that is drawn of it."""
        return self.value if self.ends is None else max(self.value, self.ends[1])


@dataclass(frozen=True)
class ColumnsPicture:
    """Columns in their order; ``unit`` stands behind each figure of the scale."""

    columns: tuple[Column, ...]
    unit: str
    title: str
    desc: str = ""
    stuff: Stuff = "fresh"


def draw_columns(picture: ColumnsPicture, wide: float = 380.0, standalone: bool = False) -> str:
    """SVG of the columns; wider than asked where there are too many to be told apart."""
    number = max(len(picture.columns), 1)
    pitch = min(max((wide - _LEFT - _RIGHT) / number, _NARROWEST), _WIDEST)
    wide = max(wide, _LEFT + pitch * number + _RIGHT)
    floor = _HEAD + _TALL
    ticks = scale(max((one.top for one in picture.columns), default=0.0))
    body = ""
    for value in ticks:
        y = floor - value * _TALL / ticks[-1]
        body += line(_LEFT, y, wide - _RIGHT, y, "d-scale")
        body += words(f"{value:g} {picture.unit}", _LEFT - 6, y + 4, "d-small", "end")
    for place, one in enumerate(picture.columns):
        middle = _LEFT + pitch * (place + 0.5)
        body += _column(one, _TALL / ticks[-1], (middle, floor, pitch), picture.stuff)
    body += path(f"M{_LEFT - 4:.1f} {floor}H{wide:.1f}v7H{_LEFT - 4:.1f}z", "d-plank")
    body += _told(picture.columns, pitch, floor)
    return document((wide, floor + _FOOT), body, picture.title, picture.desc, standalone)


def scale(most: float) -> list[float]:
    """Round values from nothing to just beyond the most, a few of them."""
    if most <= 0:
        return [0.0, 1.0]
    tens = 10.0 ** math.floor(math.log10(most / _MOST_TICKS))
    step = next(tens * s for s in (*_STEPS, 10.0) if tens * s * _MOST_TICKS >= most)
    return [step * n for n in range(math.ceil(round(most / step, 9)) + 1)]


def _column(one: Column, high: float, at: tuple[float, float, float], stuff: Stuff) -> str:
    middle, floor, pitch = at
    body, half, tall = "", min(pitch * _FULL, _BROADEST) / 2, one.value * high
    if tall > 0:
        left = middle - half
        body += path(
            f"M{left:.1f} {floor:.1f}v-{tall:.1f}h{2 * half:.1f}v{tall:.1f}z", f"d-{stuff}"
        )
        body += path(f"M{left:.1f} {floor - tall:.1f}h{2 * half:.1f}", "d-line")
    if one.ends is not None and one.ends[1] > one.ends[0]:
        low, top = (floor - end * high for end in one.ends)
        body += line(middle, low, middle, top, "d-line")
        for y in (low, top):
            body += line(middle - _CAP, y, middle + _CAP, y, "d-line")
    return body


def _told(columns: tuple[Column, ...], pitch: float, floor: float) -> str:
    """As many words as have room, and each word below where it begins."""
    body, free, free_below = "", 0.0, 0.0
    for place, one in enumerate(columns):
        middle = _LEFT + pitch * (place + 0.5)
        half = text_width(one.word, SMALL) / 2
        if middle - half >= free:
            body += words(one.word, middle, floor + 23, "d-small", "middle")
            free = middle + half + _SPACE
        left = middle - half
        if one.below and left >= free_below:
            body += words(one.below, left, floor + 41, "d-name")
            free_below = left + text_width(one.below, SMALL) + _SPACE
    return body
