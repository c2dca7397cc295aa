"""Trenches laid lighter than they must be, where the bed has room and people have time.

The choice of places lays each trench as thick as gets air enough, so that most finds room. What
room and hands are left afterwards is spent here, the earliest burials first: half the load settles
sooner, at the price of digging twice as far.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from sourloam.garden.case import Case
from sourloam.garden.hurdles import SLACK, Look
from sourloam.garden.options import Buried, offer_at


def preferred_load_kg_m(look: Look) -> float:
    """Ferment on a metre of trench that is laid where room and hands allow, kg."""
    return look.loads[0] * look.case.middle("beds.load.preferred")


def laid_lighter(case: Case, buried: Sequence[Buried], room_m: NDArray[np.float64]) -> list[Buried]:
    """The same burials, each with the preferred load if its bed and its week have room for it.

    ``room_m`` (beds,): metres of trench that each bed has for the year.
    """
    metres, hours = room_m.copy(), np.full(case.weeks, case.hands.week_h)
    for one in buried:
        metres[one.offer.option.bed] -= one.offer.option.room_m * one.parts
        hours[one.offer.option.week] -= one.offer.option.hours * one.parts
    found = []
    for one in sorted(buried, key=lambda b: (b.offer.day, b.offer.option.vessel)):
        option = one.offer.option
        lighter = _lighter(case, one)
        longer = (lighter.offer.option.room_m - option.room_m) * one.parts
        work = (lighter.offer.option.hours - option.hours) * one.parts
        if longer > metres[option.bed] + SLACK or work > hours[option.week] + SLACK:
            found.append(one)
            continue
        metres[option.bed] -= longer
        hours[option.week] -= work
        found.append(lighter)
    return found


def _lighter(case: Case, one: Buried) -> Buried:
    option = one.offer.option
    look = Look(case, option.vessel, option.bed, option.week)
    load = preferred_load_kg_m(look)
    return one if load >= one.offer.load_kg_m else replace(one, offer=offer_at(look, load))
