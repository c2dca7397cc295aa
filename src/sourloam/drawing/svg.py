"""SVG text, element by element, with everything escaped."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from sourloam.drawing.palette import inline_style

#: Widest mean letter of the drawings' type, as a share of its size.
_LETTER = 0.58


def tag(name: str, inside: str = "", **attributes: object) -> str:
    """One element; ``class_`` and ``stroke_width`` become class and stroke-width."""
    given = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{_shown(value)}"'
        for key, value in attributes.items()
        if value is not None
    )
    return f"<{name}{given}>{inside}</{name}>" if inside else f"<{name}{given}/>"


def words(text: str, x: float, y: float, kind: str = "d-word", anchor: str | None = None) -> str:
    """Text at a point; ``anchor`` is middle or end, start if left out."""
    return tag("text", escape(text), x=x, y=y, class_=kind, text_anchor=anchor)


def path(points: str, kind: str) -> str:
    """A path of one class."""
    return tag("path", d=points, class_=kind)


def line(x: float, y: float, x2: float, y2: float, kind: str) -> str:
    """A straight line."""
    return path(f"M{_number(x)} {_number(y)}L{_number(x2)} {_number(y2)}", kind)


def through(points: Iterable[tuple[float, float]]) -> str:
    """Path text of a polyline."""
    return "M" + "L".join(f"{_number(x)} {_number(y)}" for x, y in points)


def text_width(text: str, size: float = 13) -> float:
    """Pixels that a text may take; a generous guess, so that nothing is clipped."""
    return len(text) * size * _LETTER


def fitted(text: str, width: float, size: float = 13) -> str:
    """The text, cut with an ellipsis if it would be wider than ``width``."""
    if text_width(text, size) <= width:
        return text
    room = max(1, int(width / (size * _LETTER)) - 1)
    return text[:room].rstrip() + "…"


def document(
    size: tuple[float, float], body: str, title: str, desc: str, standalone: bool = False
) -> str:
    """A whole drawing with its title and description for people who hear it."""
    width, height = size
    style = tag("style", inline_style()) if standalone else ""
    head = tag("title", escape(title)) + (tag("desc", escape(desc)) if desc else "")
    return tag(
        "svg",
        head + style + body,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {_number(width)} {_number(height)}",
        width=width,
        height=height,
        role="img",
        aria_label=f"{title}. {desc}" if desc else title,
        class_="drawing",
    )


def _shown(value: object) -> str:
    return _number(value) if isinstance(value, float) else escape(str(value), quote=True)


def _number(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")
