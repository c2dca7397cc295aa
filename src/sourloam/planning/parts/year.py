"""The middle member's year: which vessel is in which state when, and what the ground does."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import book
from sourloam.planning import counting
from sourloam.planning.case import Case
from sourloam.planning.contract import Blocked, Span
from sourloam.planning.rotation import EMPTY, STATES, Turned, Turns, rotate
from sourloam.planning.work import Work

Floats = NDArray[np.float64]
_SPELL = 3  # method: shorter spells are not told one by one


@dataclass(frozen=True)
class Year:
    """The middle member's rotation from the start on, with no vessel in use before."""

    turns: Turns
    turned: Turned
    labels: tuple[str, ...]
    spans: tuple[Span, ...]
    blocked: tuple[Blocked, ...]

    def thawed(self, day: dt.date) -> dt.date:
        """That day, or the first one after the time of frost in which it lies."""
        frozen = (stop for stop in self.blocked if stop.kind == "ground")
        stop = next((stop for stop in frozen if stop.start <= day <= stop.end), None)
        return day if stop is None else stop.end + dt.timedelta(days=1)


def year_of(work: Work) -> Year:
    """Run the chosen vessels with middle amounts through the planned time."""
    case = work.case
    turns = _middle_turns(work)
    turned = rotate(turns, (0,) * work.number, counting.habits())
    name = work.chosen.vessel.name
    labels = tuple(f"{name} no. {i + 1}" for i in range(work.number))
    return Year(turns, turned, labels, _spans(case, turned, labels), _blocked(case, turns))


def _middle_turns(work: Work) -> Turns:
    """One member with the medians of every day; amounts keep the median total of a year.

    The ground is open on days on which it can be dug in most years, as in the plan of the beds.
    """
    case, alone = work.case, work.alone(work.chosen)
    sure = book()["beds.workable_chance"].value
    days = case.planned
    scraps = np.median(alone.scraps_kg[:, days], axis=0)
    total = np.median(alone.scraps_kg[:, days].sum(axis=1))
    scraps *= total / scraps.sum() if scraps.sum() > 0 else 1.0
    return Turns(
        scraps_kg=scraps[None],
        capacity_kg=np.median(alone.capacity_kg[:, :, days], axis=1)[:, None],
        rest_days=np.median(alone.rest_days[:, days], axis=0)[None],
        open_ground=(alone.open_ground[:, days].mean(axis=0) >= sure)[None],
        outlets=alone.outlets and alone.outlets.within(days).middle(sure),
    )


def _spans(case: Case, turned: Turned, labels: tuple[str, ...]) -> tuple[Span, ...]:
    spans = []
    for label, states in zip(labels, turned.state[0], strict=True):
        for first, last in runs(states):
            if states[first] != EMPTY:
                span = {
                    "vessel": label,
                    "state": STATES[states[first]],
                    "start": case.date(case.first + first),
                    "end": case.date(case.first + last),
                }
                spans.append(Span.model_validate(span))
    return tuple(spans)


def runs(values: NDArray[np.generic]) -> list[tuple[int, int]]:
    """First and last index of each stretch of equal values, ``(days,)`` of any kind, in their
    order."""
    edges = np.flatnonzero(values[1:] != values[:-1]) + 1
    firsts = [0, *edges.tolist()]
    lasts = [*(edges - 1).tolist(), len(values) - 1]
    return list(zip(firsts, lasts, strict=True))


def _told(flags: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Times of frost as they are told: gaps and spells of a few days are smoothed away."""
    out = flags.copy()
    for wanted in (False, True):
        for first, last in runs(out):
            inside = first > 0 and last < len(out) - 1
            if out[first] == wanted and last - first < _SPELL and inside:
                out[first : last + 1] = not wanted
    return out


def _blocked(case: Case, turns: Turns) -> tuple[Blocked, ...]:
    """Frozen ground in enough members, busy beds, and closures within the planned time."""
    busy = case.busy[case.planned]
    frozen = _told(~turns.open_ground[0] & ~busy)
    found = [
        Blocked(
            kind="ground",
            name="ground may be frozen",
            start=case.date(case.first + first),
            end=case.date(case.first + last),
        )
        for first, last in runs(frozen)
        if frozen[first]
    ]
    start, end = case.date(case.planned.start), case.date(case.planned.stop - 1)
    for kind, stops in (("beds", case.busy_spans), ("closed", case.closures)):
        found += [
            Blocked.model_validate(
                {
                    "kind": kind,
                    "name": stop.name,
                    "start": max(stop.start, start),
                    "end": min(stop.end, end),
                }
            )
            for stop in stops
            if stop.start <= end and stop.end >= start
        ]
    return tuple(sorted(found, key=lambda b: b.start))
