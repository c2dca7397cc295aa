"""Drawings of a class kit: three jars, and a chart of pH over days, empty or foreseen."""

from __future__ import annotations

from collections.abc import Sequence

from sourloam.documents.experiment import MEASURED, Jar, Outlook
from sourloam.documents.speech import Speech
from sourloam.documents.typesetting import with_rules
from sourloam.drawing.svg import document, line, path, tag, through, words

_WIDE, _TALL, _LEFT, _BOTTOM, _TOP = 176.0, 96.0, 12.0, 12.0, 4.0  # mm
_LEAST, _MOST = 3.0, 7.0  # pH at the ends of the chart
_APART_MM = 6.5
_DASHES = {"A": "", "B": "5 1.6", "C": "1 1.8"}
_SHADES = {"A": "#8d8d8d", "B": "#bdbdbd", "C": "#e0e0e0"}
_RULES = (
    ".k-grid{fill:none;stroke:#bbb;stroke-width:.2}.k-axis{fill:none;stroke:#111;stroke-width:.5}"
    ".k-word{font-family:Libertinus Serif;font-size:4.2px;fill:#111}"
    ".k-large{font-family:Libertinus Serif;font-size:8px;font-weight:700;fill:#111}"
    ".k-jar{fill:#fff;stroke:#111;stroke-width:.7}.k-scraps{fill:#cfc9bd;stroke:#111;"
    "stroke-width:.4}.k-piece{fill:none;stroke:#555;stroke-width:.6}"
)


def chart(outlooks: Sequence[Outlook], alt: str, speech: Speech) -> str:
    """pH by day; with no outlooks an empty grid to draw on."""
    body = _grid(speech)
    for outlook in reversed(outlooks):  # the palest band lies lowest
        body += _band(outlook)
    for outlook in outlooks:
        body += _middle(outlook)
    body += _letters(outlooks)
    return with_rules(document((_WIDE, _TALL), body, alt, ""), _RULES)


def three_jars(jars: Sequence[Jar], said: Sequence[str], alt: str) -> str:
    """Jars side by side with their letters and what is in them."""
    body = ""
    for place, (jar, what) in enumerate(zip(jars, said, strict=True)):
        x = 14.0 + place * 58.0
        body += tag("rect", x=x, y=6.0, width=30.0, height=38.0, rx=4, class_="k-jar")
        body += tag("rect", x=x + 1.5, y=18.0, width=27.0, height=24.5, rx=3, class_="k-scraps")
        body += _pieces(x, 3 if jar.bran_kg_per_kg > 0 else 0)
        body += tag("rect", x=x - 1, y=2.5, width=32.0, height=4.5, rx=1.5, class_="k-jar")
        body += words(jar.letter, x + 15, 33.0, "k-large", "middle")
        body += words(what, x + 15, 51.0, "k-word", "middle")
    return with_rules(document((_WIDE, 54.0), body, alt, ""), _RULES)


def _at(day: float, ph: float) -> tuple[float, float]:
    x = _LEFT + day / MEASURED[-1] * (_WIDE - _LEFT - 10)
    return x, _TOP + (_MOST - min(max(ph, _LEAST), _MOST)) / (_MOST - _LEAST) * (
        _TALL - _TOP - _BOTTOM
    )


def _grid(speech: Speech) -> str:
    drawn = ""
    for day in range(MEASURED[-1] + 1):
        (x, low), (_, top) = _at(day, _LEAST), _at(day, _MOST)
        drawn += line(x, low, x, top, "k-axis" if day == 0 else "k-grid")
        if day in MEASURED:
            drawn += words(str(day), x, low + 4.8, "k-word", "middle")
    for half in range(int(2 * (_MOST - _LEAST)) + 1):
        ph = _LEAST + half / 2
        (x, y), (right, _) = _at(0, ph), _at(MEASURED[-1], ph)
        drawn += line(x, y, right, y, "k-axis" if half == 0 else "k-grid")
        if half % 2 == 0:
            drawn += words(f"{ph:.0f}", x - 2, y + 1.4, "k-word", "end")
    drawn += words("pH", 1.5, _TOP + 1.5, "k-word")
    return drawn + words(speech.say("days"), _WIDE - 1, _TALL - 2, "k-word", "end")


def _band(outlook: Outlook) -> str:
    upper = [_at(d, r.high or 0) for d, r in zip(MEASURED, outlook.ph, strict=True)]
    lower = [_at(d, r.low or 0) for d, r in zip(MEASURED, outlook.ph, strict=True)]
    shape = through([*upper, *reversed(lower)]) + "Z"
    return tag("path", d=shape, fill=_SHADES[outlook.jar.letter], fill_opacity="0.55")


def _middle(outlook: Outlook) -> str:
    points = [_at(d, r.median or 0) for d, r in zip(MEASURED, outlook.ph, strict=True)]
    drawn = tag(
        "path",
        d=through(points),
        fill="none",
        stroke="#111",
        stroke_width=0.8,
        stroke_dasharray=_DASHES[outlook.jar.letter] or None,
    )
    return drawn


def _letters(outlooks: Sequence[Outlook]) -> str:
    """Letters beside the ends of the lines, moved apart where they would touch."""
    ends = sorted((_at(MEASURED[-1], o.ph[-1].median or 0)[1], o.jar.letter) for o in outlooks)
    x, _ = _at(MEASURED[-1], _LEAST)
    drawn, least = "", 0.0
    for y, letter in reversed(ends):  # from the bottom up
        y = min(y + 2.5, least - _APART_MM) if least else y + 2.5
        least = y
        drawn += words(letter, x + 2, y, "k-large")
    return drawn


def _pieces(x: float, crumbs: int) -> str:
    drawn = ""
    for i in range(22):
        left, top = x + 3 + (i * 61 % 97) / 97 * 22, 21 + (i * 43 % 89) / 89 * 19
        drawn += f"M{left:.1f} {top:.1f}l2 {(-1, 0.8, 0.2)[i % 3]}"
    for i in range(10 * crumbs):
        left, top = x + 2.5 + (i * 37 % 83) / 83 * 25, 19 + (i * 53 % 91) / 91 * 22.5
        drawn += f"M{left:.1f} {top:.1f}h.5"
    return path(drawn, "k-piece")
