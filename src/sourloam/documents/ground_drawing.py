"""A trench cut through and a bed from above, both to scale: one unit of the drawing is 1 mm."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Protocol

from sourloam.documents.speech import Speech
from sourloam.documents.typesetting import with_rules
from sourloam.drawing.svg import document, line, path, tag, words
from sourloam.garden.contract import BurialAnswer, TrenchPiece

_SCALES = (2, 5, 10, 20, 25, 50, 100, 200, 250, 500, 1000, 2000)
_MM_PER_M = 1000.0
_LETTER_MM, _LEAST_BAR_MM = 2.4, 8.0
_WORD = "d-print"  # type of the sheet, in mm


class Ground(Protocol):
    """A bed, m."""

    @property
    def name(self) -> str:
        """What people call it."""

    @property
    def length(self) -> float:
        """Along which trenches follow each other."""

    @property
    def width(self) -> float:
        """Along which a trench runs."""


class Dug(Protocol):
    """A burial in a bed."""

    @property
    def width(self) -> float:
        """Of its trench, m."""

    @property
    def pieces(self) -> Sequence[TrenchPiece]:
        """Where it lies."""


@dataclass(frozen=True)
class Scaled:
    """A drawing, its size in mm, and the number in 1:number."""

    svg: str
    width_mm: float
    height_mm: float
    scale: int
    alt: str


def scale_for(length_m: float, room_mm: float) -> int:
    """The largest usual scale at which a length fits."""
    fitting = [number for number in _SCALES if length_m * _MM_PER_M / number <= room_mm]
    return fitting[0] if fitting else _SCALES[-1]


def trench_across(burial: BurialAnswer, speech: Speech, room_mm: float = 62.0) -> Scaled:
    """A trench cut across: mixed ferment, soil on top, the heap that sinks."""
    mound = (burial.mound.median or 0.0) / 100
    number = scale_for(max(burial.depth + mound, burial.width * 1.2), room_mm)
    wide, deep, cover, heap = (
        side * _MM_PER_M / number for side in (burial.width, burial.depth, burial.cover, mound)
    )
    aside, above = 24.0, heap + 5.0
    ground, left = above, aside
    right, floor = left + wide, ground + deep
    total = right + 40.0
    mixed = ground + cover
    body = tag("rect", x=0.0, y=ground, width=total - 34, height=deep + 8, class_="d-earth")
    body += tag("rect", x=left, y=ground, width=wide, height=cover, class_="d-cover")
    body += tag("rect", x=left, y=mixed, width=wide, height=deep - cover, class_="d-mixed")
    body += _flecks(left, mixed, wide, deep - cover)
    body += path(
        f"M{left:.2f} {ground:.2f}Q{left + wide / 2:.2f} {ground - 2 * heap:.2f} "
        f"{right:.2f} {ground:.2f}Z",
        "d-cover",
    )
    body += line(0, ground, left, ground, "d-edge") + line(
        right, ground, total - 34, ground, "d-edge"
    )
    body += _side(4.0, ground, floor, speech.figure(burial.depth, "m"))
    body += _across(left, right, floor + 3.5, speech.figure(burial.width, "m"))
    x = total - 32
    body += words(speech.say("heap"), x, ground - heap / 2, _WORD)
    body += words(speech.say("soil on top"), x, ground + cover / 2, _WORD)
    body += words(speech.figure(burial.cover, "m"), x, ground + cover / 2 + 4.2, _WORD)
    body += words(speech.say("ferment, mixed"), x, mixed + (deep - cover) / 2 + 1, _WORD)
    body += words(speech.say("with soil"), x, mixed + (deep - cover) / 2 + 5.2, _WORD)
    alt = speech.say(
        "Trench cut across, to scale 1:{number}: {depth} deep, {width} wide, {cover} of soil on "
        "top.",
        number=number,
        depth=speech.figure(burial.depth, "m"),
        width=speech.figure(burial.width, "m"),
        cover=speech.figure(burial.cover, "m"),
    )
    size = (total, floor + 11)
    return Scaled(with_rules(document(size, body, alt, ""), _RULES), *size, number, alt)


def bed_from_above(
    bed: Ground,
    burials: Sequence[tuple[int, Dug]],
    speech: Speech,
    room_mm: tuple[float, float] = (120.0, 42.0),
) -> Scaled:
    """A bed with the pieces of its trenches, each with the number of its line in the table."""
    turned = bed.width > bed.length  # a long side lies along the paper
    long, short = max(bed.length, bed.width), min(bed.length, bed.width)
    number = max(scale_for(long, room_mm[0]), scale_for(short, room_mm[1]))
    wide, tall = long * _MM_PER_M / number, short * _MM_PER_M / number
    body = tag("rect", x=1.0, y=6.0, width=wide, height=tall, class_="d-earth d-edge")
    said_to = 0.0
    for box, label in sorted(_pieces(burials, number, turned), key=lambda found: found[0][0]):
        x, y, across, down = box
        body += tag("rect", x=1 + x, y=6 + y, width=across, height=down, class_="d-mixed")
        half = len(label) * _LETTER_MM / 2
        if x + across / 2 - half >= said_to:  # where numbers would touch, the list has them
            body += words(label, 1 + x + across / 2, 4.6, _WORD, "middle")
            said_to = x + across / 2 + half
    metre = _MM_PER_M / number
    count = next(whole for whole in (1, 10, 100) if whole * metre >= _LEAST_BAR_MM or whole > 10)
    bar = count * metre
    y = tall + 11.0
    body += path(f"M1 {y - 1.2:.2f}v2.4M1 {y:.2f}h{bar:.2f}m0 -1.2v2.4", "d-edge")
    body += words(f"{count} m", bar + 3, y + 1.3, _WORD)
    alt = speech.say(
        "{bed} from above, to scale 1:{number}, with the trenches by their numbers.",
        bed=bed.name,
        number=number,
    )
    size = (max(wide + 2, bar + 20), tall + 14)
    return Scaled(with_rules(document(size, body, alt, ""), _RULES), *size, number, alt)


def _pieces(
    burials: Sequence[tuple[int, Dug]], number: int, turned: bool
) -> Iterator[tuple[tuple[float, float, float, float], str]]:
    """Left, top, width, height in mm of each piece of trench, and the number of its line."""
    metre = _MM_PER_M / number
    for place, burial in burials:
        thick = burial.width * metre
        for piece in burial.pieces:
            along = piece.along * metre - thick / 2
            start, run = piece.start * metre, (piece.end - piece.start) * metre
            yield (start, along, run, thick) if turned else (along, start, thick, run), str(place)


def _flecks(left: float, top: float, wide: float, tall: float) -> str:
    """Pieces of ferment in the mixed layer, so that grey paper shows it too."""
    strokes = ""
    for i in range(int(wide * tall / 14)):
        x = left + 1.5 + (i * 61 % 97) / 97 * (wide - 4)
        y = top + 1.5 + (i * 43 % 89) / 89 * (tall - 3)
        strokes += f"M{x:.1f} {y:.1f}l1.6 {(-0.7, 0.6, 0.1)[i % 3]}"
    return path(strokes or "M0 0", "d-piece")


def _side(x: float, top: float, floor: float, said: str) -> str:
    bar = path(f"M{x - 1.2:.2f} {top:.2f}h2.4M{x:.2f} {top:.2f}V{floor:.2f}m-1.2 0h2.4", "d-edge")
    return bar + words(said, x + 2, (top + floor) / 2 + 1.2, _WORD)


def _across(left: float, right: float, y: float, said: str) -> str:
    bar = path(f"M{left:.2f} {y - 1.2:.2f}v2.4M{left:.2f} {y:.2f}H{right:.2f}m0 -1.2v2.4", "d-edge")
    return bar + words(said, (left + right) / 2, y + 4.6, _WORD, "middle")


_RULES = (
    ".d-earth{fill:#e9e4da}.d-cover{fill:#cbbfae;stroke:#222;stroke-width:.3}"
    ".d-mixed{fill:#7d6a54;stroke:#111;stroke-width:.35}"
    ".d-piece{fill:none;stroke:#fff;stroke-width:.5}"
    ".d-edge{stroke:#111;stroke-width:.35}path.d-edge{fill:none}"
    ".d-print{font-family:Libertinus Serif;font-size:3.9px;fill:#111}"
)
