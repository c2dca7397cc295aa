"""A bed seen from above: trenches by how far they are, and what grows."""

from __future__ import annotations

from dataclasses import dataclass, replace

from sourloam.drawing.palette import SMALL, WIDE
from sourloam.drawing.svg import document, fitted, line, path, tag, words

_EDGE, _HEAD, _FOOT = 4.0, 28.0, 30.0
_SWATCH = (22.0, 18.0)
_LETTER = 7.0  # about the width of a letter of a label


@dataclass(frozen=True)
class TrenchPicture:
    """Buried ferment: ``along_m`` is where its near edge lies from the bed's start.

    ``state`` is working (acid still, do not plant), soon or open (may be planted).
    """

    along_m: float
    width_m: float
    state: str
    label: str = ""


@dataclass(frozen=True)
class PlantingPicture:
    """A crop that stands on a stretch of the bed."""

    crop: str
    from_m: float
    to_m: float
    label: str = ""


@dataclass(frozen=True)
class DigPicture:
    """A trench still to be dug: its middle from the bed's beginning, with words for its length
    and for that way."""

    middle_m: float
    width_m: float
    length_m: float
    long: str = ""
    along: str = ""


@dataclass(frozen=True)
class BedPicture:
    """One bed; trenches run across its width."""

    name: str
    length_m: float
    width_m: float
    trenches: tuple[TrenchPicture, ...] = ()
    plantings: tuple[PlantingPicture, ...] = ()
    title: str = ""
    desc: str = ""
    metre: str = "1 m"
    dig: DigPicture | None = None

    def __post_init__(self) -> None:
        if min(self.length_m, self.width_m) <= 0:
            raise ValueError(f"{self.name}: length and width must be above 0")


def draw_bed(picture: BedPicture, standalone: bool = False) -> str:
    """SVG of a bed in plan, to scale along its length."""
    scale = (WIDE - 2 * _EDGE) / picture.length_m
    tall = min(max(picture.width_m * scale, 84.0), 170.0)
    soil = tag("rect", x=_EDGE, y=_HEAD, width=WIDE - 2 * _EDGE, height=tall, rx=6, class_="d-soil")
    body = soil + _furrows(tall)
    for planting in picture.plantings:
        body += _planting(planting, picture.length_m, scale, tall)
    for trench in _labelled(picture, scale):
        body += _trench(trench, picture.length_m, scale, tall)
    body += _measure(picture, scale, tall) if picture.dig is None else _dig(picture, scale, tall)
    size = (WIDE, _HEAD + tall + _FOOT)
    return document(size, body, picture.title or picture.name, picture.desc, standalone)


def draw_bed_swatch(state: str) -> str:
    """A small piece of bed for the list that explains it: a trench by its state, or growing."""
    wide, high = _SWATCH
    if state == "growing":
        inside = path(
            "M11 15c-4 -8 -8 -8 -10 -6c1 5 5 7 10 6c1 -9 6 -11 10 -10c1 7 -4 11 -10 10Z", "d-leaf"
        )
    else:
        kind = "d-open" if state == "open" else "d-trench"
        inside = tag("rect", x=2.0, y=1.0, width=wide - 4, height=high - 2, rx=3, class_=kind)
        inside += _strokes(state, 2.0, 1.0, wide - 4, high - 2)
    return tag("svg", inside, viewBox=f"0 0 {wide:g} {high:g}", aria_hidden="true")


def _labelled(picture: BedPicture, scale: float) -> list[TrenchPicture]:
    """Trenches along the bed, without labels that would overlap the one before; where there is
    something to dig, only that is labelled."""
    found: list[TrenchPicture] = []
    free = -_LETTER if picture.dig is None else WIDE
    for trench in sorted(picture.trenches, key=lambda one: one.along_m):
        middle = (trench.along_m + trench.width_m / 2) * scale
        half = _LETTER * len(trench.label) / 2
        hidden = bool(trench.label) and middle - half < free
        if not hidden:
            free = middle + half
        found.append(replace(trench, label="") if hidden else trench)
    return found


def _furrows(tall: float) -> str:
    """Raked lines, so that bare ground looks like ground."""
    strokes = ""
    for row in range(1, max(2, int(tall / 15))):
        left, right = _EDGE + 8 + row * 17 % 29, WIDE - _EDGE - 9 - row * 23 % 37
        strokes += f"M{left:.0f} {_HEAD + row * 15:.0f}H{right:.0f}"
    return path(strokes, "d-furrow")


def _within(value: float, most: float) -> float:
    return min(max(value, 0.0), most)


def _trench(trench: TrenchPicture, length: float, scale: float, tall: float) -> str:
    left = _EDGE + _within(trench.along_m, length) * scale
    wide = _EDGE + _within(trench.along_m + trench.width_m, length) * scale - left
    top = _HEAD + 6
    kind = "d-open" if trench.state == "open" else "d-trench"
    box = tag("rect", x=left, y=top, width=max(wide, 4.0), height=tall - 12, rx=4, class_=kind)
    hatch = _strokes(trench.state, left, top, max(wide, 4.0), tall - 12)
    label = fitted(trench.label, max(wide + 60, 70), SMALL)
    middle = _within(left + wide / 2, WIDE)
    anchor = "start" if middle < 70 else "end" if middle > WIDE - 70 else "middle"
    x = left if anchor == "start" else left + wide if anchor == "end" else middle
    return box + hatch + words(label, x, _HEAD - 8, "d-small", anchor)


def _strokes(state: str, left: float, top: float, wide: float, tall: float) -> str:
    if state == "working":
        return _hatch(left, top, wide, tall)
    if state == "soon":
        return line(left + wide / 2, top + 5, left + wide / 2, top + tall - 5, "d-hatch")
    return ""


def _hatch(left: float, top: float, wide: float, tall: float) -> str:
    strokes, y = "", top + 4
    while y < top + tall - 4:
        strokes += f"M{left + 3:.1f} {y + min(wide, 8) / 2:.1f}L{left + wide - 3:.1f} {y:.1f}"
        y += 9
    return path(strokes, "d-hatch")


def _planting(planting: PlantingPicture, length: float, scale: float, tall: float) -> str:
    left = _EDGE + _within(planting.from_m, length) * scale
    right = _EDGE + _within(planting.to_m, length) * scale
    drawn, step = "", 32.0
    rows = max(1, int(tall / 40))
    count = max(1, int((right - left) / step))
    for row in range(rows):
        y = _HEAD + 20 + (tall - 20) * (row + 0.7) / rows
        for place in range(count):
            x = left + (right - left) * (place + 0.5) / count
            drawn += f"M{x:.0f} {y:.0f}c-4 -8 -10 -8 -12 -6c1 5 6 8 12 6"
            drawn += "c1 -9 7 -11 12 -10c1 7 -4 11 -12 10Z"
    shown = fitted(planting.label or planting.crop, right - left - 8)
    return path(drawn, "d-leaf") + words(shown, left + 6, _HEAD + 18, "d-name")


def _measure(picture: BedPicture, scale: float, tall: float) -> str:
    y = _HEAD + tall + 14
    whole = min(1.0, picture.length_m)
    bar = path(f"M{_EDGE} {y - 4:.1f}v8M{_EDGE} {y:.1f}h{whole * scale:.1f}m0 -4v8", "d-fine")
    return bar + words(picture.metre, _EDGE + whole * scale + 8, y + 4, "d-small")


def _dig(picture: BedPicture, scale: float, tall: float) -> str:
    """Where to dig, in the colour of what is to be done now, and how far along that is."""
    dig = picture.dig
    assert dig is not None
    middle = _EDGE + _within(dig.middle_m, picture.length_m) * scale
    wide, high = (
        max(dig.width_m * scale, 6.0),
        (tall - 12) * _within(dig.length_m / picture.width_m, 1.0),
    )
    left = _within(middle - wide / 2, WIDE - _EDGE - wide)
    box = tag(
        "rect", x=left, y=_HEAD + 6, width=wide, height=high, rx=4, class_="d-middle",
        stroke_dasharray="7 4",
    )  # fmt: skip
    anchor = "start" if middle < 70 else "end" if middle > WIDE - 70 else "middle"
    label = words(fitted(dig.long, WIDE / 2, SMALL), middle, _HEAD - 8, "d-word", anchor)
    y = _HEAD + tall + 14
    way = path(f"M{_EDGE} {y - 4:.1f}v8M{_EDGE} {y:.1f}H{middle:.1f}m0 -4v8", "d-line")
    near = middle < WIDE / 2
    far = words(dig.along, middle + (8 if near else -8), y + (4 if near else 15), "d-small",
                None if near else "end")  # fmt: skip
    return box + label + way + far
