"""A round as a map: the hub as a house, stops numbered in their order, the way between them.

No streets: ways are as the crow flies, and the drawing says no more than is known.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from sourloam.drawing.palette import SMALL, WIDE
from sourloam.drawing.svg import document, fitted, line, path, tag, text_width, through, words

_EDGE, _RADIUS = 30.0, 11.0
_SCALES = (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0)
_SCALE_MOST = 150.0
_GAP, _OFF_HUB = 2 * _RADIUS + 3.0, 28.0  # px from number to number, and to the hub
_ROUNDS, _TOLD = 60, 5.0  # px from which a number shows where its place is


@dataclass(frozen=True)
class MapStop:
    """A stop in kilometres east and north of the hub; ``pressing`` ones are drawn filled;
    ``trip`` counts from 1."""

    east_km: float
    north_km: float
    pressing: bool = False
    trip: int = 1


@dataclass(frozen=True)
class RoundPicture:
    """Stops in their order; ``others`` places (east, north in km) that are not on the round.
    ``scale`` is a word for so many km: "{km} km"."""

    stops: tuple[MapStop, ...]
    hub: str
    others: tuple[tuple[float, float], ...] = ()
    title: str = ""
    desc: str = ""
    scale: str = "{km} km"


def draw_round(
    picture: RoundPicture, size: tuple[float, float] = (WIDE, 320.0), standalone: bool = False
) -> str:
    """SVG of a round."""
    place = _Frame(picture, size)
    dots = "".join(_other(place.at(*spot)) for spot in picture.others)
    body = dots + _ways(picture, place)
    for number, (stop, spot) in enumerate(zip(picture.stops, place.spots, strict=True), start=1):
        body += _stop(number, stop, spot)
    scale, free_from = _scale(picture, place, size)
    body += scale + _hub(picture.hub, place.at(0.0, 0.0), place.spots, (*size, free_from))
    return document(size, body, picture.title or picture.hub, picture.desc, standalone)


class _Frame:
    """From kilometres to the paper, alike in both directions."""

    def __init__(self, picture: RoundPicture, size: tuple[float, float]) -> None:
        east = [0.0, *(s.east_km for s in picture.stops)]
        north = [0.0, *(s.north_km for s in picture.stops)]
        wide = max(max(east) - min(east), 0.2)
        tall = max(max(north) - min(north), 0.2)
        self.px_km = min((size[0] - 2 * _EDGE) / wide, (size[1] - 2 * _EDGE - 20) / tall)
        self._left = (size[0] - self.px_km * (max(east) + min(east))) / 2
        self._foot = (size[1] - 20 + self.px_km * (max(north) + min(north))) / 2
        self._size = size
        true = [self.at(s.east_km, s.north_km) for s in picture.stops]
        self.spots = _apart(true, self.at(0.0, 0.0), size)
        self.moved = [
            (a, b) for a, b in zip(true, self.spots, strict=True) if math.dist(a, b) > _TOLD
        ]

    def at(self, east_km: float, north_km: float) -> tuple[float, float]:
        """A point on the paper."""
        return self._left + self.px_km * east_km, self._foot - self.px_km * north_km


def _ways(picture: RoundPicture, place: _Frame) -> str:
    drawn = ""
    stops = list(zip(picture.stops, place.spots, strict=True))
    for trip in sorted({stop.trip for stop in picture.stops}):
        mine = [spot for stop, spot in stops if stop.trip == trip]
        kind = "d-middle" if trip == 1 else "d-middle-liquid"
        drawn += path(through([place.at(0.0, 0.0), *mine, place.at(0.0, 0.0)]), kind)
    for true, spot in place.moved:
        drawn += line(*true, *spot, "d-fine")
        drawn += tag("circle", cx=true[0], cy=true[1], r=2.5, class_="d-dot")
    return drawn


def _apart(
    true: list[tuple[float, float]], hub: tuple[float, float], size: tuple[float, float]
) -> list[tuple[float, float]]:
    """Where numbers stand so that none covers another or the hub, each as near to its place as
    that leaves it, within the paper."""
    spots = list(true)
    for _round in range(_ROUNDS):
        before = list(spots)
        for one in range(len(spots)):
            spots[one] = _pushed(spots[one], hub, _OFF_HUB, one)
            for other in range(one):
                (x, y), (x2, y2) = spots[one], spots[other]
                middle = (x + x2) / 2, (y + y2) / 2
                spots[one] = _pushed(spots[one], middle, _GAP / 2, one)
                spots[other] = _pushed(spots[other], middle, _GAP / 2, one + 1)
        spots = [
            (min(max(x, _EDGE / 2), size[0] - _EDGE / 2), min(max(y, _EDGE / 2), size[1] - _EDGE))
            for x, y in spots
        ]
        if spots == before:
            break
    return spots


def _pushed(
    spot: tuple[float, float], off: tuple[float, float], least: float, turn: int
) -> tuple[float, float]:
    """The spot, moved straight away from another until it is ``least`` px off."""
    long = math.dist(spot, off)
    if long >= least:
        return spot
    if long < 1e-6:  # on the very same place: any way will do, each its own
        return off[0] + least * math.cos(2.4 * turn), off[1] + least * math.sin(2.4 * turn)
    by = least / long
    return off[0] + (spot[0] - off[0]) * by, off[1] + (spot[1] - off[1]) * by


def _other(at: tuple[float, float]) -> str:
    return tag("circle", cx=at[0], cy=at[1], r=3.0, class_="d-s-empty")


def _stop(number: int, stop: MapStop, at: tuple[float, float]) -> str:
    kind = "d-dot" if stop.pressing else "d-ring"
    drawn = tag("circle", cx=at[0], cy=at[1], r=_RADIUS, class_=kind)
    if stop.pressing:  # said a second time, without colour
        drawn += tag("circle", cx=at[0], cy=at[1], r=_RADIUS + 4, class_="d-scale")
        drawn += tag("circle", cx=at[0], cy=at[1], r=_RADIUS - 2.5, class_="d-ring")
    return drawn + words(str(number), at[0], at[1] + 4.5, "d-word", "middle")


def _hub(
    name: str,
    at: tuple[float, float],
    taken: list[tuple[float, float]],
    room_for: tuple[float, float, float],
) -> str:
    """A house, its name on the side where nothing stands; where something stands on every side,
    in the corner, beside a small house. ``room_for``: the paper's width and height, and from where
    its foot is free."""
    (x, y), (wide, tall, free_from) = at, room_for
    shown = fitted(name, 220, 14)
    half = text_width(shown, 14) / 2
    sides = {
        (x, y + 28): "middle", (x, y - 22): "middle",
        (x + 18 + half, y + 5): "start", (x - 18 - half, y + 5): "end",
    }  # fmt: skip

    def room(side: tuple[float, float]) -> float:
        inside = half < side[0] < wide - half
        near = [max(abs(sx - side[0]) - half, abs(sy - side[1])) for sx, sy in taken]
        return min([*near, 200.0]) if inside else -1.0

    best = max(sides, key=room)
    anchor = sides[best]
    start = {"middle": best[0], "start": x + 18, "end": x - 18}[anchor]
    house = path(_house(x, y, 1.0), "d-plank")
    if room(best) >= _RADIUS + 2:
        return house + words(shown, start, best[1], "d-place", anchor)
    shown = fitted(name, wide - free_from - 40, 14)
    right, foot = wide - _EDGE / 2, tall - 8.0
    small = path(_house(right - 0.86 * text_width(shown, 14) - 12, foot - 5, 0.55), "d-plank")
    return house + small + words(shown, right, foot, "d-name", "end")


def _house(x: float, y: float, large: float) -> str:
    wide, wall, roof = 13 * large, 14 * large, 11 * large
    return (
        f"M{x - wide:.1f} {y + 10 * large:.1f}v{-wall:.1f}l{wide:.1f} {-roof:.1f}"
        f"l{wide:.1f} {roof:.1f}v{wall:.1f}z"
    )


def _scale(picture: RoundPicture, place: _Frame, size: tuple[float, float]) -> tuple[str, float]:
    """So many kilometres, and where its words end."""
    fitting = [km for km in _SCALES if km * place.px_km <= _SCALE_MOST] or [_SCALES[0]]
    km = fitting[-1]
    x, y, long = _EDGE / 2, size[1] - 12, km * place.px_km
    bar = line(x, y, x + long, y, "d-line") + line(x, y - 4, x, y + 4, "d-line")
    bar += line(x + long, y - 4, x + long, y + 4, "d-line")
    said = picture.scale.format(km=f"{km:g}")
    words_at = x + long + 8
    return bar + words(said, words_at, y + 4, "d-small"), words_at + text_width(said, SMALL)
