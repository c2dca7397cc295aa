"""Scraps month by month: columns of fresh layers on one plank."""

from __future__ import annotations

import math
from dataclasses import dataclass

from sourloam.drawing.palette import SMALL
from sourloam.drawing.svg import document, line, path, text_width, words

_LEFT, _RIGHT, _HEAD, _TALL, _FOOT = 58.0, 6.0, 20.0, 150.0, 48.0
_NARROWEST, _WIDEST = 9.0, 44.0  # from one month to the next
_GAP = 0.24  # of that
_STEPS = (1.0, 2.0, 5.0)
_MOST_TICKS = 4
_SPACE = 6.0


@dataclass(frozen=True)
class Month:
    """One month: its word, the year where it is to be told, how much."""

    word: str
    year: str
    value: float


@dataclass(frozen=True)
class MonthsPicture:
    """Months in their order, without gaps; ``unit`` stands behind each figure of the scale."""

    months: tuple[Month, ...]
    unit: str
    title: str
    desc: str = ""


def draw_months(picture: MonthsPicture, wide: float = 380.0, standalone: bool = False) -> str:
    """SVG of the months; wider than asked where there are too many to be told apart."""
    number = max(len(picture.months), 1)
    pitch = min(max((wide - _LEFT - _RIGHT) / number, _NARROWEST), _WIDEST)
    wide = max(wide, _LEFT + pitch * number + _RIGHT)
    floor = _HEAD + _TALL
    ticks = scale(max((month.value for month in picture.months), default=0.0))
    high = _TALL / ticks[-1]
    body = ""
    for value in ticks:
        y = floor - value * high
        body += line(_LEFT, y, wide - _RIGHT, y, "d-scale")
        body += words(f"{value:g} {picture.unit}", _LEFT - 6, y + 4, "d-small", "end")
    for place, month in enumerate(picture.months):
        body += _column(month.value * high, _LEFT + pitch * place, pitch, floor)
    body += path(f"M{_LEFT - 4:.1f} {floor}H{wide:.1f}v7H{_LEFT - 4:.1f}z", "d-plank")
    body += _told(picture.months, pitch, floor)
    return document((wide, floor + _FOOT), body, picture.title, picture.desc, standalone)


def scale(most: float) -> list[float]:
    """Round values from nothing to just beyond the most, a few of them."""
    if most <= 0:
        return [0.0, 1.0]
    tens = 10.0 ** math.floor(math.log10(most / _MOST_TICKS))
    step = next(tens * s for s in (*_STEPS, 10.0) if tens * s * _MOST_TICKS >= most)
    return [step * n for n in range(math.ceil(round(most / step, 9)) + 1)]


def _column(high: float, x: float, pitch: float, floor: float) -> str:
    if high <= 0:
        return ""
    left, wide = x + pitch * _GAP / 2, pitch * (1 - _GAP)
    body = path(f"M{left:.1f} {floor:.1f}v-{high:.1f}h{wide:.1f}v{high:.1f}z", "d-fresh")
    return body + path(f"M{left:.1f} {floor - high:.1f}h{wide:.1f}", "d-line")


def _told(months: tuple[Month, ...], pitch: float, floor: float) -> str:
    """As many words as have room, and each year where it begins."""
    body, free, free_year = "", 0.0, 0.0
    for place, month in enumerate(months):
        middle = _LEFT + pitch * (place + 0.5)
        half = text_width(month.word, SMALL) / 2
        if middle - half >= free:
            body += words(month.word, middle, floor + 23, "d-small", "middle")
            free = middle + half + _SPACE
        left = middle - half
        if month.year and left >= free_year:
            body += words(month.year, left, floor + 41, "d-name")
            free_year = left + text_width(month.year, SMALL) + _SPACE
    return body
