"""A vessel cut open from the side: its layers, plate, liquid, tap and lid."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import groupby

from sourloam.drawing.marks import state_mark
from sourloam.drawing.palette import SMALL, WIDE, sourness
from sourloam.drawing.shape import Outline
from sourloam.drawing.svg import document, fitted, line, path, tag, through, words

_PLAIN = {"full": "full", "half": "half", "labels": ""}
_LEFT, _RIGHT = 64.0, 124.0  # room beside a large drawing for words
_TALL, _BROAD = 250.0, WIDE - _LEFT - _RIGHT  # most that a large vessel takes
_SHELF_TALL, _USUAL_M = 94.0, 0.36  # a vessel of that height stands so many pixels tall
_LEAST_LABEL = 17  # px between labels


@dataclass(frozen=True)
class LayerPicture:
    """One layer; ``label`` is what to write beside it, ``spoiled`` that it went bad by itself."""

    mass_kg: float
    ph: float | None = None
    label: str = ""
    spoiled: bool = False


@dataclass(frozen=True)
class VesselPicture:
    """What is in a vessel now, oldest layer first.

    ``level`` is the share filled of the room between drain grid and headroom; ``liquid`` the
    share of the sump that stands full. ``marks`` are levels that people marked, as shares. A jar
    has no ``tap``, and no grid either. ``words`` are those of the level scale, and the heading of
    the layers' labels.
    """

    name: str
    state: str
    top_diameter_m: float = 0.30
    base_diameter_m: float = 0.26
    height_m: float = 0.36
    grid_height_m: float = 0.05
    headroom_m: float = 0.03
    layers: tuple[LayerPicture, ...] = ()
    level: float = 0.0
    liquid: float = 0.0
    plate: bool = True
    tap: bool = True
    marks: tuple[float, ...] = ()
    title: str = ""
    desc: str = ""
    words: Mapping[str, str] = field(default_factory=lambda: _PLAIN)

    @property
    def outline(self) -> Outline:
        """The inside of the vessel."""
        return Outline(self.top_diameter_m, self.base_diameter_m, self.height_m)


@dataclass(frozen=True)
class Frame:
    """Metres to pixels (``scale`` of them to a metre): the vessel's middle at ``x``, its floor at
    ``y``."""

    outline: Outline
    scale: float
    x: float
    y: float

    def edge(self, height_m: float, side: int, inset: float = 0.0) -> tuple[float, float]:
        """Point on the wall, left for ``side`` -1, right for 1."""
        half = self.outline.width_m(height_m) * self.scale / 2 - inset
        return self.x + side * half, self.y - height_m * self.scale

    def ring(self, low_m: float, high_m: float, inset: float = 0.0) -> str:
        """Path text of the inside between two heights."""
        corners = ((low_m, -1), (high_m, -1), (high_m, 1), (low_m, 1))
        return through(self.edge(h, side, inset) for h, side in corners) + "Z"


def draw_vessel(picture: VesselPicture, large: bool = True, standalone: bool = False) -> str:
    """SVG of a vessel: large with labels and level scale, or small for a shelf."""
    tall = _TALL if large else _on_shelf(picture.height_m)
    broad = _BROAD if large else tall * 0.95
    left, right = (_LEFT, _RIGHT) if large else (12.0, 12.0)
    scale = min(tall / picture.height_m, broad / picture.top_diameter_m)
    width = picture.top_diameter_m * scale + left + right
    above = 46.0 if large else 30.0
    height = picture.height_m * scale + above + 10
    middle = left + picture.top_diameter_m * scale / 2
    frame = Frame(picture.outline, scale, middle, height - 8)
    drawn = inside_and_body(picture, frame, large)
    if large:
        drawn += _scale_of_level(picture, frame) + _labels(picture, frame, width)
    title = picture.title or f"{picture.name}: {picture.state}"
    return document((width, height), drawn, title, picture.desc, standalone)


def inside_and_body(picture: VesselPicture, frame: Frame, large: bool = True) -> str:
    """The vessel alone, without words, standing where ``frame`` says."""
    return _inside(picture, frame, large) + _body(picture, frame, large)


def _on_shelf(height_m: float) -> float:
    """Pixels of a vessel's height on a shelf: taller ones stand out, none hits the next plank."""
    return min(max(_SHELF_TALL * math.sqrt(height_m / _USUAL_M), 66.0), 116.0)


def layer_tops_m(picture: VesselPicture) -> tuple[float, ...]:
    """Height of each layer's top above the floor, so that drawn volumes go by mass."""
    total = sum(layer.mass_kg for layer in picture.layers)
    if total <= 0:
        return ()
    outline = picture.outline
    sump = outline.below_m3(picture.grid_height_m)
    room = outline.below_m3(picture.height_m - picture.headroom_m) - sump
    filled = min(max(picture.level, 0.0), 1.0) * room
    tops, so_far = [], 0.0
    for layer in picture.layers:
        so_far += layer.mass_kg
        tops.append(outline.reach_m(sump + filled * so_far / total))
    return tuple(tops)


def _inside(picture: VesselPicture, frame: Frame, large: bool) -> str:
    empty = path(frame.ring(0, picture.height_m), "d-wall")
    return empty + _liquid(picture, frame) + _layers(picture, frame, large)


def _liquid(picture: VesselPicture, frame: Frame) -> str:
    share = min(max(picture.liquid, 0.0), 1.0)
    if share == 0:
        return ""
    outline = picture.outline
    top = outline.reach_m(share * outline.below_m3(picture.grid_height_m))
    return path(frame.ring(0, top, 2), "d-liquid")


def _layers(picture: VesselPicture, frame: Frame, large: bool) -> str:
    """Newest first, so that each older layer covers what lies below its own top."""
    drawn, floor = "", picture.grid_height_m
    spans = _spans(picture, large)
    for top, below, step, index in reversed(spans):
        drawn += path(_with_wavy_top(frame, top, floor, index), f"d-{step}")
        drawn += _flecks(frame, (below, top), step, index, large)
    return drawn


def _spans(picture: VesselPicture, large: bool) -> list[tuple[float, float, str, int]]:
    """(top, bottom, step, index) of each drawn layer; small ones run together by sourness."""
    spoiled = picture.state == "failed"
    steps = [
        "spoiled" if spoiled or layer.spoiled else sourness(layer.ph) for layer in picture.layers
    ]
    tops = layer_tops_m(picture)
    rows, below = [], picture.grid_height_m
    for index, (top, step) in enumerate(zip(tops, steps, strict=False)):
        rows.append((top, below, step, index))
        below = top
    if large:
        return rows
    runs = [list(run) for _, run in groupby(rows, key=lambda row: row[2])]
    return [(run[-1][0], run[0][1], run[0][2], run[0][3]) for run in runs]


def _with_wavy_top(frame: Frame, top: float, floor: float, index: int) -> str:
    (left, y), (right, _) = frame.edge(top, -1, 1.2), frame.edge(top, 1, 1.2)
    third, lift = (right - left) / 3, (1.6, -1.4, 1.0)[index % 3]
    wave = f"M{left:.1f} {y:.1f}c{third:.1f} {-lift * 2:.1f} {third * 2:.1f} {lift * 2:.1f} "
    wave += f"{third * 3:.1f} 0"
    (low_right, base), (low_left, _) = frame.edge(floor, 1, 1.2), frame.edge(floor, -1, 1.2)
    return f"{wave}L{low_right:.1f} {base:.1f}L{low_left:.1f} {base:.1f}Z"


_PIECES = ("q3 -4 6 0", "l4 3", "q-1 4 3 5", "l3 -4l2 3", "q4 1 3 5", "l5 -1")
_LOOSE = {"fresh": 1.0, "unknown": 0.35, "turning": 0.6, "souring": 0.28, "spoiled": 0.5}


def _flecks(frame: Frame, span: tuple[float, float], step: str, index: int, large: bool) -> str:
    """Pieces still to be seen in a layer: many when fresh, none when sour."""
    low, high = span
    tall = (high - low) * frame.scale
    if step not in _LOOSE or tall < 7:
        return ""
    wide = frame.outline.width_m((low + high) / 2) * frame.scale - 16
    many = int(wide * tall * _LOOSE[step] / (260 if large else 420))
    drawn = ""
    for piece in range(min(many, 40)):
        across = ((piece * 61 + index * 37) % 97) / 97
        up = ((piece * 43 + index * 29 + 11) % 89) / 89
        x = frame.x - wide / 2 + across * wide
        y = frame.y - low * frame.scale - 3 - up * (tall - 7)
        drawn += f"M{x:.0f} {y:.0f}{_PIECES[(piece + index) % len(_PIECES)]}"
    kind = "d-cross" if step == "spoiled" else "d-fleck"
    return path(drawn, kind) if drawn else ""


def _body(picture: VesselPicture, frame: Frame, large: bool) -> str:
    """Grid, wall, plate, tap and lid, drawn over the layers."""
    grid = line(
        *frame.edge(picture.grid_height_m, -1, 3),
        *frame.edge(picture.grid_height_m, 1, 3),
        "d-grid",
    )
    wall = path(frame.ring(0, picture.height_m), "d-line")
    tops = layer_tops_m(picture)
    plate = _plate(frame, tops[-1]) if tops and picture.plate else ""
    below = grid if picture.tap else ""
    tap = _tap(frame, picture, large) if picture.tap else ""
    return below + plate + wall + tap + _lid(frame, picture, large)


def _plate(frame: Frame, top: float) -> str:
    (left, y), (right, _) = frame.edge(top, -1, 6), frame.edge(top, 1, 6)
    slab = tag("rect", x=left, y=y - 6.0, width=right - left, height=6.0, rx=2, class_="d-plate")
    return slab + path(f"M{frame.x - 8:.1f} {y - 6:.1f}q8 -8 16 0", "d-line")


def _tap(frame: Frame, picture: VesselPicture, large: bool) -> str:
    x, y = frame.edge(picture.grid_height_m * 0.45, 1)
    size = 1.0 if large else 0.62
    spout = f"M{x:.1f} {y - 4 * size:.1f}h{11 * size:.1f}v{11 * size:.1f}h{-6 * size:.1f}"
    spout += f"v{-4 * size:.1f}h{-5 * size:.1f}Z"
    lever = f"M{x + 7 * size:.1f} {y - 4 * size:.1f}v{-5 * size:.1f}m{-5 * size:.1f} 0"
    return path(spout, "d-tap") + path(lever + f"h{10 * size:.1f}", "d-line")


def _lid(frame: Frame, picture: VesselPicture, large: bool) -> str:
    if picture.state in ("empty", "dirty"):
        return _rim(frame, picture) + state_mark(picture.state, frame.x, frame.y - 30, large)
    (left, y), (right, _) = (
        frame.edge(picture.height_m, -1, -5),
        frame.edge(picture.height_m, 1, -5),
    )
    thick = 9.0 if large else 6.0
    slab = tag("rect", x=left, y=y - thick, width=right - left, height=thick, rx=3, class_="d-lid")
    grip = path(f"M{frame.x - 13:.1f} {y - thick:.1f}q13 -12 26 0", "d-line")
    if picture.state == "filling":
        return slab + grip
    return slab + state_mark(picture.state, frame.x, y - thick, large)


def _rim(frame: Frame, picture: VesselPicture) -> str:
    (left, y), (right, _) = (
        frame.edge(picture.height_m, -1, -4),
        frame.edge(picture.height_m, 1, -4),
    )
    return line(left, y, right, y, "d-line")


def _scale_of_level(picture: VesselPicture, frame: Frame) -> str:
    """Quarters of the usable room at the left wall, and the levels that people marked."""
    bottom, top = picture.grid_height_m, picture.height_m - picture.headroom_m
    drawn = ""
    names = {2: picture.words.get("half", "½"), 4: picture.words.get("full", "1")}
    for quarter in range(1, 5):
        x, y = frame.edge(bottom + (top - bottom) * quarter / 4, -1)
        drawn += line(x - (14 if quarter in names else 8), y, x - 3, y, "d-fine")
        if quarter in names:
            shown = fitted(names[quarter], _LEFT - 22, SMALL)
            drawn += words(shown, x - 18, y + 4, "d-small", "end")
    for mark in picture.marks:
        x, y = frame.edge(bottom + (top - bottom) * min(max(mark, 0), 1), -1)
        drawn += level_mark(x - 2, y)
    return drawn


def level_mark(x: float, y: float) -> str:
    """The mark of a level that somebody wrote down, its tip at a point."""
    return path(f"M{x:.1f} {y:.1f}l-10 -5v10Z", "d-mark")


def _labels(picture: VesselPicture, frame: Frame, width: float) -> str:
    """What the newest layers are, from the top down, as far as there is room."""
    drawn, last = _heading(picture, frame), -1e9
    rows = list(zip(_spans(picture, True), picture.layers, strict=False))
    for (top, below, _, _), layer in reversed(rows):
        x, y = frame.edge((top + below) / 2, 1)
        if not layer.label or y - last < _LEAST_LABEL:
            continue
        last = y
        drawn += line(x + 2, y, x + 9, y, "d-fine")
        drawn += words(fitted(layer.label, width - x - 12, SMALL), x + 12, y + 4, "d-small")
    return drawn


def _heading(picture: VesselPicture, frame: Frame) -> str:
    """What the labels tell, over them."""
    text = picture.words.get("labels", "")
    if not text or not any(layer.label for layer in picture.layers):
        return ""
    x, y = frame.edge(picture.height_m, 1)
    return words(fitted(text, _RIGHT - 14, SMALL), x + 12, y + 2, "d-small")
