"""Vessels that are alike, put together for the choice and taken apart again after it."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from sourloam.garden.case import WEEK
from sourloam.garden.finished import Finished
from sourloam.garden.options import Offer
from sourloam.garden.problem import Choice

_PLACES = 9  # method: figures that agree to so many places are the same


@dataclass(frozen=True)
class Lot:
    """Vessels alike: places of them in the case, by the day that each is ready."""

    vessels: tuple[int, ...]

    @property
    def first(self) -> int:
        """The vessel that stands for the lot: the one ready first."""
        return self.vessels[0]


def lots_of(vessels: tuple[Finished, ...]) -> tuple[Lot, ...]:
    """Lots of vessels ready in the same week with as much of the same ferment."""
    found: dict[tuple[object, ...], list[int]] = {}
    for v in sorted(range(len(vessels)), key=lambda v: (vessels[v].ready_day, v)):
        found.setdefault(_make(vessels[v]), []).append(v)
    return tuple(Lot(tuple(places)) for places in found.values())


def _make(vessel: Finished) -> tuple[object, ...]:
    amounts = (vessel.fresh_kg, vessel.nitrogen_kg, vessel.phosphorus_kg, vessel.potassium_kg)
    salt = float(np.median(vessel.ferment.sodium_kg))
    figures = tuple(round(x, _PLACES) for x in (*amounts, salt))
    return (-(-vessel.ready_day // WEEK), vessel.with_meat, vessel.much_meat, *figures)


@dataclass(frozen=True)
class Share:
    """So many parts of one vessel by one offer (a place in the list of offers), in its week."""

    vessel: int
    offer: int
    parts: int
    week: int = 0


def take_apart(
    lots: tuple[Lot, ...], offers: list[Offer], choice: Choice, parts: int
) -> tuple[list[Share], NDArray[np.int64]]:
    """What each vessel of each lot gets, and the parts of each vessel left over ``(vessels,)``.

    Vessels of a lot are opened by week, the one ready first first; within a week the beds that
    take most are served first, so that few vessels are shared out.
    """
    left = np.zeros(sum(len(lot.vessels) for lot in lots), dtype=np.int64)
    shares: list[Share] = []
    for place, lot in enumerate(lots):
        waiting = list(lot.vessels)
        by_week: dict[int, dict[int, int]] = {}
        for i, count in enumerate(choice.parts):
            if count and offers[i].option.vessel == place:
                by_week.setdefault(offers[i].option.week, {})[i] = int(count)
        for week in sorted(by_week):
            shares.extend(_open(waiting, (week, by_week[week]), parts, left))
        left[waiting] = parts
    return shares, left


def oldest_first(
    vessels: tuple[Finished, ...], shares: list[Share], left: NDArray[np.int64]
) -> tuple[list[Share], NDArray[np.int64]]:
    """The same openings, of vessels alike the one ready first at the earliest.

    Each opening keeps its beds and its day; only which of the vessels it is changes, and no
    vessel is opened before it is ready: whoever comes first could have been opened later.
    """
    alike: dict[tuple[object, ...], list[int]] = {}
    for v in sorted({share.vessel for share in shares}):
        alike.setdefault(_make(vessels[v])[1:], []).append(v)
    left, places = left.copy(), dict[int, int]()
    weeks = {share.vessel: share.week for share in shares}
    for some in alike.values():
        by_week = sorted(some, key=lambda v: (weeks[v], v))
        by_age = sorted(some, key=lambda v: (vessels[v].ready_day, v))
        places |= dict(zip(by_week, by_age, strict=True))
        left[by_age] = left[by_week]
    return [replace(share, vessel=places[share.vessel]) for share in shares], left


def _open(
    waiting: list[int], wants: tuple[int, dict[int, int]], parts: int, left: NDArray[np.int64]
) -> list[Share]:
    """Open vessels until all that is wanted in a week is served."""
    shares = []
    week, wanted = wants[0], dict(wants[1])
    while wanted:
        vessel, full = waiting.pop(0), parts
        while full and wanted:
            offer = max(wanted, key=lambda i: (min(wanted[i], full), -i))
            taken = min(wanted[offer], full)
            shares.append(Share(vessel, offer, taken, week))
            full -= taken
            wanted[offer] -= taken
            if not wanted[offer]:
                del wanted[offer]
        left[vessel] = full
    return shares
