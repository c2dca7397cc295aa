"""A forecast as a band: the middle, the range around it, and what has been seen."""

from __future__ import annotations

from dataclasses import dataclass

from sourloam.drawing.palette import SMALL, WIDE
from sourloam.drawing.svg import document, fitted, line, path, tag, text_width, through, words

_LEFT, _RIGHT, _TOP, _BOTTOM = 52.0, 28.0, 8.0, 32.0
_LINE = 19.0  # a line of words above the band
_SAMPLE = 26.0  # length of the stroke that stands for the limit, beside its words
_ABOVE = 1.06  # a little air over the highest value


@dataclass(frozen=True)
class BandPicture:
    """Values over days; ``days`` ascend, and the three rows have their length.

    ``ticks`` are (day, words) along the bottom, ``levels`` (value, words) at the left. ``limit``
    is a line to reach; its words, ``seen_words`` and those of ``today`` stand above the band,
    where no curve runs through them. The value axis begins at ``floor``.
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
    seen_words: str = ""
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
    above: float
    floor: float = 0.0

    def at(self, day: float, value: float) -> tuple[float, float]:
        across = (day - self.first) / (self.last - self.first)
        up = max(value - self.floor, 0.0) / (self.top - self.floor)
        x = _LEFT + across * (self.width - _LEFT - _RIGHT)
        return x, self.height - _BOTTOM - up * (self.height - self.above - _BOTTOM)


def draw_band(
    picture: BandPicture, size: tuple[float, float] = (WIDE, 190.0), standalone: bool = False
) -> str:
    """SVG of a band chart; ``size`` of what stands below its key."""
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
    return document((axes.width, axes.height), body, picture.title, picture.desc, standalone)


def pixels_a_day(days: float, width: float = WIDE) -> float:
    """How far a day moves along a band of so many days."""
    return (width - _LEFT - _RIGHT) / days


def _axes(picture: BandPicture, size: tuple[float, float]) -> _Axes:
    values = [*picture.high, *(v for v, _ in picture.levels), *(v for _, v in picture.seen)]
    if picture.limit:
        values.append(picture.limit[0])
    over = max([*(value - picture.floor for value in values), 1e-9])
    top = picture.floor + _ABOVE * over
    lines = len(_limit_lines(picture, size[0])) + _has_seen_words(picture)
    above = _TOP + _LINE * (lines + (picture.today is not None))
    first, last, height = picture.days[0], picture.days[-1], size[1] + _LINE * lines
    return _Axes(first, last, top, size[0], height, above, picture.floor)


def _has_seen_words(picture: BandPicture) -> bool:
    return bool(picture.seen and picture.seen_words)


def _limit_lines(picture: BandPicture, width: float) -> list[str]:
    """The words of the limit, on as many lines as they take."""
    room, lines = width - _LEFT - _SAMPLE - 8, [""]
    for word in picture.limit[1].split() if picture.limit else ():
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and text_width(longer, SMALL) > room:
            lines.append(word)
        else:
            lines[-1] = longer
    return [one for one in lines if one]


def _frame(picture: BandPicture, axes: _Axes) -> str:
    base = axes.height - _BOTTOM
    drawn = line(_LEFT, base, axes.width - _RIGHT, base, "d-fine")
    for value, label in picture.levels:
        _, y = axes.at(axes.first, value)
        drawn += line(_LEFT - 4, y, _LEFT, y, "d-fine")
        drawn += words(fitted(label, _LEFT - 6, SMALL), _LEFT - 7, y + 4, "d-small", "end")
    drawn += _ticks(picture, axes, base)
    if picture.today:
        x, _ = axes.at(picture.today[0], picture.floor)
        half = text_width(picture.today[1], SMALL) / 2
        at = min(max(x, half), axes.width - half)
        drawn += line(x, axes.above, x, base, "d-today")
        drawn += words(picture.today[1], at, axes.above - 5, "d-small", "middle")
    if picture.limit:
        x, y = axes.at(axes.last, picture.limit[0])
        drawn += line(_LEFT, y, x, y, "d-limit")
    return drawn + _key(picture, axes.width)


def _key(picture: BandPicture, width: float) -> str:
    """What the line and the rings are, above the band."""
    drawn, y, x = "", _TOP + 11, _LEFT + _SAMPLE + 8
    lines = _limit_lines(picture, width)
    if lines:
        drawn += line(_LEFT, y - 4, _LEFT + _SAMPLE, y - 4, "d-limit")
    for text in lines:
        drawn += words(text, x, y, "d-small")
        y += _LINE
    if _has_seen_words(picture):
        drawn += tag("circle", cx=_LEFT + _SAMPLE / 2, cy=y - 4, r=4.0, class_="d-seen")
        drawn += words(fitted(picture.seen_words, width - x, SMALL), x, y, "d-small")
    return drawn


def _ticks(picture: BandPicture, axes: _Axes, base: float) -> str:
    drawn, taken = "", -1e9
    for day, label in picture.ticks:
        x, _ = axes.at(day, picture.floor)
        half = text_width(label, SMALL) / 2
        if x - half < taken or x + half > axes.width or x - half < 0:
            continue
        taken = x + half + 6
        drawn += line(x, base, x, base + 5, "d-fine")
        drawn += words(label, x, base + 21, "d-small", "middle")
    return drawn
