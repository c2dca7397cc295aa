"""What moves the saving: one input at a time from its 10 to its 90 % point."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import Parameters, book
from sourloam.impact.contract import Driver, Tornado
from sourloam.impact.elsewhere import Bin
from sourloam.impact.kept import Kept
from sourloam.impact.reckoning import Party, Reckoned, reckon
from sourloam.impact.route import Weights

Array = NDArray[np.float64]
_TOPICS = ("impact.", "impact_waste.", "turnover.share")
_ENDS = (0.1, 0.5, 0.9)
_DIGITS = 4  # method: significant digits kept in an answer
_SAME = 1e-9  # method: a change below this is rounding
_AMOUNT = ("scraps.amount", "scraps kept from the bin")
_CARBON = ("scraps.carbon", "carbon in the scraps")
_NITROGEN = ("scraps.nitrogen", "nitrogen in the scraps")


@dataclass(frozen=True)
class _Input:
    id: str
    name: str
    low: float
    middle: float
    high: float
    unit: str


def tornadoes(parties: Sequence[Party], bin_: Bin, weights: Weights, most: int) -> list[Tornado]:
    """For each other way the inputs that move the saving most, at most so many.

    Every input stands at its middle but one: members 2i and 2i + 1 have input i at its low and
    high point; the last member has all in the middle.
    """
    inputs = _inputs(parties)
    members = 2 * len(inputs) + 1
    moved = [_moved(party, inputs, members) for party in parties]
    reckoned = reckon(moved, bin_, weights)
    return [_tornado(reckoned, number, inputs, most) for number in range(len(reckoned.others))]


def _inputs(parties: Sequence[Party]) -> list[_Input]:
    known = parties[0].parameters
    rows = [book()[key] for key in known if key.startswith(_TOPICS)]
    found = [
        _input(row.id, row.name, row.quantile(np.array(_ENDS)), row.unit)
        for row in rows
        if row.distribution != "fixed"
    ]
    total = np.sum([x.kept.scraps_kg for x in parties], axis=0)
    for (id_, name), values, unit in (
        (_AMOUNT, total, "kg"),
        (_CARBON, np.sum([x.kept.carbon_kg for x in parties], axis=0) / total, "kg/kg"),
        (_NITROGEN, np.sum([x.kept.nitrogen_kg for x in parties], axis=0) / total, "kg/kg"),
    ):
        found.append(_input(id_, name, np.quantile(values, _ENDS), unit))
    return found


def _input(id_: str, name: str, ends: Array, unit: str) -> _Input:
    low, middle, high = (float(x) for x in ends)
    return _Input(id_, name, low, middle, high, unit)


def _moved(party: Party, inputs: list[_Input], members: int) -> Party:
    """The party with one input moved in each member, all others at their medians."""
    half = np.full(members, 0.5)
    values = {key: book()[key].quantile(half) for key in party.parameters}
    factors = {id_: np.ones(members) for id_, _ in (_AMOUNT, _CARBON, _NITROGEN)}
    for i, one in enumerate(inputs):
        for place, value in ((2 * i, one.low), (2 * i + 1, one.high)):
            if one.id in factors:
                factors[one.id][place] = value / one.middle
            else:
                values[one.id][place] = value
    p = Parameters(values, members)
    kept = party.kept.middle(members)
    kept = _with_rows(kept, p, party)
    kept = kept.times(*(factors[id_] for id_, _ in (_AMOUNT, _CARBON, _NITROGEN)))
    return Party(kept, party.there.middle(members, p, party.monthly_c), p, party.monthly_c)


def _with_rows(kept: Kept, p: Parameters, party: Party) -> Kept:
    """Shares that come straight from a row follow it, unless the log told them."""
    own, own_p = party.kept, party.parameters
    if np.array_equal(own.binned, own_p["impact.vessel.binned"]):
        kept = replace(kept, binned=p["impact.vessel.binned"])
    if np.array_equal(own.liquid_used, own_p["impact.vessel.liquid_used"]):
        kept = replace(kept, liquid_used=p["impact.vessel.liquid_used"])
    return kept


def _tornado(reckoned: Reckoned, number: int, inputs: list[_Input], most: int) -> Tornado:
    other = reckoned.others[number]
    saved = reckoned.saved_kg(other)
    drivers = [
        Driver(
            id=one.id,
            name=one.name,
            low=_plain(one.low),
            high=_plain(one.high),
            unit=one.unit,
            at_low=_plain(saved[2 * i]),
            at_high=_plain(saved[2 * i + 1]),
        )
        for i, one in enumerate(inputs)
        if abs(saved[2 * i + 1] - saved[2 * i]) > _SAME
    ]
    drivers.sort(key=lambda d: -abs(d.at_high - d.at_low))
    return Tornado(
        against=other.name,
        middle=_plain(saved[-1]),
        unit="kg CO2e",
        drivers=tuple(drivers[:most]),
    )


def _plain(value: float) -> float:
    return float(f"{float(value):.{_DIGITS}g}")
