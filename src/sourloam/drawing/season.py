"""A season: one strip for each vessel, coloured and marked by its state."""

from __future__ import annotations

from dataclasses import dataclass

from sourloam.drawing.palette import SMALL
from sourloam.drawing.svg import document, fitted, line, path, tag, text_width, words

_ROW, _HEAD = 26.0, 28.0
_SWATCH = (22.0, 18.0)
_NAMES_SHARE, _LONG_SHARE = 0.22, 0.34  # of the width, left of the strips: usually, at most
_NAMES_GAP = 8.0


@dataclass(frozen=True)
class Strip:
    """Spans of one vessel: (first day, day after the last, state), days from the season's start."""

    name: str
    spans: tuple[tuple[float, float, str], ...]


@dataclass(frozen=True)
class SeasonPicture:
    """Strips over ``days`` days; ``ticks`` are (day, words) above them; ``wide`` in pixels."""

    days: float
    strips: tuple[Strip, ...]
    ticks: tuple[tuple[float, str], ...]
    title: str
    desc: str = ""
    today: float | None = None
    wide: float = 760.0

    @property
    def names(self) -> float:
        """Room for the names: as much as the longest asks for, within bounds."""
        longest = max((text_width(strip.name) for strip in self.strips), default=0.0)
        usual = min(_NAMES_SHARE * self.wide, 130.0)
        return min(max(usual, longest + _NAMES_GAP), max(usual, _LONG_SHARE * self.wide))

    def __post_init__(self) -> None:
        if self.days <= 0:
            raise ValueError("a season has at least a day")


def draw_season(picture: SeasonPicture, standalone: bool = False) -> str:
    """SVG of the strips."""
    height = _HEAD + _ROW * len(picture.strips) + 8
    body = ""
    for day, label in picture.ticks:
        x = _at(day, picture)
        body += line(x, _HEAD - 6, x, height - 4, "d-fine")
        body += _tick_words(label, x, picture.wide)
    for row, strip in enumerate(picture.strips):
        body += _strip(strip, _HEAD + row * _ROW, picture)
    if picture.today is not None:
        x = _at(picture.today, picture)
        body += line(x, _HEAD - 6, x, height - 4, "d-today")
    return document((picture.wide, height), body, picture.title, picture.desc, standalone)


def _tick_words(label: str, x: float, wide: float) -> str:
    """Right of its line; before the edge where there is no room for it."""
    if x + 3 + text_width(label, SMALL) <= wide:
        return words(label, x + 3, _HEAD - 12, "d-small")
    return words(label, wide - 1, _HEAD - 12, "d-small", "end")


def _at(day: float, picture: SeasonPicture) -> float:
    share = min(max(day / picture.days, 0.0), 1.0)
    return picture.names + share * (picture.wide - picture.names - 8)


def _strip(strip: Strip, y: float, picture: SeasonPicture) -> str:
    drawn = words(_name(strip.name, picture.names - _NAMES_GAP), 2, y + 15, "d-word")
    for first, last, state in strip.spans:
        x, x2 = _at(first, picture), _at(last, picture)
        kind = f"d-s-{state}"
        drawn += tag("rect", x=x, y=y + 2, width=max(x2 - x, 1.5), height=18.0, rx=3, class_=kind)
        drawn += _texture(x, x2, y + 2, state)
    return drawn


def _name(name: str, width: float) -> str:
    """A name that is too long keeps its last word: often that alone tells it from the others."""
    if text_width(name) <= width:
        return name
    start, _space, last = name.rpartition(" ")
    room = width - text_width(f" {last}")
    return f"{fitted(start, room)} {last}" if start and room > width / 3 else fitted(name, width)


def draw_strip_swatch(state: str) -> str:
    """A small piece of strip for the list that explains it, with the strokes of its state."""
    wide, high = _SWATCH
    rect = tag("rect", width=wide, height=high, class_=f"d-s-{state}")
    strokes = _texture(0.0, wide, 0.0, state)
    return tag("svg", rect + strokes, viewBox=f"0 0 {wide:g} {high:g}", aria_hidden="true")


def _texture(x: float, x2: float, y: float, state: str) -> str:
    """Strokes that tell the states apart without colour."""
    step, stroke = {
        "filling": (9, "l5 -12"),
        "held": (11, "v-12"),
        "failed": (8, "l6 -12m-6 0l6 12"),
    }.get(state, (0, ""))
    if not step:
        return ""
    places = range(int(x) + 4, int(x2) - 6, step)
    marks = "".join(f"M{place} {y + 15:.0f}{stroke}" for place in places)
    return path(marks, "d-hatch") if marks else ""
