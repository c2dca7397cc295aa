"""The small mark on a lid that says a vessel's state without colour."""

from __future__ import annotations

from math import cos, pi, sin

from sourloam.drawing.svg import path, tag


def state_mark(state: str, x: float, y: float, large: bool) -> str:
    """Mark of a state, standing on the point (x, y); empty text for a state without one."""
    size = 1.0 if large else 0.8
    drawn = {
        "resting": _moon,
        "ready": _sprout,
        "held": _frost,
        "failed": _cross,
        "late": _glass,
        "dirty": _streaks,
    }.get(state)
    if drawn is None:
        return ""
    return tag("g", drawn(), transform=f"translate({x:.1f} {y:.1f}) scale({size})")


def draw_mark_swatch(state: str) -> str:
    """The mark alone, for the list that explains it."""
    drawn = tag("g", state_mark(state, 0.0, 0.0, True), transform="translate(11 17) scale(.56)")
    return tag("svg", drawn, viewBox="0 0 22 18", aria_hidden="true")


def _moon() -> str:
    return path("M4 -24a11 11 0 1 0 8 18a9.5 9.5 0 0 1 -8 -18Z", "d-moon")


def _sprout() -> str:
    stem = path("M0 0v-12", "d-stem")
    left = path("M0 -11c-5 -9 -12 -9 -16 -7c1 7 8 11 16 7Z", "d-leaf")
    return stem + left + path("M0 -12c2 -11 9 -14 16 -13c1 9 -6 15 -16 13Z", "d-leaf")


def _frost() -> str:
    arms = ""
    for arm in range(6):
        turn = arm * pi / 3
        arms += f"M0 -14L{11 * sin(turn):.1f} {-14 - 11 * cos(turn):.1f}"
        for side in (-0.35, 0.35):
            arms += f"M{7 * sin(turn):.1f} {-14 - 7 * cos(turn):.1f}"
            arms += f"L{11 * sin(turn + side):.1f} {-14 - 11 * cos(turn + side):.1f}"
    return path(arms, "d-frost")


def _glass() -> str:
    """An hourglass that has not run out."""
    frame = "M-8 -26h16M-8 0h16M-6 -26c0 9 4 10 4 13c0 3 -4 4 -4 13M6 -26c0 9 -4 10 -4 13"
    sand = path(
        "M-4 -20h8c-1 4 -4 5 -4 7c0 -2 -3 -3 -4 -7ZM-4 -1c0 -4 3 -5 4 -6c1 1 4 2 4 6Z", "d-moon"
    )
    return sand + path(frame + "c0 3 4 4 4 13", "d-line")


def _cross() -> str:
    return path("M-8 -21L8 -5M8 -21L-8 -5", "d-bad")


def _streaks() -> str:
    return path("M-18 -20q3 9 0 18M-4 -34q4 14 0 26M12 -24q3 10 0 20", "d-fine")
