"""A forecast as a band: the middle, the range around it, and what has been seen."""

from __future__ import annotations

from dataclasses import dataclass

from sourloam.drawing.svg import document, fitted, line, path, tag, text_width, through, words

_LEFT, _RIGHT, _TOP, _BOTTOM = 52.0, 16.0, 18.0, 30.0
_ABOVE = 1.06  # a little air over the highest value


@dataclass(frozen=True)
class BandPicture:
    """Values over days; ``days`` ascend, and the three rows have their length.

    ``ticks`` are (day, words) along the bottom, ``levels`` (value, words) at the left. ``limit``
    is a line to reach, with its words. The value axis begins at ``floor``.
    """

    days: tuple[float, ...]
    low: tuple[float, ...]
    middle: tuple[float, ...]
    high: tuple[float, ...]
    ticks: tuple[tuple[float, str], ...]
    levels: tuple[tuple[float, str], ...]
    title: str
    desc: str = ""
    seen: tuple[tuple[float, float], ...] = ()
    limit: tuple[float, str] | None = None
    today: tuple[float, str] | None = None
    liquid: bool = False
    floor: float = 0.0

    def __post_init__(self) -> None:
        rows = {len(self.days), len(self.low), len(self.middle), len(self.high)}
        if len(rows) != 1 or len(self.days) < 2:
            raise ValueError("days, low, middle and high need the same length, 2 or more")


@dataclass(frozen=True)
class _Axes:
    first: float
    last: float
    top: float
    width: float
    height: float
    floor: float = 0.0

    def at(self, day: float, value: float) -> tuple[float, float]:
        across = (day - self.first) / (self.last - self.first)
        up = max(value - self.floor, 0.0) / (self.top - self.floor)
        x = _LEFT + across * (self.width - _LEFT - _RIGHT)
        return x, self.height - _BOTTOM - up * (self.height - _TOP - _BOTTOM)


def draw_band(
    picture: BandPicture, size: tuple[float, float] = (420.0, 200.0), standalone: bool = False
) -> str:
    """SVG of a band chart."""
    axes = _axes(picture, size)
    suffix = "-liquid" if picture.liquid else ""
    upper = [axes.at(d, v) for d, v in zip(picture.days, picture.high, strict=True)]
    lower = [axes.at(d, v) for d, v in zip(picture.days, picture.low, strict=True)]
    middle = [axes.at(d, v) for d, v in zip(picture.days, picture.middle, strict=True)]
    body = _frame(picture, axes)
    body += path(through([*upper, *reversed(lower)]) + "Z", f"d-band{suffix}")
    body += path(through(middle), f"d-middle{suffix}")
    for day, value in picture.seen:
        x, y = axes.at(day, value)
        body += tag("circle", cx=x, cy=y, r=4.0, class_="d-seen")
    return document(size, body, picture.title, picture.desc, standalone)


def pixels_a_day(days: float, width: float = 420.0) -> float:
    """How far a day moves along a band of so many days."""
    return (width - _LEFT - _RIGHT) / days


def _axes(picture: BandPicture, size: tuple[float, float]) -> _Axes:
    values = [*picture.high, *(v for v, _ in picture.levels), *(v for _, v in picture.seen)]
    if picture.limit:
        values.append(picture.limit[0])
    over = max([*(value - picture.floor for value in values), 1e-9])
    top = picture.floor + _ABOVE * over
    return _Axes(picture.days[0], picture.days[-1], top, *size, picture.floor)


def _frame(picture: BandPicture, axes: _Axes) -> str:
    base = axes.height - _BOTTOM
    drawn = line(_LEFT, base, axes.width - _RIGHT, base, "d-fine")
    for value, label in picture.levels:
        _, y = axes.at(axes.first, value)
        drawn += line(_LEFT - 4, y, _LEFT, y, "d-fine")
        drawn += words(fitted(label, _LEFT - 6, 11.5), _LEFT - 7, y + 4, "d-small", "end")
    drawn += _ticks(picture, axes, base)
    if picture.today:
        x, _ = axes.at(picture.today[0], picture.floor)
        drawn += line(x, _TOP, x, base, "d-today")
        drawn += words(picture.today[1], x + 4, _TOP - 5, "d-small")
    if picture.limit:
        x, y = axes.at(axes.last, picture.limit[0])
        drawn += line(_LEFT, y, x, y, "d-limit")
        drawn += words(picture.limit[1], _LEFT + 5, y - 5, "d-small")
    return drawn


def _ticks(picture: BandPicture, axes: _Axes, base: float) -> str:
    drawn, taken = "", -1e9
    for day, label in picture.ticks:
        x, _ = axes.at(day, picture.floor)
        half = text_width(label, 11.5) / 2
        if x - half < taken or x + half > axes.width or x - half < 0:
            continue
        taken = x + half + 6
        drawn += line(x, base, x, base + 5, "d-fine")
        drawn += words(label, x, base + 19, "d-small", "middle")
    return drawn
