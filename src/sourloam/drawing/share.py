"""A share of a whole as a bar: how far it reaches, and the range in which it lies."""

from __future__ import annotations

from sourloam.drawing.svg import tag

_WIDE, _TALL = 120.0, 16.0


def draw_share(share: float, low: float, high: float) -> str:
    """SVG of a share, 0 to 1, with its range; its figure stands beside it, so that it is hidden
    from readers aloud."""
    if not 0 <= low <= share <= high <= 1:
        raise ValueError(f"a share of {share} does not lie in {low} to {high}")
    ground = tag("rect", x=0.0, y=3.0, width=_WIDE, height=_TALL - 6, rx=5, class_="d-track")
    bar = tag("rect", x=0.0, y=3.0, width=share * _WIDE, height=_TALL - 6, rx=5, class_="d-share")
    left, right = low * _WIDE, high * _WIDE
    reach = tag(
        "path", d=f"M{left:.1f} 8H{right:.1f}M{left:.1f} 4v8M{right:.1f} 4v8", class_="d-line"
    )
    return tag(
        "svg",
        ground + bar + reach,
        class_="share",
        viewBox=f"-2 0 {_WIDE + 4:g} {_TALL:g}",
        aria_hidden="true",
    )
