"""From the entries about one vessel to what it is. Nothing here raises: what can't be is noted."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Any

from sourloam.ledger import bodies as b
from sourloam.ledger.entries import Entry
from sourloam.ledger.sentences import Sentence, gettext_noop
from sourloam.ledger.state import Record, Turn, VesselState
from sourloam.ledger.supersession import Oddity, Resolved

_AHEAD = dt.timedelta(days=1)
#: Where a record of each kind goes in the turn under way.
_SERIES = {
    "fed": "layers",
    "drained": "drains",
    "ph_read": "phs",
    "looked": "looks",
    "fill_marked": "marks",
    "weighed": "weighings",
    "warmth_read": "warmths",
    "opened": "openings",
    "photographed": "photos",
    "rescued": "rescues",
    "noted": "notes",
    "judged": "judgements",
    "buried": "burials",
}
_SENTENCES = {
    "vessel_unknown": gettext_noop("Nobody has added this vessel yet."),
    "dated_ahead": gettext_noop("It is dated after the day on which it was written down."),
    "dated_after_arrival": gettext_noop("It is dated after the day on which it arrived here."),
    "fed_while_resting": gettext_noop("A layer went in after the vessel was set aside."),
    "fed_while_failed": gettext_noop("A layer went in after the vessel was judged failed."),
    "fed_while_retired": gettext_noop("A layer went into a vessel that was retired."),
    "drained_while_empty": gettext_noop("Liquid was drained before any layer."),
    "set_aside_while_empty": gettext_noop("It was set aside before any layer."),
    "judged_while_empty": gettext_noop("It was judged while it was empty."),
    "emptied_while_empty": gettext_noop("It was emptied while it was empty."),
    "buried_while_empty": gettext_noop("Its ferment was buried while it was empty."),
    "buried_while_filling": gettext_noop("Its ferment was buried before it was set aside."),
    "washed_while_full": gettext_noop("It was washed while scraps were in it."),
}


def record_of(entry: Entry, zone: dt.tzinfo) -> Record[Any]:
    """The entry as a record, its day told in the place's zone."""
    day = entry.at.astimezone(zone).date()
    return Record(
        entry.id, entry.kind, entry.at, day, entry.body, by=entry.by, corrects=entry.supersedes
    )


def dated_ahead(entry: Entry) -> Oddity | None:
    """An entry that speaks of a time well after it was written, or, where the device's clock runs
    ahead as well, after it arrived; when it arrived is not always known."""
    if entry.at > entry.written_at + _AHEAD:
        return _oddity("dated_ahead", entry)
    if entry.received_at is not None and entry.at > entry.received_at + _AHEAD:
        return _oddity("dated_after_arrival", entry)
    return None


def _oddity(code: str, entry: Entry) -> Oddity:
    return Oddity(code, Sentence(_SENTENCES[code]), entry.id, entry.at, frozenset(entry.things[:1]))


def vessel_state(vessel_id: str, resolved: Resolved, zone: dt.tzinfo = dt.UTC) -> VesselState:
    """The vessel by the counting entries about it; those about other things are passed over."""
    thing = ("vessel", vessel_id)
    course = _Course()
    mine = [entry for entry in resolved.counting if thing in entry.things]
    for entry in mine:
        course.take(entry, zone)
    if mine and course.added is None:
        course.note("vessel_unknown", mine[0])
    oddities = [*(o for o in resolved.oddities if thing in o.things), *course.oddities]
    return VesselState(
        id=vessel_id,
        added=course.added,
        where=course.where,
        retired=course.retired,
        turns=tuple(turn.frozen() for turn in course.turns),
        washed=course.washed,
        log=tuple(course.log),
        conflicts=tuple(c for c in resolved.conflicts if thing in c.things),
        oddities=tuple(oddities),
    )


def extended(
    state: VesselState, entries: Iterable[Entry], zone: dt.tzinfo = dt.UTC
) -> VesselState | None:
    """The vessel after more entries about it, without going through the older ones again.

    None where that can't be told so: an entry happened before one that is known, or nobody has
    added the vessel yet. The entries must stand alone: none supersedes or is superseded.
    """
    fresh = sorted(entries, key=lambda e: e.order)
    if state.added is None or not fresh or fresh[0].at <= state.log[-1].at:
        return None
    course = _Course(
        turns=[_Turn.of(turn) for turn in state.turns[-1:]],
        added=state.added,
        where=state.where,
        retired=state.retired,
        washed=state.washed,
    )
    for entry in fresh:
        course.take(entry, zone)
    return replace(
        state,
        added=course.added,
        where=course.where,
        retired=course.retired,
        turns=(*state.turns[:-1], *(turn.frozen() for turn in course.turns)),
        washed=course.washed,
        log=(*state.log, *course.log),
        oddities=(*state.oddities, *course.oddities),
    )


@dataclass
class _Turn:
    """A turn while it is put together."""

    series: dict[str, list[Any]] = field(default_factory=lambda: defaultdict(list))
    set_aside: Record[b.SetAside] | None = None
    emptied: Record[b.Emptied] | None = None

    @classmethod
    def of(cls, turn: Turn) -> _Turn:
        """A turn to go on with."""
        series = {name: list(getattr(turn, name)) for name in _SERIES.values()}
        return cls(defaultdict(list, series), turn.set_aside, turn.emptied)

    @property
    def over(self) -> bool:
        return self.emptied is not None or bool(self.series["burials"])

    @property
    def failed(self) -> bool:
        judged = self.series["judgements"]
        return bool(judged) and judged[-1].body.verdict == "failed"

    def frozen(self) -> Turn:
        parts: dict[str, Any] = {name: tuple(rows) for name, rows in self.series.items()}
        return Turn(**parts, set_aside=self.set_aside, emptied=self.emptied)


@dataclass
class _Course:
    """A vessel while its entries are gone through."""

    turns: list[_Turn] = field(default_factory=list)
    log: list[Record[Any]] = field(default_factory=list)
    oddities: list[Oddity] = field(default_factory=list)
    added: Record[b.VesselAdded] | None = None
    where: str | None = None
    retired: Record[b.VesselRetired] | None = None
    washed: Record[b.Washed] | None = None

    @property
    def turn(self) -> _Turn | None:
        return self.turns[-1] if self.turns and not self.turns[-1].over else None

    def take(self, entry: Entry, zone: dt.tzinfo) -> None:
        record = record_of(entry, zone)
        self.log.append(record)
        ahead = dated_ahead(entry)
        if ahead is not None:
            self.oddities.append(ahead)
        _TAKERS.get(entry.kind, _join)(self, entry, record)

    def note(self, code: str, entry: Entry) -> None:
        self.oddities.append(_oddity(code, entry))


def _join(course: _Course, entry: Entry, record: Record[Any]) -> None:
    """Into its series in the turn under way; outside of a turn the log alone keeps it."""
    turn = course.turn
    if turn is not None:
        turn.series[_SERIES[entry.kind]].append(record)


def _added(course: _Course, _: Entry, record: Record[Any]) -> None:
    course.added, course.retired = record, None
    course.where = record.body.where or course.where


def _retired(course: _Course, _: Entry, record: Record[Any]) -> None:
    course.retired = record


def _moved(course: _Course, _: Entry, record: Record[Any]) -> None:
    course.where = record.body.where


def _fed(course: _Course, entry: Entry, record: Record[Any]) -> None:
    turn = course.turn
    if course.retired is not None:
        course.note("fed_while_retired", entry)
    if turn is None:
        course.turns.append(_Turn())
    elif turn.failed:
        course.note("fed_while_failed", entry)
    elif turn.set_aside is not None:
        course.note("fed_while_resting", entry)
    _join(course, entry, record)


def _marked(course: _Course, entry: Entry, record: Record[Any]) -> None:
    """A vessel that is partly full without any layer in the log was begun before the log was."""
    if course.turn is None and record.body.fraction > 0:
        course.turns.append(_Turn())
    _join(course, entry, record)


def _needs_turn(code: str) -> Callable[[_Course, Entry, Record[Any]], None]:
    def take(course: _Course, entry: Entry, record: Record[Any]) -> None:
        if course.turn is None:
            course.note(code, entry)
        _join(course, entry, record)

    return take


def _set_aside(course: _Course, entry: Entry, record: Record[Any]) -> None:
    turn = course.turn
    if turn is None:
        course.note("set_aside_while_empty", entry)
    elif turn.set_aside is None:
        turn.set_aside = record


def _emptied(course: _Course, entry: Entry, record: Record[Any]) -> None:
    """A burial may have been logged before the emptying that goes with it."""
    last = course.turns[-1] if course.turns else None
    if last is None or last.emptied is not None:
        course.note("emptied_while_empty", entry)
    else:
        last.emptied = record


def _buried(course: _Course, entry: Entry, record: Record[Any]) -> None:
    """Several trenches may take one vessel, before or after it is logged as emptied."""
    last = course.turns[-1] if course.turns else None
    if last is None or (last.emptied is not None and last.emptied.body.fate != "buried"):
        course.note("buried_while_empty", entry)
        return
    if not last.over and last.set_aside is None:
        course.note("buried_while_filling", entry)
    last.series["burials"].append(record)


def _washed(course: _Course, entry: Entry, record: Record[Any]) -> None:
    if course.turn is not None:
        course.note("washed_while_full", entry)
    course.washed = record


_TAKERS: Mapping[str, Callable[[_Course, Entry, Record[Any]], None]] = MappingProxyType(
    {
        "vessel_added": _added,
        "vessel_retired": _retired,
        "moved": _moved,
        "fed": _fed,
        "fill_marked": _marked,
        "drained": _needs_turn("drained_while_empty"),
        "judged": _needs_turn("judged_while_empty"),
        "set_aside": _set_aside,
        "emptied": _emptied,
        "buried": _buried,
        "washed": _washed,
    }
)
