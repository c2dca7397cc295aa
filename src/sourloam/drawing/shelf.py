"""Vessels side by side on one plank, each with its name and what it wants."""

from __future__ import annotations

import re
from dataclasses import dataclass

from sourloam.drawing.svg import document, fitted, line, tag, words
from sourloam.drawing.vessel import VesselPicture, draw_vessel

_SLOT, _TALL, _BELOW = 150, 150, 62


@dataclass(frozen=True)
class ShelfPicture:
    """Vessels from left to right; ``wants`` holds a few words for each, empty for nothing."""

    vessels: tuple[VesselPicture, ...]
    wants: tuple[str, ...]
    title: str
    desc: str = ""

    def __post_init__(self) -> None:
        if len(self.wants) != len(self.vessels):
            raise ValueError(f"{len(self.vessels)} vessels but {len(self.wants)} wants")


def draw_shelf(picture: ShelfPicture, standalone: bool = False) -> str:
    """SVG of one plank with its vessels."""
    width = max(1, len(picture.vessels)) * _SLOT
    body = tag("rect", x=0, y=_TALL, width=width, height=12, class_="d-plank")
    body += line(6, _TALL + 6, width - 6, _TALL + 6, "d-grain")
    for place, (vessel, want) in enumerate(zip(picture.vessels, picture.wants, strict=True)):
        body += _standing(vessel, want, place * _SLOT)
    return document((width, _TALL + _BELOW), body, picture.title, picture.desc, standalone)


def _standing(vessel: VesselPicture, want: str, left: float) -> str:
    drawn = draw_vessel(vessel, large=False)
    found = re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', drawn)
    assert found is not None
    wide, tall = float(found[1]), float(found[2])
    inner = drawn.replace(
        "<svg ", f'<svg x="{left + (_SLOT - wide) / 2:.1f}" y="{_TALL - tall + 7:.1f}" ', 1
    )
    middle = left + _SLOT / 2
    name = words(fitted(vessel.name, _SLOT - 8, 14), middle, _TALL + 32, "d-name", "middle")
    return inner + name + words(fitted(want, _SLOT - 6, 13), middle, _TALL + 51, "d-word", "middle")
