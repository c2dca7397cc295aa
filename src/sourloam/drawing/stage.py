"""A vessel on its block with all that acts on it: warmth, weight, bran, air, and the jug."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, pi, sin

from sourloam.drawing.marks import state_mark
from sourloam.drawing.svg import document, path, tag, through, words
from sourloam.drawing.vessel import Frame, VesselPicture, inside_and_body, layer_tops_m

_SIZE = (310.0, 362.0)
_FLOOR, _BLOCK, _MIDDLE = 354.0, 64.0, 152.0
_TALL, _WIDE = 226.0, 186.0  # most pixels of a vessel
_COLDEST, _WARMEST = 0.0, 40.0  # degC at the ends of the thermometer
_COOL, _HOT = 10.0, 30.0  # degC below which a snow star hangs there, above which a sun
_HAIRS = 11
_LETTERS = 1.6  # two stand side by side on a phone, so letters are that much larger


@dataclass(frozen=True)
class StagePicture:
    """One vessel of a comparison.

    ``stone``, ``bran``, ``air`` and ``jug`` are shares from 0 to 1: the weight on the plate, the
    dusting between layers, the air that comes in, how full the jug under the tap is. ``mark`` is
    the state shown on the lid, if any. ``spoilt_top`` draws mould on the newest layer.
    """

    vessel: VesselPicture
    letter: str
    warmth_c: float
    warmth_word: str
    title: str
    desc: str = ""
    stone: float = 0.0
    bran: float = 0.0
    air: float = 0.0
    jug: float = 0.0
    jug_word: str = ""
    mark: str = ""
    spoilt_top: bool = False
    drips: bool = False


def draw_stage(picture: StagePicture, standalone: bool = False) -> str:
    """SVG of a vessel on its block."""
    frame = _frame(picture.vessel)
    drawn = _block(picture.letter) + _thermometer(picture)
    drawn += inside_and_body(picture.vessel, frame)
    drawn += _bran(picture, frame) + _on_top(picture, frame) + _air(picture, frame)
    if picture.vessel.tap:
        drawn += _jug(picture)
    _, rim = frame.edge(picture.vessel.height_m, 1)
    drawn += state_mark(picture.mark, frame.x, rim - 14, True) if picture.mark else ""
    return document(_SIZE, drawn, picture.title, picture.desc, standalone)


def _frame(vessel: VesselPicture) -> Frame:
    scale = min(_TALL / vessel.height_m, _WIDE / vessel.top_diameter_m)
    return Frame(vessel.outline, scale, _MIDDLE, _FLOOR - _BLOCK)


def _block(letter: str) -> str:
    """The block that lifts the tap over the jug; its letter is stencilled on."""
    top = _FLOOR - _BLOCK
    wood = tag("rect", x=76.0, y=top, width=156.0, height=_BLOCK, rx=3, class_="d-plank")
    grain = f"M84 {top + 14:.0f}q30 -5 58 0t84 -2M82 {top + 31:.0f}q52 6 80 -1t64 2"
    grain += f"M88 {top + 49:.0f}q44 -6 72 1t66 -3"
    shown = words(letter, 0.0, 0.0, "d-name", "middle")
    card = tag("rect", x=129.0, y=top + 13, width=38.0, height=38.0, rx=3, class_="d-mark")
    placed = tag("g", shown, transform=f"translate(148 {top + 42:.0f}) scale(2)")
    return wood + path(grain, "d-grain") + card + placed


def _thermometer(picture: StagePicture) -> str:
    x, top, bottom = 26.0, 86.0, 258.0
    share = (picture.warmth_c - _COLDEST) / (_WARMEST - _COLDEST)
    y = bottom - 12 - min(max(share, 0.0), 1.0) * (bottom - top - 22)
    tube = f"M{x - 7} {bottom - 12}V{top + 7}a7 7 0 0 1 14 0V{bottom - 12}a13 13 0 1 1 -14 0Z"
    drawn = path(tube, "d-wall")
    drawn += tag("circle", cx=x, cy=bottom, r=8.0, class_="d-s-filling")
    drawn += tag("rect", x=x - 3.5, y=y, width=7.0, height=bottom - y, rx=3, class_="d-s-filling")
    ticks = "".join(
        f"M{x + 9:.0f} {bottom - 12 - t / 8 * (bottom - top - 22):.1f}h{9 if t % 2 == 0 else 5}"
        for t in range(9)
    )
    drawn += path(ticks, "d-fine") + _weather(picture.warmth_c, x, top - 26)
    return drawn + _large(picture.warmth_word, 2.0, bottom + 38, "start")


def _weather(warmth_c: float, x: float, y: float) -> str:
    if warmth_c < _COOL:
        return state_mark("held", x, y + 14, True)
    if warmth_c < _HOT:
        return ""
    rays = "".join(
        f"M{x + 12 * cos(i * pi / 4):.1f} {y + 12 * sin(i * pi / 4):.1f}"
        f"L{x + 17 * cos(i * pi / 4):.1f} {y + 17 * sin(i * pi / 4):.1f}"
        for i in range(8)
    )
    return tag("circle", cx=x, cy=y, r=9.0, class_="d-moon") + path(rays, "d-line")


def _bran(picture: StagePicture, frame: Frame) -> str:
    """Grains along the top of each layer, the more the stronger the dose."""
    many = round(26 * min(max(picture.bran, 0.0), 1.0))
    if many == 0:
        return ""
    drawn = ""
    for index, top in enumerate(layer_tops_m(picture.vessel)):
        (left, y), (right, _) = frame.edge(top, -1, 9), frame.edge(top, 1, 9)
        for grain in range(many):
            across = (grain + ((grain * 7 + index * 5) % 11) / 11) / many
            x = left + across * (right - left)
            drawn += f"M{x:.0f} {y + 1 + (grain * 3 + index) % 4:.0f}h1.6"
    return path(drawn, "d-bran")


def _on_top(picture: StagePicture, frame: Frame) -> str:
    """What lies on the newest layer: mould, and a stone on the plate."""
    tops = layer_tops_m(picture.vessel)
    if not tops:
        return ""
    (left, y), (right, _) = frame.edge(tops[-1], -1, 6), frame.edge(tops[-1], 1, 6)
    drawn = ""
    if picture.vessel.plate:
        y -= 6.0
        drawn += _stone(picture.stone, frame.x, y)
    return drawn + (_mould(left, right, y) if picture.spoilt_top else "")


def _stone(share: float, x: float, y: float) -> str:
    if share <= 0:
        return ""
    half, tall = 16 + 40 * share, 10 + 22 * share
    shape = f"M{x - half:.1f} {y:.1f}q{-0.12 * half:.1f} {-tall:.1f} {0.7 * half:.1f} {-tall:.1f}"
    shape += f"q{0.6 * half:.1f} {-0.2 * tall:.1f} {1.1 * half:.1f} {0.1 * tall:.1f}"
    shape += f"q{0.5 * half:.1f} {0.2 * tall:.1f} {0.2 * half:.1f} {0.9 * tall:.1f}Z"
    vein = f"M{x - 0.5 * half:.1f} {y - 0.4 * tall:.1f}q{0.3 * half:.1f} -3 {0.6 * half:.1f} 1"
    return path(shape, "d-lid") + path(vein, "d-line")


def _mould(left: float, right: float, y: float) -> str:
    """Stalks with heads, as bread mould has them."""
    stalks, heads = "", ""
    for hair in range(_HAIRS):
        x = left + (right - left) * (hair + 0.5) / _HAIRS
        tall = 9 + (hair * 5) % 8
        lean = (hair * 3) % 5 - 2
        stalks += f"M{x:.1f} {y:.1f}q{lean:.0f} {-tall / 2:.1f} {lean:.0f} {-tall:.0f}"
        heads += tag("circle", cx=x + lean, cy=y - tall, r=2.6, class_="d-seen")
    return path(stalks, "d-line") + heads


def _air(picture: StagePicture, frame: Frame) -> str:
    """Curls of air that find their way under the lid."""
    many = round(3 * min(max(picture.air, 0.0), 1.0) + 0.35) if picture.air > 0 else 0
    drawn = ""
    for curl in range(many):
        x, y = frame.edge(picture.vessel.height_m, 1)
        start, up = x + 54 - 4 * curl, y - 26 + 17 * curl
        drawn += f"M{start:.0f} {up:.0f}c-12 -12 -22 2 -12 7c9 3 12 -11 -2 -11"
        drawn += f"c-12 0 -16 {8 - 2 * curl} -26 {9 - 2 * curl}m7 -6l-7 6l8 3"
    return path(drawn, "d-frost") if drawn else ""


def _jug(picture: StagePicture) -> str:
    """The jug under the tap, how much has come in all, and a drop while it comes."""
    left, right, top, bottom = 248.0, 292.0, _FLOOR - 54, _FLOOR
    glass = through([(left, top), (left + 3, bottom), (right - 3, bottom), (right, top)]) + "Z"
    handle = path(f"M{right - 1} {top + 10:.0f}q15 4 12 20q-2 12 -13 12", "d-line")
    drawn = handle + path(glass, "d-wall")
    share = min(max(picture.jug, 0.0), 1.0)
    if share > 0:
        y = bottom - share * (bottom - top - 6)
        drawn += path(
            through(
                [(left + 2, y), (left + 4, bottom - 1), (right - 4, bottom - 1), (right - 2, y)]
            )
            + "Z",
            "d-liquid",
        )
    marks = "".join(
        f"M{left + 3} {bottom - 13 * k:.0f}h{11 if k % 2 == 0 else 7}" for k in (1, 2, 3)
    )
    drawn += path(marks, "d-line")
    if picture.drips:
        drawn += path("M257 288c-4 6 -3 9 0 9s4 -3 0 -9Z", "d-moon")
    return drawn + _over_jug(picture.jug_word, right)


def _over_jug(text: str, right: float) -> str:
    """The amount above its unit: there is no room for both beside the tap."""
    figure, _gap, unit = text.replace("\N{NO-BREAK SPACE}", " ").partition(" ")
    lines = ((figure, 104), (unit, 82)) if text else ()
    return "".join(_large(said, right + 16, _FLOOR - up, "end") for said, up in lines)


def _large(text: str, x: float, y: float, anchor: str) -> str:
    """Words that can still be read where the whole drawing is as wide as half a phone."""
    shown = words(text, 0.0, 0.0, "d-name", anchor)
    return tag("g", shown, transform=f"translate({x:.0f} {y:.0f}) scale({_LETTERS:g})")
