"""The plan's answer in a fraction of a second: what a slider does not move is not done again.

The same rooms compute it as a full plan, with fewer possible years; indoors one season stands for
all fillings. Three parts are kept from answer to answer: how long the ground works (moved by
weather and soil alone), how vessels fill and rest (not moved by beds nor by the risk), and the
whole answer.
"""

from __future__ import annotations

import json
import threading
from collections import OrderedDict
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sourloam.climate.seasons import ALL_YEAR
from sourloam.planning import counting
from sourloam.planning.burying import Burying, Used, bury, outlets_of
from sourloam.planning.case import Case, Kind, foresee
from sourloam.planning.counting import Odds
from sourloam.planning.draining import Draining, drain
from sourloam.planning.filling import Filled, fill
from sourloam.planning.fitting import without_small
from sourloam.planning.outlets import Outlets
from sourloam.planning.resting import Resting, rest
from sourloam.planning.waiting import Waiting
from sourloam.planning.work import most_of
from sourloam.site import Site

Floats = NDArray[np.float64]
Fillings = tuple[Filled, ...]  # of the seasons
#: Possible years of a quick answer; ``sourloam plan`` takes 500.
MEMBERS = 32
_SEED = 1
_KEPT = 64


@dataclass(frozen=True)
class Quick:
    """What the page tells: odds by number for the kind of which fewest are needed; ``together``
    those of all vessels that are there; ``burying`` what a year asks of the ground."""

    case: Case
    kind: Kind
    filled: Fillings
    resting: Resting
    draining: Draining
    curve: tuple[Odds, ...]
    needed: int | None
    number: int
    together: Odds | None
    burying: Burying

    @property
    def odds(self) -> Odds:
        """Of the number that is shown."""
        return next((o for o in self.curve if o.number == self.number), self.curve[-1])

    @property
    def span(self) -> tuple[int, int]:
        """The smallest and the largest number that so few possible years leave open."""
        risk = self.case.site.place.risk
        low = next((o.number for o in self.curve if o.low <= risk), self.number)
        high = next((o.number for o in self.curve if o.high <= risk), self.curve[-1].number)
        return min(low, self.number), max(high, self.number)


class _Kept:
    """The last few results by their key; two threads may make the same one, to no harm."""

    def __init__(self) -> None:
        self._found: OrderedDict[str, Any] = OrderedDict()
        self._lock = threading.Lock()

    def get(self, key: str) -> Any:
        """The result kept under ``key``, else None."""
        with self._lock:
            if key in self._found:
                self._found.move_to_end(key)
            return self._found.get(key)

    def put(self, key: str, made: Any) -> None:
        """Keep a result; the one that was asked for least lately goes."""
        with self._lock:
            self._found[key] = made
            while len(self._found) > _KEPT:
                self._found.popitem(last=False)


_waits, _vessels = _Kept(), _Kept()
_warming: threading.Thread | None = None


def quick_plan(document: Mapping[str, Any]) -> Quick:
    """The answer for a site document; pydantic's ValidationError for a wrong one."""
    if _warming is not None and _warming is not threading.current_thread():
        _warming.join()
    return _answered(json.dumps(document, sort_keys=True))


def warm(document: Mapping[str, Any]) -> None:
    """Answer once in the background, the first time in a process: that loads the compiled model."""
    global _warming
    if _warming is None:
        _warming = threading.Thread(target=quick_plan, args=(document,), daemon=True)
        _warming.start()


@lru_cache(maxsize=128)
def _answered(text: str) -> Quick:
    document = json.loads(text)
    case = _case(document, Site.model_validate(document))
    by_kind, resting = _filled(_without_ground(document), case)
    case, _small = without_small(case, _first(by_kind))
    rests = resting.on_every_day(len(case.dates), case.first)
    every = tuple(by_kind[kind.vessel.name] for kind in case.kinds)
    found = []
    for kind, filled in zip(case.kinds, every, strict=True):
        capacity = counting.capacity_by_day(case, filled)[None]
        outlets = outlets_of(case, (Used(kind, filled),))
        turns = counting.turns_of(case, capacity, rests, outlets)
        curve, needed = counting.curve(turns, case, case.site.place.risk, most_of(kind))
        found.append(_Alone(kind, filled, tuple(curve), needed, outlets))
    best = min(found, key=_cost)
    return Quick(
        case=case,
        kind=best.kind,
        filled=best.filled,
        resting=resting,
        draining=drain(case, best.kind, best.filled),
        curve=best.curve,
        needed=best.needed,
        number=best.needed or best.curve[-1].number,
        together=_together(case, every, rests),
        burying=bury(case, Used(best.kind, best.filled), best.outlets),
    )


@dataclass(frozen=True)
class _Alone:
    """One kind of vessel alone: odds by number, and the smallest number within the risk."""

    kind: Kind
    filled: Fillings
    curve: tuple[Odds, ...]
    needed: int | None
    outlets: Outlets


def _together(case: Case, every: tuple[Fillings, ...], rests: Floats) -> Odds | None:
    """Odds of the vessels that are there, all kinds in turn; None where there are none."""
    own = [(k, filled) for k, filled in zip(case.kinds, every, strict=True) if k.owned]
    if not own:
        return None
    capacity = np.stack([counting.capacity_by_day(case, filled) for _kind, filled in own])
    used = tuple(Used(k, filled, k.owned) for k, filled in own)
    each = rests if len(own) == 1 else np.stack([rests] * len(own))
    turns = counting.turns_of(case, capacity, each, outlets_of(case, used))
    places = tuple(i for i, (k, _filled) in enumerate(own) for _ in range(k.owned))
    return counting.odds(turns, places, case)


def _cost(one: _Alone) -> tuple[bool, float, int]:
    """Fewest more to buy; else the one that comes nearest: as a full plan chooses."""
    if one.needed is None:
        return True, one.curve[-1].chance, one.curve[-1].number
    return False, max(0, one.needed - one.kind.owned), one.needed


def _case(document: dict[str, Any], site: Site) -> Case:
    """Indoors fillings begin all through the year and count as of one season, which spares most
    of the time; elsewhere the seasons differ too much."""
    key = _ground_alone(document)
    waits: dict[str, Waiting] | None = _waits.get(key)
    case = foresee(site, 1, MEMBERS, _SEED, waits)
    if waits is None:
        _waits.put(key, case.waiting)
    if site.room.kind == "indoors":
        return replace(case, months=(ALL_YEAR,) * len(case.months))
    return case


def _filled(key: str, case: Case) -> tuple[dict[str, Fillings], Resting]:
    found: tuple[dict[str, Fillings], Resting] | None = _vessels.get(key)
    if found is None:
        by_kind = {
            kind.vessel.name: tuple(fill(case, kind, season) for season in case.seasons)
            for kind in case.kinds
        }
        large, _small = without_small(case, _first(by_kind))
        found = by_kind, rest(large, large.kinds[0])
        _vessels.put(key, found)
    return found


def _first(by_kind: Mapping[str, Fillings]) -> dict[str, Filled]:
    """One filling of each kind: it tells which are too small."""
    return {name: filled[0] for name, filled in by_kind.items()}


def _ground_alone(document: Mapping[str, Any]) -> str:
    """All that moves the ground's work: not how much of it there is, nor who feeds it."""
    ground = {k: v for k, v in document.get("ground", {}).items() if k != "bed_area"}
    still = [document.get(k) for k in ("climate", "bed", "bran", "soil", "rules", "busy")]
    return json.dumps([ground, still, document["site"].get("start")], sort_keys=True)


def _without_ground(document: Mapping[str, Any]) -> str:
    """All that moves how vessels fill and rest: not how many there are."""
    site = {k: v for k, v in document["site"].items() if k not in ("risk", "name")}
    kinds = [{k: v for k, v in kind.items() if k != "owned"} for kind in document["vessel"]]
    rest_ = {k: v for k, v in document.items() if k not in ("ground", "bed", "site", "vessel")}
    return json.dumps([rest_, kinds, site], sort_keys=True)
