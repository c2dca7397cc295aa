"""From a log to the scraps that were really kept from the bin."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sourloam import scraps
from sourloam.evidence import Parameters, book
from sourloam.impact.from_site import Amounts, class_shares, dose_kg, mix_shares
from sourloam.ledger import PlaceState
from sourloam.ledger import amounts as measures
from sourloam.ledger.amounts import AmountError
from sourloam.ledger.bodies import Fed
from sourloam.ledger.state import Record, Turn
from sourloam.scraps import Batch
from sourloam.site import Site
from sourloam.units import show

Array = NDArray[np.float64]
EVIDENCE: tuple[str, ...] = measures.EVIDENCE
_TO_PLANTS = ("plants", "kept")
_HEAPED = "compost"
_LOST = "thrown"


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
    return tuple(dict.fromkeys(key for prefix in EVIDENCE for key in book().ids(prefix)))


def logged(state: PlaceState, site: Site, p: Parameters, rng: np.random.Generator) -> Amounts:
    """The scraps of all layers in the log; LogError if there are none.

    Layers whose ferment went on a compost heap are left out; those whose ferment was thrown away
    count as gone to the bin after all.
    """
    layers = state.layers()
    turns = [turn for vessel in state.vessels for turn in vessel.turns]
    if not layers:
        raise LogError("the log holds no layer; nothing was kept from the bin yet")
    usual = _usual_mix(site, p)
    sums = _summed(state, turns, site, usual, p, rng)
    total = np.asarray(sum(sums.by_mix.values(), np.zeros(p.members)))
    if not np.all(total > 0):
        raise LogError("no layer of the log can be weighed, or all went on a compost heap")
    table = scraps.class_table(p)
    mixes = [
        scraps.mix(mass[:, None] * _shares(name, usual, p), table)
        for name, mass in sums.by_mix.items()
    ]
    return Amounts(
        total,
        Batch(np.sum([one.amounts for one in mixes], axis=0)),
        sums.bran_kg,
        layers[0].day,
        layers[-1].day,
        _told(sums, site.place.units),
        sums.lost_kg / total,
        _liquid_used(turns, p),
    )


def _summed(
    state: PlaceState,
    turns: Iterable[Turn],
    site: Site,
    usual: Array,
    p: Parameters,
    rng: np.random.Generator,
) -> _Sums:
    nothing = np.zeros(p.members)
    sums = _Sums({}, nothing.copy(), nothing.copy(), {}, nothing.copy(), nothing.copy())
    for turn in turns:
        for layer in turn.layers:
            mass = _mass(state, layer, usual, p, rng)
            if mass is None:
                sums.unknown += 1
            elif turn.fate == _HEAPED:
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
    return class_shares(json.loads(name) if name.startswith("{") else name, p)


def _way(body: Fed) -> str:
    if body.amount.mass_kg is not None:
        return "weighed"
    return "by the litre" if body.amount.volume_l is not None else "by the bowl"


def _told(sums: _Sums, system: str) -> str:
    """How the scraps were measured, in words."""
    total = sum(sums.ways.values())
    parts = ", ".join(f"{number} {way}" for way, number in sorted(sums.ways.items()))
    said = f"Scraps from {total} logged layers: {parts}."
    if sums.unknown:
        said += f" {sums.unknown} layers in measures that were never weighed are left out."
    heaped = float(np.median(sums.heaped_kg))
    if heaped > 0:
        said += (
            f" {show(heaped, 'mass', system)} whose ferment went on a compost heap are left out."
        )
    inside = float(np.median(sums.inside_kg))
    if inside > 0:
        said += (
            f" {show(inside, 'mass', system)} are still in vessels and count as if all goes well."
        )
    return said


def _liquid_used(turns: list[Turn], p: Parameters) -> Array:
    """Share of the logged liquid that reached plants; the usual share where none was logged."""
    drains = [drain.body for turn in turns for drain in turn.drains]
    known = [body for body in drains if body.use != "other"]
    whole = sum(body.volume_ml for body in known)
    if not whole:
        return p["impact.vessel.liquid_used"]
    used = sum(body.volume_ml for body in known if body.use in _TO_PLANTS)
    return np.full(p.members, used / whole)
