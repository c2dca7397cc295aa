"""Soil, plants and burying: the ground cut open."""

from __future__ import annotations

from sourloam.drawing.signs.done import BONE
from sourloam.drawing.signs.props import (
    at,
    clock,
    curls,
    drop,
    fly,
    ground,
    seedling,
    star,
)
from sourloam.drawing.svg import path, tag

_WORM = path("M0 0q5 -7 10 0t10 0t10 0", "d-worm")
_PAW = tag("circle", cx=0, cy=0, r=4, class_="d-ink") + "".join(
    tag("circle", cx=x, cy=y, r=1.8, class_="d-ink")
    for x, y in ((-5, -5), (-1.6, -7.5), (2.2, -7.3), (5.4, -4.5))
)
_CAN = path("M0 10H24V34H0ZM24 16L38 4M36 2l6 5M0 14q-12 8 0 16", "d-lid")
_LUMP = "M{x} {y}c-6 -4 0 -10 5 -7c6 -2 8 5 4 8q-5 3 -9 -1z"
_WATER = path("M30 36q4.5 -3 9 0t9 0t9 0t9 0L63 52H33Z", "d-s-held")


def _plant(leaf: str = "d-leaf", stem: str = "d-stem", trench: str = "d-trench") -> str:
    return ground(trench) + at(48, 30, seedling(leaf, stem), 1.2)


def _wilted(leaf: str) -> str:
    return path("M48 30q0 -12 8 -16q8 -2 8 8", "d-stem") + path(
        "M64 22c-6 -2 -9 6 -4 12c6 -1 8 -8 4 -12zM56 14c-8 -6 -16 2 -16 9c8 2 16 -2 16 -9z", leaf
    )


SOIL = {
    "soil_smells": ground() + at(39, 28, curls("d-foul")),
    "earth_smell": ground("d-furrowed") + at(39, 28, curls("d-stem")) + at(14, 50, _WORM),
    "animals_dig": path("M2 30H30q4 18 18 20t18 -20H94V64H2Z", "d-soil")
    + path("M36 44q12 12 24 0l-4 10H40z", "d-trench")
    + path("M66 30q10 -14 22 0z", "d-soil")
    + at(14, 20, _PAW)
    + at(28, 14, _PAW),
    "flies_over_soil": ground() + fly(32, 12) + fly(52, 6) + fly(66, 18),
    "soil_sinks": path("M2 30H26q10 14 22 14t22 -14H94V64H2Z", "d-soil")
    + path("M48 8V32l-5 -6M48 32l5 -6", "d-line"),
    "white_threads": ground()
    + path(
        "M34 46q6 -5 10 0t10 0t8 -2M36 54q6 -4 10 0t10 0t6 -3M44 42q4 10 0 18M54 43q-4 8 1 17",
        "d-thread",
    ),
    "lumps_found": ground("d-furrowed")
    + "".join(
        path(_LUMP.format(x=x, y=y), k)
        for x, y, k in ((36, 50, "d-sour"), (48, 58, "d-moon"), (55, 48, "d-sour"))
    ),
    "water_stands": path("M2 30H28L33 56H63L68 30H94V64H2Z", "d-soil") + _WATER,
    "ammonia_in_soil": ground()
    + at(39, 28, curls("d-frost"))
    + path("M8 22L16 6L24 22M11 16H21", "d-fine"),
    "worms_flee": ground()
    + at(4, 46, _WORM, 0.8)
    + at(70, 50, _WORM, 0.8)
    + path("M28 24H8l6 -5M8 24l6 5M68 24H88l-6 -5M88 24l-6 5", "d-line"),
}

PLANTS = {
    "yellow_seedlings": _plant("d-moon"),
    "seedlings_die": ground()
    + _wilted("d-s-failed")
    + path("M48 30v10M48 34l-6 6M48 36l6 6", "d-root"),
    "burnt_leaves": _plant()
    + path("M29 9q-3 -5 2 -5M30 6c2 9 6 12 10 13M66 2q4 -1 3 4M66 4c-1 8 -6 12 -10 12", "d-root"),
    "salt_crust": _plant(trench="")
    + path("M8 30l5 -4l6 4l5 -5l6 5zM60 30l5 -4l6 4l6 -5l6 5z", "d-bloom"),
    "wilting": ground("")
    + _wilted("d-leaf")
    + drop(20, 40)
    + drop(34, 44)
    + drop(66, 42)
    + drop(80, 46),
    "unburied_bed_too": path("M2 34H44V64H2Z", "d-soil")
    + path("M52 34H94V64H52Z", "d-soil")
    + path("M12 44H34L32 58H14Z", "d-trench")
    + at(23, 34, seedling("d-moon"))
    + at(73, 34, seedling("d-moon")),
}

BURIAL = {
    "planted_early": _plant() + at(82, 14, clock()),
    "fed_strong": ground("")
    + at(20, 30, seedling(), 1.0)
    + at(84, -4, path("M0 10H-24V34H0ZM-24 16L-38 4M-36 2l-6 5M0 14q10 8 0 16", "d-lid"))
    + drop(42, 8, "d-trench")
    + drop(36, 14, "d-trench")
    + drop(30, 4, "d-trench"),
    "cover_thin": ground(depth=22, cover=4)
    + path("M78 8V28M78 8l-4 6M78 8l4 6M78 28l-4 -6M78 28l4 -6", "d-line")
    + path("M66 34H90", "d-fine"),
    "buried_thick": ground("d-sour", depth=24, cover=8),
    "paper_in_batch": ground()
    + path("M34 44h14v12H34zM50 47h11v11H50z", "d-bloom")
    + path("M37 48h8M37 52h8M53 51h5M53 55h5", "d-fine"),
    "animal_buried": ground() + at(48, 51, BONE, 0.9),
    "soil_cold_or_dry": ground("")
    + at(22, 16, star())
    + path("M56 30l5 10l-5 8l7 10M70 30l-4 8l6 8M80 30l4 12l-5 8", "d-line"),
    "salty_place": path("M24 30H72L66 62H30Z", "d-plank")
    + path("M24 30h48l-2 9H26z", "d-soil")
    + path("M30 30l5 -5l6 5l6 -6l6 6l6 -5l6 5z", "d-bloom"),
    "batch_was_bad": ground("d-spoiled") + path("M40 46l16 12M56 46l-16 12", "d-bad"),
}
