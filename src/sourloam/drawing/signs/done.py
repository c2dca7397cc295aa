"""What was done before: what went in, how it was filled, where it stands."""

from __future__ import annotations

from sourloam.drawing.signs.props import (
    APPLE,
    CARROT,
    at,
    bag,
    bowl,
    calendar,
    clock,
    drop,
    fly,
    pail,
    star,
    sun,
)
from sourloam.drawing.svg import path, tag

_FISH = path("M-16 0q10 -10 22 0l8 -6v12l-8 -6q-12 10 -22 0z", "d-s-held") + path(
    "M-10 -1h.1", "d-line"
)
BONE = path("M-12 -3a4 4 0 1 1 2 -5a4 4 0 1 1 5 2l10 10a4 4 0 1 1 2 5a4 4 0 1 1 -5 -2z", "d-bloom")
_LEAF = path("M0 0c4 -12 16 -12 20 -8c-2 8 -10 14 -20 8z", "d-leaf")
_SHELL = path("M-9 0a9 9 0 0 1 18 0l-4 -3l-3 4l-3 -4l-4 4z", "d-bloom")
_GRAINS = "M{x} {y}h3"
_UP = "M{x} 12V-2l-4 5M{x} -2l4 5"


def _moving_in(thing: str) -> str:
    return at(48, 6, pail(top=42, lid="off"), 0.95) + thing


HISTORY = {
    "big_pieces": at(48, 0, pail(fill="d-fresh", top=30, lid="off"))
    + at(38, 24, APPLE, 1.3)
    + at(58, 22, APPLE, 1.3)
    + at(36, 40, CARROT, 1.2),
    "bran_thin": at(32, 0, bowl(path("M-20 40q20 -22 40 0z", "d-fresh")))
    + path("".join(_GRAINS.format(x=x, y=y) for x, y in ((24, 34), (38, 32))), "d-bran")
    + at(78, 6, bag("d-soil"), 0.8),
    "much_animal": at(48, 0, bowl(path("M-20 40q20 -20 40 0z", "d-fresh")))
    + at(38, 26, _FISH)
    + at(62, 26, BONE),
    "old_scraps": at(
        40, 0, bowl(at(-8, 24, APPLE, 1.3) + path("M-20 40q20 -14 40 0z", "d-spoiled"))
    )
    + at(82, 18, sun(), 0.6)
    + fly(52, 16)
    + fly(20, 20),
    "wet_scraps": at(48, 0, bowl(path("M-24 40q6 -5 12 0t12 0t12 0t12 0z", "d-s-held")))
    + drop(30, 14)
    + drop(48, 8)
    + drop(64, 16),
    "rarely_drained": at(30, 0, pail(top=26, sump="d-liquid")) + at(78, 2, calendar(8)),
    "opened_often": at(48, 4, pail(lid="off"), 0.95)
    + at(48, 8, path("M-28 4v-5h56v5zM-7 -1q7 -8 14 0", "d-lid"))
    + path(_UP.format(x=12) + _UP.format(x=84), "d-line"),
    "long_filled": at(30, 0, pail(top=22))
    + at(70, -4, calendar(14), 0.8)
    + at(82, 8, calendar(14), 0.8),
    "stands_cold": at(48, 0, pail()) + at(12, 22, star()) + at(86, 36, star()),
    "stands_hot": at(36, 0, pail()) + at(80, 24, sun()),
    "short_rest": at(36, 0, pail(top=24))
    + at(80, 18, path("M0 -12a11 11 0 1 0 8 18a9.5 9.5 0 0 1 -8 -18Z", "d-moon"))
    + at(80, 48, clock()),
    "sweet_scraps": at(
        48,
        0,
        bowl(
            path("M-20 40V26q20 -10 40 0V40z", "d-soil")
            + path("M-20 26q20 -10 40 0l-3 6q-4 -4 -8 0t-9 0t-9 0t-8 0z", "d-souring")
        ),
    )
    + tag("circle", cx=48, cy=17, r=4, class_="d-dot"),
    "poor_scraps": at(48, 0, bowl(path("M-20 40q20 -24 40 0z", "d-trench")))
    + at(24, 30, _LEAF)
    + at(66, 30, _SHELL),
    "soil_went_in": _moving_in(path("M30 22q18 -26 36 0z", "d-trench") + at(78, 10, _LEAF)),
    "lime_went_in": _moving_in(path("M34 22q14 -22 28 0z", "d-bloom") + at(76, 22, _SHELL)),
    "cleaner_went_in": _moving_in(
        at(66, -4, path("M2 8h10l-2 8l6 6v20H-4V22l6 -6zM12 8l8 -4M12 12l9 0", "d-s-held"), 0.9)
        + path("M58 10l-10 4M58 14l-10 8M58 18l-6 8", "d-fine")
    ),
}
