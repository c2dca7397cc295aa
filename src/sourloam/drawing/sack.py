"""A lot of inoculated bran: a sack as full as it still is, with its strength on a scale beside."""

from __future__ import annotations

from dataclasses import dataclass

from sourloam.drawing.palette import SMALL
from sourloam.drawing.svg import document, fitted, line, path, tag, words

_WIDE, _TALL = 84.0, 118.0
_LEFT, _TOP, _FLOOR = 10.0, 18.0, 114.0
_SCALE_X, _SCALE_TOP, _SCALE_FLOOR = 116.0, 20.0, 110.0
_BROAD = _SCALE_X + 37.0
_LETTERS = 1.2
_WEAKEST, _STRONGEST = 3.0, 9.0  # powers of ten at both ends of the scale


@dataclass(frozen=True)
class SackPicture:
    """A lot as it lies there. ``fill`` is the share that is left; ``strength`` low, middle, high
    as powers of ten a gram, None where nobody can tell; ``need`` the least that is enough.

    ``state`` is souring, dried, store, used_up or recalled; ``sign`` a few letters on the sack.
    """

    name: str
    state: str
    fill: float
    strength: tuple[float, float, float] | None = None
    need: float = 6.4
    sign: str = ""
    title: str = ""
    desc: str = ""


def draw_sack(picture: SackPicture, standalone: bool = False) -> str:
    """SVG of one lot."""
    tub = picture.state == "souring"
    body = _tub(picture) if tub else _sack(picture)
    if picture.strength is not None:
        body += _scale(picture.strength, picture.need)
    else:  # as wide as the others, so that sacks on a shelf are all alike
        body = tag("g", body, transform=f"translate({(_BROAD - 2 * _LEFT - _WIDE) / 2:g} 0)")
    title = picture.title or picture.name
    return document((_BROAD, _TALL + 4), body, title, picture.desc, standalone)


def _sack(picture: SackPicture) -> str:
    """Sides that bulge with what is in it; tied at the neck while it is in store."""
    left, right = _LEFT, _LEFT + _WIDE
    fill = min(max(picture.fill, 0.0), 1.0)
    level = _FLOOR - 4 - fill * (_FLOOR - _TOP - 22)
    outline = (
        f"M{left + 22} {_TOP}C{left - 8} {_TOP + 34} {left - 2} {_FLOOR} {left + 12} {_FLOOR}"
        f"L{right - 12} {_FLOOR}C{right + 2} {_FLOOR} {right + 8} {_TOP + 34} {right - 22} {_TOP}Z"
    )
    bran = (
        f"M{left + 5} {level:.1f}q{_WIDE / 2 - 5:.1f} -9 {_WIDE - 10:.1f} 0"
        f"L{right - 5} {_FLOOR - 12}Q{right - 6} {_FLOOR - 3} {right - 14} {_FLOOR - 3}"
        f"L{left + 14} {_FLOOR - 3}Q{left + 6} {_FLOOR - 3} {left + 5} {_FLOOR - 12}Z"
    )
    drawn = path(outline, "d-wall") + (path(bran, "d-plate") if fill > 0 else "")
    drawn += path(outline, "d-line") + _neck(picture.state, (left + right) / 2)
    if picture.sign:
        drawn += _paper(picture.sign, (left + right) / 2)
    if picture.state == "recalled":
        drawn += path(f"M{left + 10} {_TOP + 14}L{right - 10} {_FLOOR - 10}", "d-bad")
        drawn += path(f"M{right - 10} {_TOP + 14}L{left + 10} {_FLOOR - 10}", "d-bad")
    return drawn


def _neck(state: str, middle: float) -> str:
    if state in ("dried", "used_up"):
        return path(f"M{middle - 20} {_TOP}q20 8 40 0", "d-line")
    tie = f"M{middle - 14} {_TOP}l-7 -14q21 6 42 0l-7 14M{middle - 16} {_TOP}h32"
    return path(tie, "d-line")


def _tub(picture: SackPicture) -> str:
    """A closed tub that can vent: a batch that sours."""
    left, right = _LEFT + 4, _LEFT + _WIDE - 4
    ring = f"M{left} {_TOP + 12}L{left + 5} {_FLOOR}L{right - 5} {_FLOOR}L{right} {_TOP + 12}Z"
    bran = (
        f"M{left + 2} {_TOP + 30}L{left + 7} {_FLOOR - 3}L{right - 7} {_FLOOR - 3}"
        f"L{right - 2} {_TOP + 30}Z"
    )
    lid = tag("rect", x=left - 4, y=_TOP + 4, width=right - left + 8, height=8.0, rx=3,
              class_="d-lid")  # fmt: skip
    gas = path(f"M{right - 16} {_TOP + 2}q6 -6 0 -11M{right - 6} {_TOP + 2}q6 -6 0 -11", "d-fine")
    paper = _paper(picture.sign, (left + right) / 2) if picture.sign else ""
    return path(ring, "d-wall") + path(bran, "d-plate") + path(ring, "d-line") + lid + gas + paper


def _paper(text: str, middle: float) -> str:
    shown = fitted(text, 66, SMALL * _LETTERS)
    slip = tag("rect", x=middle - 35, y=63.0, width=70.0, height=24.0, rx=2, class_="d-mark")
    return slip + _large(shown, middle, 80.5, "middle")


def _large(text: str, x: float, y: float, anchor: str | None = None) -> str:
    """Words that can still be read where three sacks stand side by side on a phone."""
    shown = words(text, 0.0, 0.0, "d-small", anchor)
    return tag("g", shown, transform=f"translate({x:.1f} {y:.1f}) scale({_LETTERS:g})")


def _scale(strength: tuple[float, float, float], need: float) -> str:
    """Powers of ten from below: the band that is likely, its middle, the line of enough."""
    low, middle, high = (_height(value) for value in strength)
    band = tag("rect", x=_SCALE_X - 7, y=high, width=14.0, height=max(low - high, 2.0), rx=3,
               class_="d-band")  # fmt: skip
    drawn = line(_SCALE_X, _SCALE_TOP, _SCALE_X, _SCALE_FLOOR, "d-fine") + band
    drawn += line(_SCALE_X - 9, middle, _SCALE_X + 9, middle, "d-middle")
    enough = _height(need)
    drawn += line(_SCALE_X - 14, enough, _SCALE_X + 14, enough, "d-limit")
    for power in (4, 6, 8):
        y = _height(power)
        drawn += line(_SCALE_X + 3, y, _SCALE_X + 7, y, "d-fine")
        drawn += _large(_power(power), _SCALE_X + 11, y + 5)
    return drawn


def _power(power: int) -> str:
    return "10" + "⁰¹²³⁴⁵⁶⁷⁸⁹"[power]


def _height(value: float) -> float:
    share = (min(max(value, _WEAKEST), _STRONGEST) - _WEAKEST) / (_STRONGEST - _WEAKEST)
    return _SCALE_FLOOR - share * (_SCALE_FLOOR - _SCALE_TOP)
