"""What people write down about bran: the garden makes it, hands it out, and calls a lot back."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from sourloam.demo.diary import Diary
from sourloam.demo.truth import TurnTruth

_LOT_DAYS = 60
_MAKER = "garden"
_MIXED_BEFORE, _DRY_BEFORE = 24, 2  # days before a lot is packed
_TESTED_AFTER = 1.4
_RECALL_DAYS = 0.1  # days before today: late on its eve, so that nobody has looked since
_SPARE = 1.05
_MOISTURE = 0.095


@dataclass(frozen=True)
class Given:
    """Bran that the garden gave to a place."""

    lot: int
    day: float
    mass_kg: float
    to: str


def lot_of(diary: Diary, day: float) -> str:
    """The lot that is in use on a day of the story: one name at every place."""
    return _name(diary, int(day // _LOT_DAYS))


def _name(diary: Diary, lot: int) -> str:
    return f"alder-{diary.place.first + dt.timedelta(days=lot * _LOT_DAYS):%y%m}"


def write_bran(diary: Diary, turns: list[TurnTruth]) -> list[Given]:
    """A lot every two months, of about what the next two months will take; what came of it."""
    given = []
    for lot, kg in _wanted(turns):
        day = lot * _LOT_DAYS + 0.4
        body = {"lot": _name(diary, lot), "mass_kg": kg, "source": "the garden"}
        if lot > 0:  # what the garden wrote on the bag
            body |= {"age_days": 0, "moisture": _MOISTURE, "carrier": "wheat_bran"}
        if diary.write(day, "bran_received", body) is not None:
            given.append(Given(lot, day, kg, diary.place.site.name))
    return given


def makes_bran(diary: Diary) -> bool:
    """Whether this place makes the bran of all."""
    return diary.habit.file == _MAKER


def _wanted(turns: Iterable[TurnTruth]) -> list[tuple[int, float]]:
    used: dict[int, float] = {}
    for turn in turns:
        for day, grams in zip(turn.layer_day, turn.bran_g, strict=True):
            lot = int((turn.began + day) // _LOT_DAYS)
            used[lot] = used.get(lot, 0.0) + float(grams) / 1000
    return [(lot, max(round(_SPARE * kg, 1), 0.2)) for lot, kg in sorted(used.items())]


def write_making(diary: Diary, turns: list[TurnTruth], given: Iterable[Given]) -> None:
    """The garden's batches from mixing to handing out; the newest one waits to be packed."""
    way = {
        "drying": "fan", "humidity": 0.45, "store_c": 12.0, "container_l": 30.0,
        "carrier_price": 0.9, "sweet_price": 1.5, "inoculum_price": 9.0,
    }  # fmt: skip
    diary.write(1.0, "bran_way_set", way, by="coordinator")
    own, out = dict(_wanted(turns)), list(given)
    last = int((diary.until - 1) // _LOT_DAYS)
    for lot in range(last + 2):
        mine = [one for one in out if one.lot == lot]
        kg = round(own.get(lot, 0.5) + sum(one.mass_kg for one in mine), 1)
        _make(diary, lot, kg if lot <= last else _before(own, out, last))
        for one in mine:
            body = {"lot": _name(diary, lot), "mass_kg": one.mass_kg, "to": one.to}
            diary.write(one.day - 0.05, "bran_handed_out", body)
    failed = [turn for turn in turns if not np.isfinite(turn.finish_day)]
    if failed:
        _recall(diary, int((failed[-1].began + failed[-1].layer_day[0]) // _LOT_DAYS))


def _before(own: dict[int, float], out: list[Given], lot: int) -> float:
    """As much as last time."""
    return round(own.get(lot, 0.5) + sum(one.mass_kg for one in out if one.lot == lot), 1)


def _make(diary: Diary, lot: int, kg: float) -> None:
    name, packed = _name(diary, lot), lot * _LOT_DAYS + 0.05
    if lot == 0:  # it was there when the log began
        diary.write(packed, "bran_made", {"lot": name, "mass_kg": kg})
        return
    mixed = {"lot": name, "mass_kg": kg, "carrier": "wheat_bran", "inoculum": "bought"}
    if lot % 2 == 0:
        mixed |= {"inoculum": "batch", "of_lot": _name(diary, lot - 1)}
    diary.write(packed - _MIXED_BEFORE, "bran_mixed", mixed)
    diary.write(packed - _DRY_BEFORE, "bran_dried", {"lot": name, "moisture": _MOISTURE})
    diary.write(packed, "bran_packed", {"lot": name, "mass_kg": kg, "store_c": 12.0})
    hours = float(18 + 3 * (lot % 3))
    body = {"lot": name, "test": "sour_drop", "result": hours, "temperature_c": 30.0}
    diary.write(packed + _TESTED_AFTER, "bran_tested", body)


def _recall(diary: Diary, lot: int) -> None:
    """The lot that a failed vessel began with: its test of late failed too."""
    name, day = _name(diary, lot), diary.until - _RECALL_DAYS
    body = {"lot": name, "test": "sour_drop", "note": "no curd after two days; smells of nothing"}
    diary.write(day - 0.1, "bran_tested", body)
    said = {"lot": name, "note": "It failed its test, and a bin fed with it did not sour."}
    diary.write(day, "bran_recalled", said, by="coordinator")
