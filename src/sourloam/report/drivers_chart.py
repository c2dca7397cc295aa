"""What moves the answer most: each input from its low to its high end, outcome by outcome."""

from __future__ import annotations

from collections.abc import Sequence

import altair as alt

from sourloam.planning.contract import Driver, Effect, Plan
from sourloam.report.board import Board
from sourloam.report.palette import BEET, HAIR, INK, MUTED, NOTE_SIZE, PAPER, STRAW
from sourloam.report.reasons import OUTCOMES, figure, input_range, still

WIDTH = 880
_LABEL = 288
_HEAD = 46
_STEP = 46
_ROWS = 7
_LITRE = 1000
_SIDE = 0.27
_LEAST_SPREAD = 0.4
_ORDER = ("fill", "finish", "chance", "liquid", "vessels")
_COLUMNS = 4


def drivers_chart(plan: Plan, system: str) -> alt.LayerChart:
    """A row for each input, a column for each outcome; ring the low end, dot the high end."""
    drivers = _in_one_unit(sorted(plan.drivers, key=lambda d: d.rank)[:_ROWS])
    present = {e.outcome for d in drivers for e in d.effects if not still(e, system)}
    outcomes = [o for o in _ORDER if o in present][:_COLUMNS]
    board = Board(WIDTH, _HEAD + _STEP * len(drivers) + 6, 0, WIDTH)
    _frame(board, drivers, outcomes, system)
    wide = (WIDTH - _LABEL) / max(1, len(outcomes))
    for column, outcome in enumerate(outcomes):
        effects = [(i, e) for i, d in enumerate(drivers) for e in d.effects if e.outcome == outcome]
        _column(board, effects, _LABEL + wide * column, wide, system)
    return board.chart(
        "What moves the answer most",
        [
            "one input at a time: ring, at its low end; dot, at its high end; the rest left alone; "
            "a dash where nothing moves"
        ],
    )


def _in_one_unit(drivers: Sequence[Driver]) -> list[Driver]:
    """Liquid in litres throughout where any of it reaches a litre, so that a column agrees."""
    ends = [
        v
        for d in drivers
        for e in d.effects
        if e.unit == "mL/week"
        for v in (e.at_low, e.at_high)
        if v is not None
    ]
    if max(ends, default=0.0) < _LITRE:
        return list(drivers)
    return [
        d.model_copy(update={"effects": tuple(_in_litres(e) for e in d.effects)}) for d in drivers
    ]


def _in_litres(effect: Effect) -> Effect:
    if effect.unit != "mL/week":
        return effect
    low, high = (None if v is None else v / _LITRE for v in (effect.at_low, effect.at_high))
    return effect.model_copy(update={"unit": "L/week", "at_low": low, "at_high": high})


def _frame(board: Board, drivers: Sequence[Driver], outcomes: Sequence[str], system: str) -> None:
    lines = [{"x": 0, "x2": WIDTH, "y": y, "y2": y} for y in _edges(len(drivers))]
    board.rules(lines, color=HAIR, strokeWidth=1)
    rows = [(d, _HEAD + _STEP * i) for i, d in enumerate(drivers)]
    names = [{"x": 0, "y": y + 16, "words": d.name} for d, y in rows]
    board.words(names, fontWeight="bold", limit=_LABEL - 12)
    notes = [{"x": 0, "y": y + 33, "words": input_range(d, system)} for d, y in rows]
    board.words(notes, color=MUTED, fontSize=NOTE_SIZE - 1, limit=_LABEL - 12)
    wide = (WIDTH - _LABEL) / max(1, len(outcomes))
    heads = [
        {"x": _LABEL + wide * (c + 0.5), "y": _HEAD - 18, "words": _head(drivers, o, system)}
        for c, o in enumerate(outcomes)
    ]
    board.words(heads, align="center", fontWeight="bold", color=MUTED)


def _edges(rows: int) -> list[int]:
    return [_HEAD + _STEP * i for i in range(rows + 1)]


def _column(
    board: Board, effects: list[tuple[int, Effect]], left: float, wide: float, system: str
) -> None:
    moved = [(row, e) for row, e in effects if not still(e, system)]
    dashes = [
        {"x": left + wide / 2, "y": _HEAD + _STEP * (row + 0.5), "words": "–"}
        for row, e in effects
        if still(e, system)
    ]
    board.words(dashes, align="center", color=MUTED)
    ends = [v for _, e in moved for v in (e.at_low, e.at_high) if v is not None]
    low, high = min(ends, default=0.0), max(ends, default=0.0)
    # A change of a few hundredths must not look like a large one.
    short = _LEAST_SPREAD * max(abs(low), abs(high)) - (high - low)
    if short > 0:
        low, high = low - short / 2, high + short / 2
    scale = (1 - 2 * _SIDE) * wide / (high - low) if high > low else 0.0

    def x(value: float | None) -> float:
        inner = (high if value is None else value) - low
        return left + _SIDE * wide + inner * scale if scale else left + wide / 2

    for row, effect in moved:
        y = _HEAD + _STEP * (row + 0.5)
        a, z = x(effect.at_low), x(effect.at_high)
        board.rules([{"x": a, "x2": z, "y": y, "y2": y}], color=STRAW, strokeWidth=7)
        tip = f"{OUTCOMES[effect.outcome]}: {_both(effect, system)}"
        board.points(
            [{"x": z, "y": y, "tip": tip}], size=80, color=BEET, stroke=BEET, strokeWidth=2
        )
        board.points(
            [{"x": a, "y": y, "tip": tip}], size=80, color=PAPER, stroke=BEET, strokeWidth=2
        )
        _figures(board, effect, a, z, y, system)


def _both(effect: Effect, system: str) -> str:
    low, high = (figure(v, effect, system) for v in (effect.at_low, effect.at_high))
    return f"{low} at the low end, {high} at the high end"


def _figures(board: Board, effect: Effect, a: float, z: float, y: float, system: str) -> None:
    """The figure at each end, on the outer side."""
    low, high = (_parted(v, effect, system)[0] for v in (effect.at_low, effect.at_high))
    sides = ("right", "left") if a <= z else ("left", "right")
    for place, text, side in ((a, low, sides[0]), (z, high, sides[1])):
        shift = 9 if side == "left" else -9
        board.words([{"x": place + shift, "y": y, "words": text}], align=side, color=INK)


def _head(drivers: Sequence[Driver], outcome: str, system: str) -> str:
    """Name of the outcome, with the unit that its figures share."""
    name = OUTCOMES[outcome]
    effects = [e for d in drivers for e in d.effects if e.outcome == outcome]
    units = {_parted(v, e, system)[1] for e in effects for v in (e.at_low, e.at_high)} - {""}
    return f"{name}, {units.pop()}" if len(units) == 1 and not name.startswith("Days") else name


def _parted(value: float | None, effect: Effect, system: str) -> tuple[str, str]:
    """A figure and the rest of its words."""
    words = figure(value, effect, system)
    number, _, unit = words.partition(" ")
    return (number, unit) if number[:1].isdigit() else (words, "")
