"""A sign's picture as SVG."""

from __future__ import annotations

from sourloam.drawing.signs.done import HISTORY
from sourloam.drawing.signs.ground import BURIAL, PLANTS, SOIL
from sourloam.drawing.signs.growth import GROWTH
from sourloam.drawing.signs.inside import FEEL, LIQUID, STRIPS, TIGHTNESS
from sourloam.drawing.signs.smells import SMELLS
from sourloam.drawing.svg import tag

_ALL = (SMELLS, GROWTH, FEEL, LIQUID, TIGHTNESS, STRIPS, HISTORY, SOIL, PLANTS, BURIAL)
PICTURES: dict[str, str] = {sign: drawn for some in _ALL for sign, drawn in some.items()}


def draw_sign(sign: str) -> str:
    """SVG of a sign; it stands beside its words, so it is hidden from readers aloud. Empty text
    for a sign that nobody has drawn."""
    if sign not in PICTURES:
        return ""
    return tag(
        "svg",
        PICTURES[sign],
        class_="signpic",
        viewBox="0 -4 96 70",
        width=96,
        height=70,
        aria_hidden="true",
    )
