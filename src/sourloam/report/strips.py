"""Small pictures in plain signs: the vessel from the side, the year as a strip, weeks as bars."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from datetime import date, timedelta

from sourloam.planning.contract import Blocked, Fill, Span, WeekAmount

STATE_SIGNS = {
    "empty": "·",
    "filling": "█",
    "resting": "░",
    "ready": "•",
    "held": "=",
    "failed": "x",
}
_STEPS = "▁▂▃▄▅▆▇█"
_LABEL = 22
_ROW_FROM = 15
_CUP = 18
_LEVELS = 6


def side_view(fill: Fill, full: str, liquid: str) -> list[str]:
    """A vessel from the side, with the day on which its contents reach each height."""
    wall = _CUP - 2
    lines = [
        f"  {'_' * wall}",
        f" [{'_' * wall}]  lid",
        f"  |{' ' * (wall - 2)}|   headroom",
        f"  |{'═' * (wall - 2)}|   plate: {full}",
    ]
    told: set[str] = set()  # of a vessel that is soon full, each day stands once, at its highest
    for step in range(_LEVELS, 0, -1):
        height = 100 * (step - 1) / _LEVELS
        day = _day_reaching(fill, height)
        sign = "░" if step % 2 else "▒"
        new = day and day not in told and step > 1
        note = f"   {height:.0f} % full after {day}" if new else ""
        told.add(day)
        lines.append(f"  |{sign * (wall - 2)}|{note}")
    return [
        *lines,
        f"  |{('- ' * wall)[: wall - 2]}|   drain grid",
        f"  |{'≈' * (wall - 2)}|=  tap: {liquid}",
        f"  '{'─' * (wall - 2)}'",
    ]


def _day_reaching(fill: Fill, height: float) -> str:
    for point in fill.level:
        if point.share.median is not None and point.share.median >= height > 0:
            return "1 day" if point.day == 1 else f"{point.day} days"
    return ""


def cells_per_month(width: int, labels: Sequence[str]) -> int:
    """How many columns a month can have beside the longest label."""
    return max(2, min(7, (width - label_width(labels) - 4) // 12))


def label_width(labels: Sequence[str]) -> int:
    """Columns that the labels take."""
    return min(_LABEL, max((len(label) for label in labels), default=0))


def month_starts(first: date, last: date) -> list[date]:
    """The first day of each calendar month from the one of ``first`` to the one of ``last``."""
    months = range(first.year * 12 + first.month - 1, last.year * 12 + last.month)
    return [date(m // 12, m % 12 + 1, 1) for m in months]


def whole_years(months: Sequence[date], last: date) -> list[Sequence[date]]:
    """The months in rows of twelve; a few left-over days at the end get no row of their own."""
    rows = [months[first : first + 12] for first in range(0, len(months), 12)]
    if len(rows) > 1 and len(rows[-1]) == 1 and last.day < _ROW_FROM:
        rows.pop()
    return rows


def strip(months: Sequence[date], cells: int, sign_on: Callable[[date], str]) -> str:
    """One row of the year: each cell shows the sign that most of its days have."""
    row = []
    for month in months:
        days = (_next(month) - month).days
        for cell in range(cells):
            first, last = days * cell // cells, days * (cell + 1) // cells
            signs = Counter(sign_on(month + timedelta(days=d)) for d in range(first, last))
            row.append(signs.most_common(1)[0][0])
    return "".join(row)


def month_head(months: Sequence[date], cells: int) -> str:
    """Names of the months above the strip, as long as they have room."""
    return "".join(f"{m:%b}"[: max(1, cells - 1)].ljust(cells) for m in months)


def vessel_rows(spans: Sequence[Span], months: Sequence[date], cells: int) -> list[tuple[str, str]]:
    """Label and strip of each vessel, in the order in which they are first filled."""
    rows = []
    for name in dict.fromkeys(span.vessel for span in spans):
        own = [span for span in spans if span.vessel == name]

        def sign(day: date, own: list[Span] = own) -> str:
            found = [s.state for s in own if s.start <= day <= s.end]
            return STATE_SIGNS[found[0] if found else "empty"]

        rows.append((name, strip(months, cells, sign)))
    return rows


def blocked_row(blocked: Sequence[Blocked], kind: str, months: Sequence[date], cells: int) -> str:
    """Strip that shows when something of one kind is blocked."""
    own = [b for b in blocked if b.kind == kind]
    return strip(months, cells, lambda d: "x" if any(b.start <= d <= b.end for b in own) else "·")


def whole_weeks(weeks: Sequence[WeekAmount], until: date) -> list[WeekAmount]:
    """The weeks without a last one that the end of the planned time cuts short."""
    return [week for week in weeks if week.start + timedelta(days=6) <= until]


def known(week: WeekAmount) -> bool:
    """Whether the week's amount has a middle value."""
    return week.amount.median is not None


def week_bars(weeks: Sequence[WeekAmount]) -> str:
    """One sign for each week, as high as the week's amount against the largest."""
    amounts = [week.amount.median or 0.0 for week in weeks]
    most = max(amounts, default=0.0)
    if most <= 0:
        return ""
    return "".join(
        _STEPS[min(7, int(8 * amount / most))] if amount > 0 else "·" for amount in amounts
    )


def shortened(label: str) -> str:
    """A label that fits its column; the end says which vessel, so the middle gives way."""
    if len(label) <= _LABEL:
        return label
    head, tail = label[: _LABEL // 2 - 1], label[-(_LABEL // 2) :]
    return f"{head}…{tail}"


def _next(month: date) -> date:
    return date(month.year + month.month // 12, month.month % 12 + 1, 1)
