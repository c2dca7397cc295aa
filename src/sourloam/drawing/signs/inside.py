"""Feel, liquid, tightness and strips: the vessel cut open, its tap, its lid, a strip."""

from __future__ import annotations

from sourloam.drawing.signs.props import (
    APPLE,
    CARROT,
    at,
    bag,
    calendar,
    clock,
    drop,
    glass,
    pail,
    star,
    strip,
    thermometer,
)
from sourloam.drawing.svg import path, tag

_FINGER = "M{x} 12a6 6 0 0 1 12 0v22a6 6 0 0 1 -12 0z"
_HAND = path("".join(_FINGER.format(x=x) for x in (20, 32, 44, 56)), "d-hand") + path(
    "M12 26q2 -6 10 -4l30 2a5 5 0 0 1 0 10H26q-14 2 -14 -8z", "d-hand"
)
_CRUMBS = "M{x} {y}l5 -2l2 4l-5 2z"


def _vessel(**given: object) -> str:
    return at(48, 0, pail(**given))  # type: ignore[arg-type]


def _jug(fill: str, level: float = 16) -> str:
    return at(30, 0, pail(sump=fill, top=26)) + at(74, 0, glass(fill, level))


FEEL = {
    "slimy": _HAND + path("M30 42q2 14 5 14t4 -14M46 42q1 20 4 20t4 -20", "d-foul-fill"),
    "dry_crumbly": _HAND
    + "".join(
        path(_CRUMBS.format(x=x, y=y), "d-soil")
        for x, y in ((24, 50), (36, 56), (46, 48), (56, 58), (64, 50))
    ),
    "drips": _HAND + drop(30, 44) + drop(43, 50) + drop(56, 44),
    "unchanged": _vessel(fill="d-fresh", top=36, lid="off")
    + at(40, 20, APPLE)
    + at(50, 32, CARROT),
    "lid_bulges": at(48, 0, pail(lid="off") + path("M-28 18Q0 -10 28 18Z", "d-lid"))
    + path("M16 14q-5 -3 -9 0M80 14q5 -3 9 0M18 7q-4 -4 -9 -3M78 7q4 -4 9 -3", "d-line"),
    "condensation": _vessel(top=42) + drop(34, 20) + drop(44, 22) + drop(53, 20) + drop(62, 22),
    "warm": at(36, 0, pail()) + at(80, 2, thermometer(0.9)),
    "frozen": at(36, 0, pail(fill="d-fresh")) + at(36, 38, star()) + at(80, 2, thermometer(0.08)),
}

LIQUID = {
    "no_liquid": at(24, 0, pail(top=26)) + at(58, 0, glass()) + at(82, 2, calendar(14), 0.8),
    "much_liquid": at(28, 0, pail(sump="d-liquid", top=26))
    + "".join(at(x, 18, glass("d-moon", 18), 0.7) for x in (62, 75, 88)),
    "foul_liquid": _jug("d-s-failed") + path("M68 32q-4 -5 0 -10M78 32q-4 -5 0 -10", "d-foul"),
    "dark_liquid": _jug("d-trench"),
    "coloured_liquid": _jug("d-souring"),
    "liquid_stands": at(48, 0, pail(top=30, sump="d-liquid", lid="off"))
    + path("M26.5 38H69.5L68 53H28Z", "d-band-liquid-deep")
    + path("M26.5 38q5 -3 10.7 0t10.7 0t10.7 0t10.7 0", "d-line"),
    "tap_stuck": at(34, 0, pail(sump="d-liquid", top=26))
    + at(76, 0, glass())
    + path("M66 16L82 30M82 16L66 30", "d-bad"),
}

TIGHTNESS = {
    "leak": at(44, 0, pail(sump="d-liquid", top=28))
    + drop(70, 46, "d-moon")
    + path("M58 63q14 -5 34 0z", "d-moon")
    + drop(20, 40, "d-moon"),
    "lid_loose": at(48, 0, pail(lid="tilted")) + path("M80 20q6 -1 8 -6M82 26q8 0 12 -5", "d-line"),
    "bran_off": at(36, 0, bag("d-soil"))
    + "".join(
        tag("circle", cx=x, cy=y, r=3, class_="d-leaf")
        for x, y in ((28, 50), (36, 54), (43, 49), (32, 57))
    )
    + path("M66 40h18", "d-fine")
    + path("M66 30q9 -6 18 0M66 50q9 6 18 0", "d-fine"),
}

STRIPS = {
    "sour_strip": at(38, 0, strip("d-pad-1", 0)),
    "middling_strip": at(38, 0, strip("d-pad-2", 1)),
    "high_strip": at(24, 0, strip("d-pad-4", 3)) + at(80, 4, calendar(10), 0.85),
    "high_strip_young": at(24, 0, strip("d-pad-4", 3)) + at(78, 32, clock(), 1.2),
}
