"""What was saved against which way, said and drawn: for one place, or for many added up."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Protocol

from sourloam.documents.achieved_teller import Figures
from sourloam.drawing.ways import Way, WayRow, WaysPicture
from sourloam.evidence import book
from sourloam.numerics.range import Range
from sourloam.report.board import nice_steps
from sourloam.report.impact_units import in_units


class Compared(Protocol):
    """What fermenting saves against another way."""

    @property
    def id(self) -> str:
        """The other way's."""

    @property
    def saved(self) -> Range:
        """kg CO2e."""

    @property
    def chance(self) -> float:
        """That it is more than nothing."""


class Total(Protocol):
    """What a way gives off."""

    @property
    def id(self) -> str:
        """The way's."""

    @property
    def total(self) -> Range:
        """kg CO2e."""


def saved_said(t: Figures, comparisons: Sequence[Compared], years: int) -> Iterator[str]:
    """Against which ways it saves, against which it doesn't, against which it can't be told."""
    sure = book()["impact.tell.sure"].value
    better = [c for c in comparisons if c.chance >= sure]
    worse = [c for c in comparisons if 1 - c.chance >= sure]
    for c in better:
        yield t.say(
            "Against the {way}, {years} years on: {ends} saved; better in {chance} possible "
            "worlds.",
            way=t.way(c.id),
            years=years,
            ends=t.ends(c.saved),
            chance=t.chance(c.chance),
        )
    for c in worse:
        yield t.say(
            "Against the {way}: nothing saved; worse in {chance} possible worlds.",
            way=t.way(c.id),
            chance=t.chance(1 - c.chance),
        )
    rest = [c for c in comparisons if c not in better and c not in worse]
    if rest:
        ways = "; ".join(f"{t.way(c.id)} ({t.chance(c.chance)})" for c in rest)
        yield t.say("Better or worse can't be told against: {ways}.", ways=ways)


def ways_drawn(
    t: Figures, routes: Sequence[Total], comparisons: Sequence[Compared], years: int
) -> WaysPicture:
    """Every way with what it gives off."""
    chance = {c.id: c.chance for c in comparisons}
    rows = tuple(
        WayRow(
            _way_id(r.id),
            t.way(r.id),
            _plain(t, r.total.low, r.total.unit),
            _plain(t, r.total.median, r.total.unit),
            _plain(t, r.total.high, r.total.unit),
            t.three(r.total, unit=False),
            t.say("fermenting: less in {chance}", chance=t.chance(chance[r.id]))
            if r.id in chance
            else "",
        )
        for r in routes
    )
    most = max(row.high for row in rows) or 1.0
    ticks = tuple((s, t.local(f"{s:g}")) for s in (0.0, *nice_steps(most, 4)))
    unit = t.say(
        "{unit} over {years} years",
        unit=t.unit("kg CO2e"),
        years=years,
    )
    desc = "; ".join(f"{row.name}: {row.figure}" for row in rows)
    title = t.say("What the same scraps give off on each way")
    return WaysPicture(rows, tuple(dict(ticks).items()), unit, title, desc)


def _way_id(id_: str) -> Way:
    ways: dict[str, Way] = {
        "ferment": "ferment",
        "landfill": "landfill",
        "incinerator": "incinerator",
        "compost_works": "compost_works",
        "heap": "heap",
        "well_run_heap": "well_run_heap",
    }
    return ways[id_]


def _plain(t: Figures, value: float | None, unit: str) -> float:
    return in_units(value or 0.0, unit, t.speech.system)
