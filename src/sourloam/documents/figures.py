"""Figures of a programme on paper, for those who pay: what was done, drawn, counted, how we know.

The words come from whoever asks, as its page has them; only the frame is this room's.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any

from sourloam.documents.typesetting import Printing, for_print, typeset
from sourloam.drawing.columns import ColumnsPicture, draw_columns
from sourloam.drawing.ways import WaysPicture, draw_ways

COUNTED = "How each figure is counted"
CLIMATE_KNOWN = "How the climate is reckoned"
FOOT = (
    "Ranges hold eight of ten possible cases. From the logs of the places and of the programme; "
    "estimates for a decision, no certificate."
)


@dataclass(frozen=True)
class Figure:
    """One figure: what it is of, its range, how it is counted."""

    of: str
    figure: str
    range: str
    how: str


@dataclass(frozen=True)
class Climate:
    """What it means for the climate: drawn, said, how we know; ``waits`` tells who is missing."""

    title: str
    of: str
    ways: WaysPicture
    said: tuple[str, ...]
    known: tuple[str, ...]
    waits: str = ""


@dataclass(frozen=True)
class FiguresPaper:
    """All that stands on it; ``months`` is None where nothing was logged, ``climate`` where
    nothing was reckoned, or the time is not all of it."""

    title: str
    period: str
    said: str
    months: ColumnsPicture | None
    most: str
    month_rows: tuple[tuple[str, str], ...]
    figures: tuple[Figure, ...]
    climate: Climate | None


_WIDE = 560.0
_ACROSS = 4


def figures_paper(told: FiguresPaper, printing: Printing) -> bytes:
    """A PDF of a page or two."""
    speech = printing.speech
    data: dict[str, Any] = {
        "title": told.title,
        "under": told.period,
        "said": told.said,
        "months": _months(told),
        "month_rows": told.month_rows,
        "figures": [asdict(one) for one in told.figures],
        "across": _ACROSS,
        "climate": None if told.climate is None else _climate(told.climate),
        "counted": speech.say(COUNTED),
        "climate_known": speech.say(CLIMATE_KNOWN),
        "foot": _foot(told, printing),
    }
    return typeset("figures", data, printing)


def _months(told: FiguresPaper) -> dict[str, str] | None:
    if told.months is None:
        return None
    svg = for_print(draw_columns(told.months, _WIDE, standalone=True))
    return {"svg": svg, "title": told.months.title, "alt": told.months.desc, "most": told.most}


def _climate(told: Climate) -> dict[str, Any]:
    return {
        "title": told.title,
        "of": told.of,
        "svg": for_print(draw_ways(told.ways, standalone=True)),
        "alt": told.ways.desc,
        "drawn": told.ways.title,
        "said": told.said,
        "known": told.known,
        "waits": told.waits,
    }


def _foot(told: FiguresPaper, printing: Printing) -> str:
    said = printing.speech.say(FOOT)
    if printing.day is None:
        return said
    return f"{told.title}, {printing.speech.day(printing.day, year=True)}. {said}"


def sentences() -> set[str]:
    """Every text of this file, for the list of translations."""
    return {COUNTED, CLIMATE_KNOWN, FOOT}
