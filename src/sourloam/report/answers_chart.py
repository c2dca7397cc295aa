"""Two pictures of the answer: chance against number of vessels, and rest by season."""

from __future__ import annotations

from typing import Any

import altair as alt

from sourloam.planning.contract import Plan, SeasonRest, VesselOption
from sourloam.report.board import Board, nice_steps
from sourloam.report.palette import BEET, HAIR, INK, LEAF, MUTED, PAPER, SLATE, STRAW
from sourloam.report.quantities import BEYOND, amount, odds, word
from sourloam.report.saying import never, simulated_years

WIDTH = 415
_HEIGHT = 250
_TOP, _BOTTOM = 16, 208
_LEFT = 78
_STYLES = ((BEET, "circle"), (SLATE, "square"), (STRAW, "diamond"))


def chance_chart(plan: Plan, system: str) -> alt.LayerChart:
    """Chance of nowhere to put scraps against the number of vessels, with the accepted level."""
    options = plan.vessels.options[: len(_STYLES)]
    most = max((p.number for o in options for p in o.curve), default=1)
    per_px = (most - 0.5 + 0.5) / (WIDTH - _LEFT)
    board = Board(WIDTH, _HEIGHT, 0.5 - _LEFT * per_px, most + 0.5)
    _grid(board, most)
    accepted = plan.site.accepted_risk
    y = _chance_y(accepted)
    board.rules(
        [{"x": 0.5, "x2": most + 0.5, "y": y, "y2": y}], color=INK, strokeDash=[5, 4], strokeWidth=1
    )
    # The curve starts high and ends low: the words stand where it leaves room.
    high_start = all(o.curve and o.curve[0].chance > accepted + 0.2 for o in options)
    place = {"x": 0.5 if high_start else most + 0.5, "y": y - 9}
    board.words(
        [{**place, "words": f"you accept {odds(accepted)}"}],
        align="left" if high_start else "right",
        fontStyle="italic",
    )
    for option, (colour, shape) in zip(options, _STYLES, strict=False):
        _curve(board, option, colour, shape, simulated_years(plan))
    if len(options) > 1:
        _names(board, options, most)
    return board.chart(*_chance_title(plan))


def _chance_title(plan: Plan) -> tuple[str, list[str]]:
    chosen = next((o for o in plan.vessels.options if o.vessel == plan.vessels.chosen), None)
    note = ["chance a year that every vessel is full some day"]
    if chosen is None:
        return "How many vessels", note
    if chosen.needed is None:
        return f"Even {word(chosen.most_tried)} vessels are not enough", note
    verb = "vessel is" if chosen.needed == 1 else "vessels are"
    return f"{word(chosen.needed).capitalize()} {verb} enough", note


def _chance_y(chance: float) -> float:
    return _BOTTOM - chance * (_BOTTOM - _TOP)


def _grid(board: Board, most: int) -> None:
    levels = [0.0, 0.25, 0.5, 0.75, 1.0]
    lines = [{"x": 0.5, "x2": most + 0.5, "y": _chance_y(c), "y2": _chance_y(c)} for c in levels]
    board.rules(lines, color=HAIR, strokeWidth=1)
    per_px = most / (WIDTH - _LEFT)
    board.words(
        [{"x": 0.5 - 9 * per_px, "y": _chance_y(c), "words": odds(c)} for c in levels],
        align="right",
        color=MUTED,
    )
    every = 1 if most <= 12 else int(nice_steps(most, 8)[1])
    numbers = [n for n in range(1, most + 1) if n % every == 0 or n == 1]
    board.words(
        [{"x": n, "y": _BOTTOM + 16, "words": str(n)} for n in numbers],
        align="center",
        fontWeight="bold",
    )
    middle = (most + 1) / 2
    board.words([{"x": middle, "y": _BOTTOM + 35, "words": "vessels"}], align="center", color=MUTED)


def _curve(board: Board, option: VesselOption, colour: str, shape: str, cases: int) -> None:
    board.lines(
        [{"x": p.number, "y": _chance_y(p.chance)} for p in option.curve],
        color=colour,
        strokeWidth=1.6,
    )
    spans = [
        {"x": p.number, "x2": p.number, "y": _chance_y(p.low), "y2": _chance_y(p.high)}
        for p in option.curve
    ]
    board.rules(spans, color=colour, strokeWidth=3)
    rows: dict[bool, list[dict[str, Any]]] = {True: [], False: []}
    for p in option.curve:
        tip = f"{option.vessel}: with {word(p.number)}, {odds(p.chance, cases)}"
        enough = option.needed is not None and p.number >= option.needed
        rows[enough].append({"x": p.number, "y": _chance_y(p.chance), "tip": tip})
    board.points(rows[False], shape=shape, size=90, color=PAPER, stroke=colour, strokeWidth=2)
    board.points(rows[True], shape=shape, size=90, color=colour, stroke=colour, strokeWidth=2)
    found = [p for p in option.curve if p.number == option.needed]
    board.words(
        [
            {"x": p.number, "y": _chance_y(p.chance) - 17, "words": odds(p.chance, cases)}
            for p in found
        ],
        align="left",
        dx=5,
        fontWeight="bold",
        color=colour,
    )


def _names(board: Board, options: tuple[VesselOption, ...], most: int) -> None:
    per_px = most / (WIDTH - _LEFT)
    for row, (option, (colour, shape)) in enumerate(zip(options, _STYLES, strict=False)):
        y = _TOP + 12 + 19 * row
        x = most + 0.5 - 150 * per_px
        board.points([{"x": x, "y": y}], shape=shape, size=90, color=colour)
        board.words([{"x": x + 10 * per_px, "y": y, "words": option.vessel}], limit=140)


def rest_chart(plan: Plan, system: str) -> alt.LayerChart:
    """Days of rest by season as bars, over the span that is usually advised."""
    seasons, usual = plan.finish.by_season, plan.finish.usual
    ends = [e for s in seasons for e in (s.days.low, s.days.median, s.days.high) if e is not None]
    most = max([*ends, usual.high or 0.0, 7.0]) * 1.06
    per_px = most / (WIDTH - _LEFT)
    board = Board(WIDTH, _HEIGHT, -_LEFT * per_px, most)
    _advice(board, usual.low, usual.high)
    steps = nice_steps(most, 4)
    board.rules(
        [{"x": s, "x2": s, "y": _TOP + 10, "y2": _BOTTOM} for s in steps], color=HAIR, strokeWidth=1
    )
    board.words(
        [{"x": s, "y": _BOTTOM + 16, "words": f"{s:g}"} for s in steps], align="center", color=MUTED
    )
    board.words(
        [{"x": most / 2, "y": _BOTTOM + 35, "words": "days after the last layer"}],
        align="center",
        color=MUTED,
    )
    step = (_BOTTOM - _TOP - 14) / max(1, len(seasons))
    for row, season in enumerate(seasons):
        _season(board, season, _TOP + 14 + step * (row + 0.5), most, system)
    return board.chart(*_rest_title(plan))


def _advice(board: Board, low: float | None, high: float | None) -> None:
    if low is None or high is None:
        return
    board.rects([{"x": low, "x2": high, "y": _TOP + 2, "y2": _BOTTOM}], color=LEAF)
    board.words(
        [{"x": (low + high) / 2, "y": _TOP - 7, "words": "usual advice"}],
        align="center",
        fontStyle="italic",
    )


def _season(board: Board, season: SeasonRest, y: float, most: float, system: str) -> None:
    per_px = most / (WIDTH - _LEFT)
    board.words([{"x": -10 * per_px, "y": y, "words": season.season}], align="right")
    days = season.days
    if days.low is None:
        board.words([{"x": 6 * per_px, "y": y, "words": BEYOND}], fontWeight="bold")
        return
    tip = f"{season.season}: {amount(days, system)} at {amount(season.temperature, system)}"
    high = days.high if days.high is not None else most
    box = {"x": days.low, "x2": high, "y": y - 5, "y2": y + 9, "tip": tip}
    board.rects([box], color=STRAW, stroke=INK, strokeWidth=0.7)
    if days.median is not None:
        tick = {"x": days.median, "x2": days.median, "y": y - 9, "y2": y + 13}
        board.rules([tick], color=BEET, strokeWidth=4)
    shown = f"{days.median:.0f}" if days.median is not None else BEYOND
    place = days.median if days.median is not None else most
    align = "center" if days.median is not None else "right"
    board.words([{"x": place, "y": y - 16, "words": shown}], align=align, fontWeight="bold")


def _rest_title(plan: Plan) -> tuple[str, list[str]]:
    known = [s for s in plan.finish.by_season if s.days.median is not None]
    note = ["tick, the middle value; bar, eight of ten simulated cases"]
    if not known:
        return "No season lets it finish in time", note
    if cold := never(plan.finish.by_season):
        return f"In {cold}, it does not turn sour in time", note
    slow = max(known, key=lambda s: s.days.median or 0.0)
    if len(plan.finish.by_season) == 1:
        return f"Rest about {slow.days.median:.0f} days", note
    return f"Rest longest in {slow.season}: about {slow.days.median:.0f} days", note
