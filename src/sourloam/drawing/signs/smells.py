"""Smells: what it smells like, what rises from the vessel, and a nose."""

from __future__ import annotations

from sourloam.drawing.signs.props import at, curls, drop, nose
from sourloam.drawing.svg import path, tag

_RIM = path("M40 60L42 50H78L80 60", "d-wall") + path("M42 52q9 -4 18 0t18 0L79 60H41Z", "d-sour")
_GHERKIN = path("M4 50c-6 -12 4 -34 16 -36c10 0 8 16 2 26c-5 9 -13 16 -18 10z", "d-leaf") + path(
    "M12 24h.1M18 28h.1M10 34h.1M15 38h.1M9 45h.1", "d-line"
)
_BOTTLE = path("M14 8h8v10l6 8v34H8V26l6 -8z", "d-mark") + path("M8 38h20v22H8z", "d-moon")
_EGG = path(
    "M18 60c-12 0 -16 -10 -12 -22c3 -8 8 -14 12 -14s10 6 12 14c4 12 -1 22 -12 22z", "d-mark"
)
_CRACK = path("M6 40l6 5l5 -6l5 7l7 -5", "d-line")
_GLASS = path("M8 20h20l-4 16q-6 8 -12 0zM18 40v16M10 60h16M18 56l-6 4M18 56l6 4", "d-mark") + path(
    "M10 27h16l-2.4 9q-5.6 7 -11 0z", "d-moon"
)
_BUTTER = path("M4 60L10 44H32L28 60ZM32 44L36 54L28 60", "d-moon") + path("M4 60H30", "d-line")
_STABLE = path("M2 60V32L18 18L34 32V60Z", "d-plank") + path("M11 60V40H25V60M11 50H25", "d-line")
_CELLAR = path("M2 60V36a16 16 0 0 1 32 0V60Z", "d-lid") + path("M9 60v-6h7v-6h7v-6h7", "d-line")


def _smell(like: str, kind: str = "d-line", lines: int = 3) -> str:
    return like + _RIM + at(52, 46, curls(kind, lines)) + at(86, 6, nose())


SMELLS = {
    "sour_smell": _smell(_GHERKIN, "d-stem"),
    "weak_smell": _smell("", "d-fine", 1) + path("M10 40h16", "d-fine"),
    "vinegar_smell": _smell(_BOTTLE),
    "sharp_vinegar_smell": _smell(_BOTTLE, "d-bad")
    + path("M32 14q8 -8 16 0q-8 8 -16 0z", "d-mark")
    + tag("circle", cx=40, cy=14, r=2.6, class_="d-dot")
    + drop(46, 19),
    "alcohol_smell": _smell(_GLASS),
    "rotten_smell": _smell(_EGG + _CRACK, "d-foul")
    + path("M12 20q-4 -5 0 -10M22 20q-4 -5 0 -10", "d-foul"),
    "rancid_smell": _smell(_BUTTER, "d-foul"),
    "ammonia_smell": _smell(_STABLE, "d-frost"),
    "musty_smell": _smell(_CELLAR, "d-fine"),
}
