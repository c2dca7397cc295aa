"""A round as a map: the hub as a house, stops numbered in their order, the way between them.

No streets: ways are as the crow flies, and the drawing says no more than is known.
"""

from __future__ import annotations

from dataclasses import dataclass

from sourloam.drawing.palette import WIDE
from sourloam.drawing.svg import document, fitted, line, path, tag, text_width, through, words

_EDGE, _RADIUS = 30.0, 11.0
_SCALES = (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0)
_SCALE_MOST = 150.0


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
    for number, stop in enumerate(picture.stops, start=1):
        body += _stop(number, stop, place.at(stop.east_km, stop.north_km))
    taken = [place.at(s.east_km, s.north_km) for s in picture.stops]
    body += _hub(picture.hub, place.at(0.0, 0.0), taken, size[0]) + _scale(picture, place, size)
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

    def at(self, east_km: float, north_km: float) -> tuple[float, float]:
        """A point on the paper."""
        return self._left + self.px_km * east_km, self._foot - self.px_km * north_km


def _ways(picture: RoundPicture, place: _Frame) -> str:
    drawn = ""
    for trip in sorted({stop.trip for stop in picture.stops}):
        mine = [place.at(s.east_km, s.north_km) for s in picture.stops if s.trip == trip]
        kind = "d-middle" if trip == 1 else "d-middle-liquid"
        drawn += path(through([place.at(0.0, 0.0), *mine, place.at(0.0, 0.0)]), kind)
    return drawn


def _other(at: tuple[float, float]) -> str:
    return tag("circle", cx=at[0], cy=at[1], r=3.0, class_="d-s-empty")


def _stop(number: int, stop: MapStop, at: tuple[float, float]) -> str:
    kind = "d-dot" if stop.pressing else "d-ring"
    drawn = tag("circle", cx=at[0], cy=at[1], r=_RADIUS, class_=kind)
    if stop.pressing:  # said a second time, without colour
        drawn += tag("circle", cx=at[0], cy=at[1], r=_RADIUS + 4, class_="d-scale")
        drawn += tag("circle", cx=at[0], cy=at[1], r=_RADIUS - 2.5, class_="d-ring")
    return drawn + words(str(number), at[0], at[1] + 4.5, "d-word", "middle")


def _hub(name: str, at: tuple[float, float], taken: list[tuple[float, float]], wide: float) -> str:
    """A house, its name on the side where nothing stands."""
    x, y = at
    house = f"M{x - 13:.1f} {y + 10:.1f}v-14l13 -11l13 11v14z"
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
    return path(house, "d-plank") + words(shown, start, best[1], "d-name", anchor)


def _scale(picture: RoundPicture, place: _Frame, size: tuple[float, float]) -> str:
    fitting = [km for km in _SCALES if km * place.px_km <= _SCALE_MOST] or [_SCALES[0]]
    km = fitting[-1]
    x, y, long = _EDGE / 2, size[1] - 12, km * place.px_km
    bar = line(x, y, x + long, y, "d-line") + line(x, y - 4, x, y + 4, "d-line")
    bar += line(x + long, y - 4, x + long, y + 4, "d-line")
    return bar + words(picture.scale.format(km=f"{km:g}"), x + long + 8, y + 4, "d-small")
