"""What grows: the top of the mass from near, between the vessel's walls."""

from __future__ import annotations

from sourloam.drawing.signs.props import fly
from sourloam.drawing.svg import path, tag

_NEAR = path("M6 6L12 64H84L90 6", "d-wall") + path(
    "M9.5 40q10 -5 20 0t20 0t20 0t17 0L84 63H12Z", "d-sour"
)
_FUZZ = "M{x} 40c-4 -3 -3 -9 2 -9c1 -6 9 -6 10 -1c5 -2 8 5 5 9q-8 4 -17 1z"
_FLECKS = path("M24 52l4 3M40 56l5 -2M58 52l4 3M70 56l4 -3", "d-fleck")


def _cushions(kind: str) -> str:
    return "".join(path(_FUZZ.format(x=x), kind) for x in (18, 44, 66))


def _specks(kind: str) -> str:
    spots = ((38, 35), (44, 33), (50, 36), (56, 33), (47, 38))
    return "".join(tag("circle", cx=x, cy=y, r=1.9, class_=kind) for x, y in spots)


_BREAD = path("M30 40c-6 -8 0 -12 18 -12s24 4 18 12z", "d-soil")
_MAGGOTS = path("M22 38q4 -5 8 0t8 0M54 37q4 -5 8 0t8 0M38 44q4 -5 8 0", "d-maggot")

GROWTH = {
    "white_bloom": _NEAR + _FLECKS + _cushions("d-bloom"),
    "green_mould": _NEAR + _FLECKS + _cushions("d-leaf"),
    "mould_specks": _NEAR + _FLECKS + _BREAD + _specks("d-leaf"),
    "pink_mould": _NEAR + _FLECKS + _cushions("d-souring"),
    "mould_throughout": _NEAR
    + path("M16 48c8 -5 14 5 24 0s14 4 22 0s10 4 18 1M18 57c8 -5 14 4 24 0s14 4 24 0", "d-thread")
    + _cushions("d-leaf"),
    "flies": _NEAR + _MAGGOTS + fly(34, 18) + fly(58, 12) + fly(72, 24),
}
