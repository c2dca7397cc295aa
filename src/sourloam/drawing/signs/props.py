"""Things that the pictures of signs are put together from, each standing on the ground at 60."""

from __future__ import annotations

from sourloam.drawing.svg import path, tag

APPLE = path("M0 0c-8 -3 -12 3 -10 9s6 8 10 6c4 2 8 0 10 -6s-2 -12 -10 -9z", "d-bad-fill") + path(
    "M0 0q1 -5 5 -6", "d-line"
)
CARROT = path("M0 0L22 6L0 11Z", "d-moon") + path("M0 5l-6 -4M0 6l-7 1M0 7l-5 4", "d-stem")


def at(x: float, y: float, drawn: str, scale: float = 1.0, turn: float = 0.0) -> str:
    """A thing moved, made larger and turned."""
    move = f"translate({x:g} {y:g})"
    move += f" rotate({turn:g})" if turn else ""
    return tag("g", drawn, transform=move + (f" scale({scale:g})" if scale != 1 else ""))


def pail(fill: str = "d-sour", top: float = 34, sump: str = "", lid: str = "on") -> str:
    """A vessel cut open, 48 wide around 0, with its mass up to ``top``, and what stands below
    the grid."""
    body = path("M-24 18L-19 60H19L24 18Z", "d-wall")
    left, right = _wall(top)
    if top < 52:
        body += path(f"M-{left:.1f} {top}q8 -3 {left:.1f} 0t{right:.1f} 0L20 52H-20Z", fill)
    if sump:
        body += path("M-20 54L-19.3 59H19.3L20 54Z", sump)
    body += path("M-20 53H20", "d-grid") + path("M20 54h7v6h-4v-2.5h-3z", "d-tap")
    return body + {"on": _LID, "off": "", "tilted": at(0, 0, _LID, turn=-9)}[lid]


def _wall(y: float) -> tuple[float, float]:
    half = 24 - 5 * (y - 18) / 42 - 1.5
    return half, half


_LID = path("M-28 18v-5h56v5zM-7 13q7 -8 14 0", "d-lid")


def curls(kind: str = "d-line", lines: int = 3) -> str:
    """What rises from a thing, from (0, 0) up."""
    wave = "q-5 -6 0 -11t0 -11"
    return path("".join(f"M{9 * k:g} 0{wave}" for k in range(lines)), kind)


def nose() -> str:
    """A nose from the side, breathing in to the left."""
    profile = "M6 -6c-5 3 -6 8 -5 13c-2 6 -8 11 -12 16c-1 4 3 5 8 5c-1 3 -2 4 -1 6c2 1 3 2 2 5"
    return path(profile + "M-5 23q3 -3 5 1M4 6h-4", "d-line")


def glass(fill: str = "", level: float = 12) -> str:
    """A drinking glass around 0 with liquid so high."""
    drawn = path("M-9 36L-7 60H7L9 36", "d-mark")
    if fill:
        drawn += path(
            f"M-{7 + level / 12:.1f} {60 - level}H{7 + level / 12:.1f}L6.5 59H-6.5Z", fill
        )
    return drawn


def drop(x: float, y: float, kind: str = "d-s-held") -> str:
    """A drop whose tip is at the point."""
    return path(f"M{x:g} {y:g}c-5 7 -4 10 0 10s5 -3 0 -10z", kind)


def fly(x: float, y: float) -> str:
    """A small fly."""
    wings = path("M0 0c-7 -7 -10 1 -1 2zM1 0c7 -7 10 1 1 2z", "d-mark")
    return at(x, y, wings + path("M0 -1v7", "d-line"))


def calendar(days: int) -> str:
    """A leaf of a calendar around 0 with so many days crossed, fourteen at most."""
    drawn = path("M-15 22H15V54H-15Z", "d-mark") + path("M-15 22H15V29H-15Z", "d-bad-fill")
    marks = "".join(f"M{-12 + 4 * (k % 7)} {35 + 9 * (k // 7)}l2.4 4" for k in range(days))
    return drawn + path(marks, "d-line")


def ground(trench: str = "d-trench", depth: float = 20, cover: float = 12) -> str:
    """Soil cut open below 30, with a filled trench under so much cover; no trench if ``trench``
    is empty."""
    soil = path("M2 30H94V64H2Z", "d-soil")
    if not trench:
        return soil
    top = 30 + cover
    return soil + path(f"M30 {top}H66L63 {min(top + depth, 63):g}H33Z", trench)


def seedling(leaf: str = "d-leaf", stem: str = "d-stem") -> str:
    """A seedling that grows up from (0, 0)."""
    return (
        path("M0 0V-15", stem)
        + path("M0 -13c-3 -9 -11 -10 -16 -8c1 8 8 11 16 8Z", leaf)
        + path("M0 -15c2 -10 10 -12 16 -10c0 8 -7 12 -16 10Z", leaf)
    )


def bag(fill: str) -> str:
    """A bag of bran around 0."""
    return path("M-14 30q-6 24 -3 30H17q3 -8 -3 -30l4 -8H-18Z", "d-mark") + path(
        "M-16.5 44q16 -5 33 0L17 59H-17Z", fill
    )


def bowl(heap: str) -> str:
    """A bowl around 0 with what is drawn heaped in it, its rim at 40."""
    return heap + path("M-24 40H24Q20 60 8 60H-8Q-20 60 -24 40Z", "d-mark")


def thermometer(share: float) -> str:
    """A thermometer around 0, filled by that share."""
    top = 52 - 38 * share
    return path("M-4 10a4 4 0 0 1 8 0V50a7 7 0 1 1 -8 0Z", "d-mark") + path(
        f"M-1.6 {top:.0f}H1.6V52a4.6 4.6 0 1 1 -3.2 0Z", "d-bad-fill"
    )


def star() -> str:
    """A snow star around (0, 0)."""
    return path("M0 -11V11M-9.5 -5.5L9.5 5.5M9.5 -5.5L-9.5 5.5", "d-frost")


def sun() -> str:
    """A sun around (0, 0)."""
    rays = "M0 -15v-5M0 15v5M-15 0h-5M15 0h5M-10.6 -10.6l-3.5 -3.5M10.6 -10.6l3.5 -3.5"
    rays += "M-10.6 10.6l-3.5 3.5M10.6 10.6l3.5 3.5"
    return path(rays, "d-line") + tag("circle", cx=0, cy=0, r=10, class_="d-moon")


def clock() -> str:
    """A clock around (0, 0)."""
    return tag("circle", cx=0, cy=0, r=10, class_="d-mark") + path("M0 -6V0L4 3", "d-line")


def strip(pad: str, row: int) -> str:
    """A strip beside its scale from very sour (0) to not sour (3): the pad as it turned out."""
    scale = "".join(
        path(f"M16 {10 + 13 * k}H34V{21 + 13 * k}H16Z", kind)
        for k, kind in enumerate(("d-pad-1", "d-pad-2", "d-pad-3", "d-pad-4"))
    )
    return (
        path("M-14 4H0V62H-14Z", "d-mark")
        + path("M-14 10H0V26H-14Z", pad)
        + scale
        + path(f"M12 {16 + 13 * row - 4}l-8 4l8 4", "d-line")
    )
