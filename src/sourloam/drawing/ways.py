"""What becomes of the same scraps on several ways: each way drawn, with what it gives off."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from sourloam.drawing.palette import SMALL
from sourloam.drawing.svg import document, fitted, line, path, tag, words

Way = Literal["ferment", "landfill", "incinerator", "compost_works", "heap", "well_run_heap"]
_ROW, _MARK, _LEFT, _RIGHT, _TOP, _FOOT = 62.0, 46.0, 58.0, 8.0, 6.0, 42.0
_BAR, _NAME, _BELOW = 30.0, 16.0, 53.0  # heights within a row: middle of the bar, words
_THICK = 12.0
_MORE = 17.0  # a row is that much taller where its figure needs a line of its own
_LARGE = 14.0
_BOLD, _DIGIT = 0.68, 7.2  # a bold letter to its size, also on paper; a digit
_LEAN = 0.8  # small words, by what they take on screen and on paper


@dataclass(frozen=True)
class WayRow:
    """One way: 10 %, middle and 90 % points, the same in words, and words below."""

    way: Way
    name: str
    low: float
    middle: float
    high: float
    figure: str
    below: str = ""


@dataclass(frozen=True)
class WaysPicture:
    """Ways one under the other on one scale; ``ticks`` are (value, words), the first at 0."""

    rows: tuple[WayRow, ...]
    ticks: tuple[tuple[float, str], ...]
    unit: str
    title: str
    desc: str = ""


def draw_ways(picture: WaysPicture, wide: float = 460.0, standalone: bool = False) -> str:
    """SVG of the ways; a bar from the 10 to the 90 % point and a stroke in the middle."""
    most = max([*(row.high for row in picture.rows), *(v for v, _ in picture.ticks), 1e-9])
    scale = (wide - _LEFT - _RIGHT - 12) / most
    apart = all(_room(row, wide) >= len(row.name) * _LARGE * _BOLD for row in picture.rows)
    tall = _ROW if apart else _ROW + _MORE
    foot = _TOP + tall * len(picture.rows)
    body = ""
    for value, said in picture.ticks:
        x = _LEFT + value * scale
        body += line(x, _TOP, x, foot, "d-scale")
        body += words(said, x, foot + 15, "d-small", "middle")
    body += words(fitted(picture.unit, wide - _LEFT, SMALL), _LEFT, foot + 33, "d-small")
    for number, row in enumerate(picture.rows):
        body += _row(row, _TOP + tall * number, scale, wide, apart)
    return document((wide, foot + _FOOT), body, picture.title, picture.desc, standalone)


def _room(row: WayRow, wide: float) -> float:
    """What the figure leaves of the line for the name."""
    return wide - _LEFT - _RIGHT - _DIGIT * len(row.figure) - 6


def _row(row: WayRow, top: float, scale: float, wide: float, apart: bool) -> str:
    """One way; its figure beside the name, or below on the right where names are long."""
    own = "" if row.way == "ferment" else "-other"
    drawn = tag("g", _MARKS[row.way](), transform=f"translate(2 {top + 6:.1f})")
    room = _room(row, wide) if apart else wide - _LEFT - _RIGHT
    drawn += words(fitted(row.name, room, _LARGE), _LEFT, top + _NAME, "d-name")
    at = top + (_NAME if apart else _BELOW)
    drawn += words(row.figure, wide - _RIGHT, at, "d-word", "end")
    x, y = _LEFT + row.low * scale, top + _BAR
    long = max((row.high - row.low) * scale, 2.0)
    drawn += tag(
        "rect", x=x, y=y - _THICK / 2, width=long, height=_THICK, rx=3, class_=f"d-reach{own}"
    )
    middle = _LEFT + row.middle * scale
    drawn += line(middle, y - _THICK / 2 - 3, middle, y + _THICK / 2 + 3, f"d-middle{own}")
    if row.below:
        below = fitted(row.below, wide - _LEFT, SMALL * _LEAN)
        drawn += words(below, _LEFT, top + _BELOW + (0.0 if apart else _MORE), "d-small")
    return drawn


def _vessel() -> str:
    """A pail over ground that grows."""
    pail = path("M11 4H33L30 26H14Z", "d-wall") + path("M9 4H35", "d-line")
    layers = path("M12.6 12H31.4L30 26H14Z", "d-deep") + path(
        "M12.2 9H31.8L31.4 12H12.6Z", "d-sour"
    )
    ground = tag("rect", x=1, y=32, width=42, height=12, class_="d-soil")
    return pail + layers + ground + path("M22 32v-4", "d-stem") + path("M14 39H30", "d-furrow")


def _landfill() -> str:
    """A covered mound with gas rising."""
    mound = path("M1 44Q8 22 22 20Q36 22 43 44Z", "d-soil")
    waste = path("M8 44Q13 29 22 28Q31 29 36 44Z", "d-spoiled")
    return (
        mound
        + waste
        + path("M13 14q4 -3 0 -7t0 -6M22 12q4 -3 0 -6t0 -6M31 14q4 -3 0 -7t0 -6", "d-fine")
    )


def _chimney() -> str:
    """A house with a chimney."""
    house = path("M2 44V27H26V44Z", "d-wall") + path("M28 44L30 8H38L40 44Z", "d-wall")
    fire = path("M14 41c-5 -3 -4 -8 -1 -10c0 3 4 3 4 6c1 2 -1 4 -3 4Z", "d-moon")
    return house + fire + path("M34 6q5 -2 2 -5", "d-fine")


def _works() -> str:
    """Long rows under a roof."""
    roof = path("M2 16L22 5L42 16", "d-line") + path("M6 15V44M38 15V44", "d-line")
    return roof + path("M9 44Q15 27 21 44ZM23 44Q29 27 35 44Z", "d-soil")


def _heap() -> str:
    """A heap between boards."""
    boards = path("M6 20V44M38 20V44", "d-line")
    return path("M8 44Q13 18 22 18Q31 18 36 44Z", "d-soil") + boards


def _aired() -> str:
    """The same, with air going through."""
    return _heap() + path("M0 30H8M36 30H44M4 27l4 3l-4 3M40 27l4 3l-4 3", "d-frost")


_MARKS = {
    "ferment": _vessel,
    "landfill": _landfill,
    "incinerator": _chimney,
    "compost_works": _works,
    "heap": _heap,
    "well_run_heap": _aired,
}
