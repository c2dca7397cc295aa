"""A trench to be dug, cut open from the side: how deep, how wide, how much soil on top."""

from __future__ import annotations

from dataclasses import dataclass

from sourloam.drawing.palette import WIDE
from sourloam.drawing.svg import document, path, tag, words

_TOP, _DEEP, _FOOT = 34.0, 92.0, 16.0
_LEFT, _MOST_WIDE = 116.0, 110.0
_THIN = 0.15  # of the depth: so much ferment is always to be seen


@dataclass(frozen=True)
class TrenchCut:
    """Measures in metres, each with the words that stand beside it."""

    depth_m: float
    width_m: float
    cover_m: float
    deep: str
    wide: str
    cover: str
    ferment: str
    title: str = ""

    def __post_init__(self) -> None:
        if min(self.depth_m, self.width_m) <= 0 or self.cover_m < 0:
            raise ValueError(f"{self.title}: depth and width must be above 0, cover 0 or more")


def draw_trench_cut(cut: TrenchCut, standalone: bool = False) -> str:
    """SVG of the trench in the ground, filled and covered, to scale."""
    scale = _DEEP / cut.depth_m
    wide = min(cut.width_m * scale, _MOST_WIDE)
    covered = min(cut.cover_m * scale, _DEEP * (1 - _THIN))
    right, bottom = _LEFT + wide, _TOP + _DEEP
    body = tag("rect", x=2.0, y=_TOP, width=WIDE - 4, height=_DEEP + _FOOT, class_="d-soil")
    top = _TOP + covered
    body += tag("rect", x=_LEFT, y=top, width=wide, height=bottom - top, class_="d-trench")
    body += path(_strokes(top, right, bottom), "d-hatch")
    body += path(f"M{_LEFT:g} {_TOP:g}V{bottom:g}H{right:.1f}V{_TOP:g}", "d-middle")
    body += path(f"M{_LEFT - 14:g} {_TOP:g}h8m-4 0v{_DEEP:g}m-4 0h8", "d-line")
    body += words(cut.deep, _LEFT - 20, _TOP + _DEEP / 2 + 4, "d-word", "end")
    body += words(cut.wide, _LEFT + wide / 2, _TOP - 12, "d-word", "middle")
    body += words(cut.cover, right + 12, _TOP + covered / 2 + 4, "d-word")
    body += words(cut.ferment, right + 12, (top + bottom) / 2 + 4, "d-word")
    said = f"{cut.deep}, {cut.wide}, {cut.cover}"
    return document((WIDE, _TOP + _DEEP + _FOOT), body, cut.title, said, standalone)


def _strokes(top: float, right: float, bottom: float) -> str:
    found, y = "", top + 7
    while y < bottom - 3:
        found += f"M{_LEFT + 5:g} {y + 4:.1f}L{right - 5:.1f} {y:.1f}"
        y += 9
    return found
