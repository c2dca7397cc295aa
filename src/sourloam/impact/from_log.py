"""From a log to the scraps that were really kept from the bin."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from sourloam import scraps
from sourloam.evidence import Parameters, book
from sourloam.impact.contract import Said
from sourloam.impact.from_site import Amounts, dose_kg, mix_shares
from sourloam.ledger import PlaceState
from sourloam.ledger import amounts as measures
from sourloam.ledger.amounts import AmountError, SharedErrors
from sourloam.ledger.bodies import Fed
from sourloam.ledger.state import Record, Turn
from sourloam.scraps import Batch
from sourloam.site import Site

Array = NDArray[np.float64]
EVIDENCE: tuple[str, ...] = measures.EVIDENCE
_TO_PLANTS = ("plants", "kept")
_HEAPED = "compost"
_LOST = "thrown"
Period = tuple[dt.date, dt.date]
#: How the scraps of a log were measured, and what is left out.
MEASURED = {
    "weighed": "{layers:.0f} logged layers were weighed.",
    "bowl": "{layers:.0f} logged layers were counted by the bowl.",
    "litre": "{layers:.0f} logged layers were read in litres.",
    "unknown": "Left out: {unknown:.0f} layers in measures that were never weighed.",
    "heaped": "Left out: {mass} whose ferment went on a compost heap.",
    "inside": "Still in vessels, and counted as if all goes well: {mass}.",
}


NO_LAYER = "the log holds no layer; nothing was kept from the bin yet"
NO_LAYER_THEN = "the log holds no layer in that time; give another"
NOTHING_WEIGHED = "no layer of the log can be weighed, or all went on a compost heap"
NO_SITE = "the log doesn't describe its place; give its site file too"


class LogError(ValueError):
    """A log from which nothing can be reckoned; the message says what would be right."""


@dataclass
class _Sums:
    """Running sums over the layers of a log."""

    by_mix: dict[str, Array]
    bran_kg: Array
    lost_kg: Array
    ways: dict[str, int]
    heaped_kg: Array
    inside_kg: Array
    unknown: int = 0


def evidence_ids() -> tuple[str, ...]:
    """What reading amounts needs beyond the site's own evidence."""
    return book().ids(*EVIDENCE)


def logged(
    state: PlaceState,
    site: Site,
    p: Parameters,
    rng: np.random.Generator,
    period: Period | None = None,
) -> Amounts:
    """The scraps of all layers in the log, or of those in a period; LogError if there are none.

    Layers whose ferment went on a compost heap are left out; those whose ferment was thrown away
    count as gone to the bin after all.
    """
    whole = [turn for vessel in state.vessels for turn in vessel.turns if _within(turn, period)]
    turns = [replace(turn, layers=_within(turn, period)) for turn in whole]
    days = [layer.day for turn in turns for layer in turn.layers]
    if not days:
        raise LogError(NO_LAYER_THEN if period and state.layers() else NO_LAYER)
    usual = _usual_mix(site, p)
    sums = _summed(state, turns, site, usual, p, rng)
    total = np.asarray(sum(sums.by_mix.values(), np.zeros(p.members)))
    if not np.all(total > 0):
        raise LogError(NOTHING_WEIGHED)
    table = scraps.class_table(p)
    mixes = [
        scraps.mix(mass[:, None] * _shares(name, usual, p), table)
        for name, mass in sums.by_mix.items()
    ]
    return Amounts(
        total,
        Batch(np.sum([one.amounts for one in mixes], axis=0)),
        sums.bran_kg,
        min(days),
        max(days),
        _told(sums),
        sums.lost_kg / total,
        _liquid_used(whole, p),
        tuple(_rests(whole)),
        tuple(burial.day for turn in whole for burial in turn.burials),
        _drained_l(whole, period),
    )


def _within(turn: Turn, period: Period | None) -> tuple[Record[Fed], ...]:
    """The layers of a filling that lie in the period."""
    first, last = period or (dt.date.min, dt.date.max)
    return tuple(layer for layer in turn.layers if first <= layer.day <= last)


def _rests(turns: Iterable[Turn]) -> Iterator[float]:
    """Days from the last layer to the emptying, of fillings that are over."""
    for turn in turns:
        if turn.last_fed is not None and turn.ended is not None and turn.fate != _LOST:
            yield float(max((turn.ended.day - turn.last_fed.day).days, 0))


def _summed(
    state: PlaceState,
    turns: Iterable[Turn],
    site: Site,
    usual: Array,
    p: Parameters,
    rng: np.random.Generator,
) -> _Sums:
    nothing = np.zeros(p.members)
    shared = SharedErrors(p, rng)
    sums = _Sums({}, nothing.copy(), nothing.copy(), {}, nothing.copy(), nothing.copy())
    for turn in turns:
        for layer in turn.layers:
            mass = _mass(state, layer, usual, p, rng)
            if mass is None:
                sums.unknown += 1
                continue
            mass = mass * shared.times(layer.body.amount, layer.by)
            if turn.fate == _HEAPED:
                sums.heaped_kg += mass
            else:
                _count(sums, layer, mass, site, usual, p)
                if turn.fate == _LOST:
                    sums.lost_kg += mass
                if turn.fate is None:
                    sums.inside_kg += mass
    return sums


def _count(
    sums: _Sums, layer: Record[Fed], mass: Array, site: Site, usual: Array, p: Parameters
) -> None:
    name = _name(layer.body)
    sums.by_mix[name] = sums.by_mix.get(name, np.zeros(p.members)) + mass
    given = layer.body.bran_g
    if given is None:
        sums.bran_kg += dose_kg(site, mass[:, None], usual, p)[:, 0]
    else:
        sums.bran_kg += given / 1000
    way = _way(layer.body)
    sums.ways[way] = sums.ways.get(way, 0) + 1


def _mass(
    state: PlaceState, layer: Record[Fed], usual: Array, p: Parameters, rng: np.random.Generator
) -> Array | None:
    """Possible masses of a layer, kg; None if its measure was never calibrated."""
    body = layer.body
    measure = None if body.amount.measure is None else state.measure(body.amount.measure)
    mix = body.kinds
    if mix is None:
        mix = dict(zip(scraps.CLASSES, np.median(usual, axis=0).tolist(), strict=True))
    try:
        return measures.masses_kg(body.amount, mix, measure, p, rng)
    except AmountError:
        return None


def _usual_mix(site: Site, p: Parameters) -> Array:
    """Class shares of the place's usual mix, each stream weighted by its mean day."""
    start = site.place.start
    supplies = tuple(site.to_streams(start, start))
    dates = np.datetime64(start, "D") + np.arange(7)
    masses = [scraps.daily_mass_kg(s.stream, s.calendar, dates, p, None) for s in supplies]
    even = [mass + 1e-9 for mass in masses]  # method: a week of holidays still has a mix
    return mix_shares(supplies, even, p)


def _name(body: Fed) -> str:
    if body.kinds is None:
        return ""
    return body.kinds if isinstance(body.kinds, str) else json.dumps(body.kinds, sort_keys=True)


def _shares(name: str, usual: Array, p: Parameters) -> Array:
    if not name:
        return usual
    return scraps.class_shares(json.loads(name) if name.startswith("{") else name, p)


def _way(body: Fed) -> str:
    if body.amount.mass_kg is not None:
        return "weighed"
    return "litre" if body.amount.volume_l is not None else "bowl"


def _told(sums: _Sums) -> tuple[Said, ...]:
    """How the scraps were measured."""
    said = [
        Said(text=MEASURED[way], numbers={"layers": float(number)})
        for way, number in sorted(sums.ways.items(), key=lambda pair: -pair[1])
    ]
    if sums.unknown:
        said.append(Said(text=MEASURED["unknown"], numbers={"unknown": float(sums.unknown)}))
    for name, mass in (("heaped", sums.heaped_kg), ("inside", sums.inside_kg)):
        middle = float(np.median(mass))
        if middle > 0:
            said.append(Said(text=MEASURED[name], masses_kg={"mass": middle}))
    return tuple(said)


def _drained_l(turns: Iterable[Turn], period: Period | None) -> float | None:
    """Liquid that was written down in the period, L; None where nothing was."""
    first, last = period or (dt.date.min, dt.date.max)
    drains = [d.body for turn in turns for d in turn.drains if first <= d.day <= last]
    return sum(body.volume_ml for body in drains) / 1000 if drains else None


def _liquid_used(turns: list[Turn], p: Parameters) -> Array:
    """Share of the logged liquid that reached plants; the usual share where none was logged."""
    drains = [drain.body for turn in turns for drain in turn.drains]
    known = [body for body in drains if body.use != "other"]
    whole = sum(body.volume_ml for body in known)
    if not whole:
        return p["impact.vessel.liquid_used"]
    used = sum(body.volume_ml for body in known if body.use in _TO_PLANTS)
    return np.full(p.members, used / whole)
