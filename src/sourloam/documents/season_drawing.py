"""The drawings of a season report, in greys that any printer keeps apart: weeks, vessels, beds."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from sourloam.documents.ground_drawing import Scaled, bed_from_above
from sourloam.documents.season_account import Account, spans
from sourloam.documents.speech import Speech
from sourloam.drawing.season import SeasonPicture, Strip, draw_season
from sourloam.drawing.svg import document, line, tag, words
from sourloam.garden.contract import TrenchPiece
from sourloam.ledger.bodies import Buried
from sourloam.ledger.state import BedState, Record
from sourloam.numerics import Range

_WIDE, _TALL, _LEFT, _FOOT = 182.0, 46.0, 16.0, 7.0
_STEPS = (0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000)
_LINES = 4
_RULES = (
    ".d-bar{fill:#777;stroke:#111;stroke-width:.25}.d-edge{stroke:#111;stroke-width:.45;fill:none}"
    ".d-thin{stroke:#bbb;stroke-width:.2;fill:none}"
    ".d-print{font-family:Libertinus Serif;font-size:3.5px;fill:#111}"
)
_STRIPS = (
    ".d-word{font-family:Libertinus Serif;font-size:15px;fill:#111}"
    ".d-small{font-family:Libertinus Serif;font-size:13px;fill:#333}"
    ".d-fine{stroke:#aaa;stroke-width:1;fill:none}.d-today{stroke:#111;stroke-width:1.5}"
    ".d-s-filling{fill:#4a4a4a}.d-s-resting{fill:#c4c4c4;stroke:#333;stroke-width:.8}"
    ".d-s-ready{fill:#fff;stroke:#111;stroke-width:1.6}"
    ".d-s-failed{fill:#8a8a8a;stroke:#111;stroke-width:1}"
    ".d-hatch{fill:none;stroke:#fff;stroke-width:1.6}"
)
#: Greys of the strips, for their legend.
SHADES = {"filling": "#4a4a4a", "resting": "#c4c4c4", "ready": "#ffffff", "failed": "#8a8a8a"}


def _styled(svg: str, rules: str) -> str:
    head, close, rest = svg.partition("</title>")
    return f"{head}{close}<style>{rules}</style>{rest}"


def weeks(found: Sequence[tuple[dt.date, Range]], speech: Speech, alt: str) -> str:
    """A bar for each week with its range; ``found`` holds Mondays with kilograms."""
    most = max((r.high or 0.0 for _day, r in found), default=0.0) or 1.0
    step = next((s for s in _STEPS if most / s <= _LINES), _STEPS[-1])
    scale = _TALL / (step * max(1, -(-most // step)))
    ground, body = _TALL + 5, ""
    for number in range(int(_TALL / (step * scale) + 1e-9) + 1):
        y = ground - number * step * scale
        body += line(_LEFT, y, _WIDE, y, "d-thin")
        body += words(speech.figure(number * step, "kg"), _LEFT - 1.5, y + 1.1, "d-print", "end")
    each = (_WIDE - _LEFT) / max(len(found), 1)
    for place, (monday, mass) in enumerate(found):
        x = _LEFT + place * each
        if mass.median:
            tall = mass.median * scale
            left, wide = x + each * 0.14, each * 0.72
            top = ground - tall
            body += tag("rect", class_="d-bar", x=left, y=top, width=wide, height=tall)
            middle = x + each / 2
            low, high = (ground - (end or 0.0) * scale for end in (mass.low, mass.high))
            body += line(middle, low, middle, high, "d-edge")
        if monday.day <= 7 and (len(found) < 30 or monday.month % 2):
            body += words(speech.months()[monday.month - 1][:3], x, ground + 4.6, "d-print")
    body += line(_LEFT, ground, _WIDE, ground, "d-edge")
    return _styled(document((_WIDE, ground + _FOOT), body, alt, ""), _RULES)


def strips(found: Account, speech: Speech, alt: str) -> str | None:
    """A strip for each vessel, None where nothing was filled."""
    days = float((found.last - found.first).days + 1)
    rows: dict[str, list[tuple[float, float, str]]] = {}
    for vessel, turn in found.turns:
        for start, end, state in spans(turn, found.last):
            a, b = ((day - found.first).days for day in (max(start, found.first), end))
            if b > a:
                rows.setdefault(vessel.name, []).append((float(a), float(b), state))
    if not rows:
        return None
    picture = SeasonPicture(
        days,
        tuple(Strip(name, tuple(parts)) for name, parts in rows.items()),
        tuple(
            (float((day - found.first).days), speech.months()[day.month - 1][:3])
            for day in _firsts(found)
        ),
        title=alt,
    )
    return _styled(draw_season(picture), _STRIPS)


def _firsts(found: Account) -> Iterator[dt.date]:
    """Firsts of the months, every other one in a long season."""
    long = (found.last - found.first).days > 200
    day = (found.first.replace(day=1) + dt.timedelta(days=32)).replace(day=1)
    while day <= found.last:
        if not long or day.month % 2:
            yield day
        day = (day + dt.timedelta(days=32)).replace(day=1)


@dataclass(frozen=True)
class _Ground:
    name: str
    length: float
    width: float


@dataclass(frozen=True)
class _Dug:
    width: float
    pieces: tuple[TrenchPiece, ...]


def bed_plan(
    bed: BedState, burials: Sequence[tuple[int, Record[Buried]]], speech: Speech
) -> Scaled | None:
    """A bed from above with its trenches by number; None where the bed was never described."""
    if bed.added is None:
        return None
    spec = bed.added.body.read_spec()
    placed = [
        (number, _Dug(record.body.width_m, (_piece(record.body, spec.length_m, spec.width_m),)))
        for number, record in burials
        if record.body.along_m is not None
    ]
    return bed_from_above(_Ground(bed.name, spec.length_m, spec.width_m), placed, speech)


def _piece(body: Buried, length: float, width: float) -> TrenchPiece:
    assert body.along_m is not None
    return TrenchPiece(along=min(body.along_m, length), start=0.0, end=min(body.length_m, width))
