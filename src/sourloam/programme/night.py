"""What a night's work reckons of one place: forecasts, and what its programmes need of it.

Pure: a task goes in with a place's log, plain data come out, so that it may be done in another
process or on another machine than the one that keeps the logbook.
"""

from __future__ import annotations

import datetime as dt
import pickle
import zlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from zoneinfo import ZoneInfo

import sourloam
from sourloam.forecast import Learned, Question, forecast_with_past, learn_place
from sourloam.impact import LogError, saved_of_log
from sourloam.ledger import Entry, PlaceState
from sourloam.ledger.fold import fold
from sourloam.programme.from_log import facts_of
from sourloam.site import Site

_HORIZON_DAYS = 60  # method: days ahead of which a forecast tells
_PAST = "narrowing"
MEMBERS = 500  # method: possible worlds of a forecast, unless fewer are asked for
_LONGEST_TROUBLE = 200  # method: letters kept of what went wrong
Summary = Mapping[str, Any]


@dataclass(frozen=True)
class Task:
    """What is to be reckoned of a place (id and name).

    ``news``: vessels to be foreseen anew, None for all. ``learned``: what finished vessels taught,
    None to learn it anew. ``foreseen``: the forecasts that there are. ``facts``: whether programmes
    want facts of it; ``saved``: also what it saved. ``version``: by whose rules. ``members``:
    possible worlds of each forecast.
    """

    place: tuple[str, str]
    zone: str
    today: dt.date
    news: tuple[str, ...] | None = None
    learned: dict[str, Any] | None = None
    foreseen: Mapping[str, Summary] | None = None
    facts: bool = False
    saved: bool = False
    version: str = sourloam.__version__
    members: int = MEMBERS


@dataclass(frozen=True)
class Done:
    """What came out, as plain data; ``trouble`` in one line where forecasts failed."""

    foreseen: dict[str, dict[str, object]]
    learned: dict[str, Any] | None
    trouble: str
    facts: dict[str, Any] | None
    saved: dict[str, Any] | None


def pack(entries: Sequence[Entry]) -> bytes:
    """A log on its way to ``reckon_packed``."""
    return zlib.compress(pickle.dumps(list(entries)))


def reckon_packed(task: Task, log: bytes) -> Done:
    """``reckon`` on another machine, by what ``pack`` gave. RuntimeError where that machine has
    another version than the logbook."""
    if task.version != sourloam.__version__:
        raise RuntimeError(
            f"this worker has Sourloam {sourloam.__version__}, the logbook {task.version}: "
            "give all machines one version"
        )
    return reckon(task, fold(pickle.loads(zlib.decompress(log)), ZoneInfo(task.zone)))


def reckon(task: Task, state: PlaceState) -> Done:
    """All of it. A fault in forecasting is told as trouble: the rest goes on."""
    found, learned, trouble = {}, None, ""
    site = state.site()
    if site is not None:
        try:
            learned = _learned(task, state, site)
            found = _foreseen(task, state, site, learned)
        except Exception as error:
            trouble = f"{type(error).__name__}: {error}"[:_LONGEST_TROUBLE]
    return Done(
        found,
        None if learned is None else learned.as_dict(),
        trouble,
        _facts(task, state, found) if task.facts else None,
        _saved(task, state) if task.saved else None,
    )


def _learned(task: Task, state: PlaceState, site: Site) -> Learned:
    if task.learned is not None:
        try:
            return Learned.from_dict(task.learned)
        except (KeyError, ValueError, TypeError):
            pass  # kept by an older version: learn anew
    return learn_place(state, site, Question(task.today, _HORIZON_DAYS))


def _foreseen(
    task: Task, state: PlaceState, site: Site, learned: Learned
) -> dict[str, dict[str, object]]:
    """Summaries by vessel, each with what its log said on past days."""
    question = Question(task.today, _HORIZON_DAYS, task.members)
    rows = {vessel: said.get(_PAST) for vessel, said in (task.foreseen or {}).items()}
    known = {vessel: row for vessel, row in rows.items() if isinstance(row, list)}
    found = forecast_with_past(state, site, question, learned, task.news, known)
    return {vessel: {**one.summary(), _PAST: past} for vessel, (one, past) in found.items()}


def _facts(task: Task, state: PlaceState, found: Mapping[str, Summary]) -> dict[str, Any]:
    kept = task.foreseen or {}
    still = {} if task.news is None else {v: s for v, s in kept.items() if v not in task.news}
    return facts_of(task.place, state, {**still, **found}, task.today).as_json()


def _saved(task: Task, state: PlaceState) -> dict[str, Any] | None:
    """None where nothing went into a vessel yet, or the place was never described."""
    try:
        return saved_of_log(state, number_of(task.place[0])).as_json()
    except LogError:
        return None


def number_of(place: str) -> int:
    """What tells a place's own draws from those of others; never 0."""
    return zlib.crc32(place.encode()) + 1
