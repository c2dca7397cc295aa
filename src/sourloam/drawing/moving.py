"""What moves an answer most: one input a row, from its low to its high point."""

from __future__ import annotations

from dataclasses import dataclass

from sourloam.drawing.palette import SMALL
from sourloam.drawing.svg import document, fitted, line, tag, text_width, words

_ROW, _TOP, _FOOT, _SIDE, _GAP = 44.0, 8.0, 26.0, 6.0, 9.0
_NAME, _BAR = 15.0, 30.0  # heights within a row
_PLAIN = 13.0


@dataclass(frozen=True)
class Mover:
    """One input: the answer with it at its low and at its high point, and both in words."""

    name: str
    at_low: float
    at_high: float
    low_words: str
    high_words: str


@dataclass(frozen=True)
class MoversPicture:
    """Inputs, widest first, about the ``middle``, which has its own words."""

    movers: tuple[Mover, ...]
    middle: float
    middle_words: str
    title: str
    desc: str = ""


def draw_movers(picture: MoversPicture, wide: float = 460.0, standalone: bool = False) -> str:
    """SVG: a ring where the input is low, a dot where it is high."""
    ends = [x for m in picture.movers for x in (m.at_low, m.at_high)] + [picture.middle]
    least, most = min(ends), max(ends)
    said = [w for m in picture.movers for w in (m.low_words, m.high_words)]
    side = max((text_width(w, SMALL) for w in said), default=0.0) + _GAP + _SIDE
    scale = (wide - 2 * side) / ((most - least) or 1.0)
    foot = _TOP + _ROW * len(picture.movers)

    def at(value: float) -> float:
        return side + (value - least) * scale

    middle = at(picture.middle)
    body = ""
    for number, mover in enumerate(picture.movers):
        top = _TOP + _ROW * number
        body += line(middle, top + _NAME + 4, middle, top + _ROW - 3, "d-scale")
        body += words(fitted(mover.name, wide, _PLAIN), _SIDE, top + _NAME, "d-word")
        body += _bar(mover, top + _BAR, at(mover.at_low), at(mover.at_high))
    half = text_width(picture.middle_words, SMALL) / 2
    at_foot = min(max(middle, half), wide - half)
    body += words(picture.middle_words, at_foot, foot + 14, "d-small", "middle")
    return document((wide, foot + _FOOT), body, picture.title, picture.desc, standalone)


def _bar(mover: Mover, y: float, low: float, high: float) -> str:
    left, right = min(low, high), max(low, high)
    drawn = tag("rect", x=left, y=y - 4, width=max(right - left, 1), height=8, class_="d-reach")
    drawn += tag("circle", cx=low, cy=y, r=5, class_="d-ring")
    drawn += tag("circle", cx=high, cy=y, r=5, class_="d-dot")
    first, last = (mover.low_words, mover.high_words)
    if low > high:
        first, last = last, first
    drawn += words(first, left - _GAP, y + 4, "d-small", "end")
    return drawn + words(last, right + _GAP, y + 4, "d-small")
