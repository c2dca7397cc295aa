"""Which entries count: corrections followed to their end, however and in whatever order they came.

An entry that supersedes another replaces it. A correction that is itself struck by a further
entry is withdrawn: where another correction of the same entry stands, that one counts, else
nothing does. Several corrections that stand side by side are a conflict: the branch that was
written to last counts, and all are shown.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from uuid import UUID

from sourloam.ledger.entries import LAST, Entry, of_device
from sourloam.ledger.sentences import Sentence, gettext_noop

_STRUCK = "struck"
Things = frozenset[tuple[str, str]]


@dataclass(frozen=True)
class Conflict:
    """Versions that supersede the same entry; the first one counts (it may be a ``struck``)."""

    over: UUID
    versions: tuple[Entry, ...]
    things: Things


@dataclass(frozen=True)
class Oddity:
    """Something in the ledger that can't well be so; shown to people, never an error."""

    code: str
    sentence: Sentence
    entry: UUID
    at: dt.datetime
    things: Things = frozenset()


@dataclass(frozen=True)
class Resolved:
    """What counts, in the order of events, with what was found odd on the way."""

    counting: tuple[Entry, ...]
    conflicts: tuple[Conflict, ...]
    oddities: tuple[Oddity, ...]


@dataclass(frozen=True)
class _Outcome:
    """Where a chain ends: the entry that counts, or the ``struck`` that took it out."""

    tip: Entry
    latest: tuple[dt.datetime, UUID]

    @property
    def out(self) -> bool:
        return self.tip.kind == _STRUCK


def resolve(entries: Iterable[Entry]) -> Resolved:
    """Counting entries of a set of entries; the same for any order and any repetition."""
    by_id, oddities = _one_of_each(entries)
    parents = {
        e.id: e.supersedes
        for e in by_id.values()
        if e.supersedes is not None and e.supersedes in by_id
    }
    oddities += _cut_loops(by_id, parents)
    if not parents:
        return _resolved([e for e in by_id.values() if e.kind != _STRUCK], [], oddities)
    children: dict[UUID, list[UUID]] = {}
    for child, parent in parents.items():
        children.setdefault(parent, []).append(child)
    outcomes, conflicts = _follow(by_id, parents, children)
    roots = (outcomes[key] for key in by_id if key not in parents)
    return _resolved([o.tip for o in roots if not o.out], conflicts, oddities)


def _resolved(counting: list[Entry], conflicts: list[Conflict], oddities: list[Oddity]) -> Resolved:
    return Resolved(
        tuple(sorted(counting, key=lambda e: e.order)),
        tuple(sorted(conflicts, key=lambda c: c.over)),
        tuple(sorted(oddities, key=lambda o: (o.at, o.entry, o.code))),
    )


def _one_of_each(entries: Iterable[Entry]) -> tuple[dict[UUID, Entry], list[Oddity]]:
    """One entry an id. A repetition is the same entry; another content under its id is odd."""
    by_id: dict[UUID, Entry] = {}
    odd: dict[UUID, Oddity] = {}
    for entry in entries:
        known = by_id.setdefault(entry.id, entry)
        if known is entry or known == entry:
            continue
        mine, theirs = of_device(known), of_device(entry)
        if mine != theirs:
            first = known if mine < theirs else entry
            odd[entry.id] = Oddity("same_id", Sentence(_SAME_ID), first.id, first.at)
        by_id[entry.id] = min(known, entry, key=_preference)
    found = [replace(o, at=by_id[k].at, things=frozenset(by_id[k].things)) for k, o in odd.items()]
    return by_id, found


_SAME_ID = gettext_noop("Two different entries carry the same id; one of them is shown.")
_LOOP = gettext_noop("These entries correct each other in a circle; the last one counts.")


def _preference(entry: Entry) -> tuple[bytes, dt.datetime, str]:
    return of_device(entry), entry.received_at or LAST, entry.by or ""


def _cut_loops(by_id: dict[UUID, Entry], parents: dict[UUID, UUID]) -> list[Oddity]:
    """Entries that supersede each other in a circle: the one written first begins the chain."""
    oddities = []
    clear: set[UUID] = set()
    for start in list(parents):
        path: dict[UUID, int] = {}
        at: UUID | None = start
        while at is not None and at not in clear and at not in path:
            path[at] = len(path)
            at = parents.get(at)
        if at is not None and at in path:
            loop = [by_id[key] for key, place in path.items() if place >= path[at]]
            first = min(loop, key=lambda e: (e.written_at, e.id))
            del parents[first.id]
            things = frozenset(thing for e in loop for thing in e.things)
            oddities.append(Oddity("loop", Sentence(_LOOP), first.id, first.at, things))
        clear.update(path)
    return oddities


def _follow(
    by_id: dict[UUID, Entry],
    parents: dict[UUID, UUID],
    children: dict[UUID, list[UUID]],
) -> tuple[dict[UUID, _Outcome], list[Conflict]]:
    """Outcome of every entry, the ends of the chains first."""
    outcomes: dict[UUID, _Outcome] = {}
    conflicts: list[Conflict] = []
    waiting = {key: len(children.get(key, ())) for key in by_id}
    ready = [key for key, count in waiting.items() if not count]
    while ready:
        key = ready.pop()
        outcomes[key] = _outcome(by_id, key, children.get(key, []), outcomes, conflicts)
        parent = parents.get(key)
        if parent is not None:
            waiting[parent] -= 1
            if not waiting[parent]:
                ready.append(parent)
    return outcomes, conflicts


def _outcome(
    by_id: dict[UUID, Entry],
    key: UUID,
    children: list[UUID],
    outcomes: dict[UUID, _Outcome],
    conflicts: list[Conflict],
) -> _Outcome:
    entry = by_id[key]
    if not children:
        return _Outcome(entry, (entry.written_at, entry.id))
    branches = [outcomes[child] for child in children]
    withdrawn = [
        branch.out and by_id[child].kind != _STRUCK
        for child, branch in zip(children, branches, strict=True)
    ]
    standing = [b for b, gone in zip(branches, withdrawn, strict=True) if not gone] or branches[:]
    standing.sort(key=lambda b: b.latest, reverse=True)
    if len(standing) > 1 and not all(withdrawn):
        versions = tuple(b.tip for b in standing)
        things = frozenset(thing for e in (entry, *versions) for thing in e.things)
        conflicts.append(Conflict(key, versions, things))
    latest = max((entry.written_at, entry.id), *(b.latest for b in branches))
    return _Outcome(standing[0].tip, latest)


def entries_about(thing: tuple[str, str], entries: Iterable[Entry]) -> tuple[Entry, ...]:
    """What a fold of one thing needs: all entries about it, and those in a chain with such a one.

    A correction may move a layer from one vessel to another, and a ``struck`` names no vessel:
    a store that keeps entries by thing must file a superseding entry under the things of what it
    supersedes, and the other way round, whichever arrived first.
    """
    every = {entry.id: entry for entry in entries}
    found = _chains((entry.id for entry in every.values() if thing in entry.things), every)
    return tuple(every[key] for key in every if key in found)


def _chains(starts: Iterable[UUID], every: Mapping[UUID, Entry]) -> set[UUID]:
    """Ids of known entries that lie in a chain with one of ``starts``."""
    linked: dict[UUID, set[UUID]] = {}
    for entry in every.values():
        if entry.supersedes is not None:
            linked.setdefault(entry.id, set()).add(entry.supersedes)
            linked.setdefault(entry.supersedes, set()).add(entry.id)
    ahead = list(starts)
    found: set[UUID] = set()
    while ahead:
        key = ahead.pop()
        if key not in found:
            found.add(key)
            ahead.extend(linked.get(key, ()))
    return found & every.keys()
