"""From a place's demand for bran to the size of a batch, and when to start the next."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sourloam.bran.carriers import Mixture, sorption
from sourloam.bran.drying import Drying, balance, dried, goal_moisture
from sourloam.bran.keeping import MONTH_DAYS, dose_kg_per_kg
from sourloam.bran.making import NEAR, Batch
from sourloam.bran.souring import bearable, usual_days
from sourloam.bran.steps import packing_day
from sourloam.evidence import Parameters

Floats = NDArray[np.float64]
_SHORTEST, _LONGEST = 28, 91  # method: a batch is for four to thirteen weeks


@dataclass(frozen=True)
class MonthDemand:
    """Bran asked for in a calendar month: its first day, and kg as low, middle, high."""

    month: dt.date
    low_kg: float
    middle_kg: float
    high_kg: float


@dataclass(frozen=True)
class Need:
    """What a batch must bring: kg as low, middle, high over ``first`` to ``until``."""

    first: dt.date
    until: dt.date
    low_kg: float
    middle_kg: float
    high_kg: float


def lasting_days(made: Batch) -> int:
    """For how many days a batch is made: as long as it is good, four to thirteen weeks."""
    return int(np.clip(made.usual_good_days, _SHORTEST, _LONGEST))


def need(demand: Sequence[MonthDemand], first: dt.date, days: int, weakening: float = 1.0) -> Need:
    """Demand over ``days`` from ``first``: each month's use is even over its days.

    A month stands for every year; of a month told twice, as where a plan begins and ends within
    it, the larger counts. ``weakening`` is how much larger the dose must be because the lot ages.
    ValueError where nothing is asked for.
    """
    if not demand:
        raise ValueError("the plan asks for no bran")
    by_month = {d.month.month: d for d in sorted(demand, key=lambda d: d.middle_kg)}
    total = np.zeros(3)
    for ahead in range(days):
        day = first + dt.timedelta(days=ahead)
        found = by_month.get(day.month)
        if found is not None:
            total += np.array([found.low_kg, found.middle_kg, found.high_kg]) / MONTH_DAYS
    if total[1] <= 0:
        raise ValueError("the plan asks for no bran in the time that this batch is for")
    low, middle, high = (float(x) for x in total * weakening)
    return Need(first, first + dt.timedelta(days=days - 1), low, middle, high)


def together(needs: Sequence[Need]) -> Need:
    """What several places ask for in the same days; they are taken to err apart from each other."""
    middle = sum(one.middle_kg for one in needs)
    below = float(np.hypot.reduce([one.middle_kg - one.low_kg for one in needs]))
    above = float(np.hypot.reduce([one.high_kg - one.middle_kg for one in needs]))
    return Need(needs[0].first, needs[0].until, middle - below, middle, middle + above)


def weakening(made: Batch, days: int, usual_kg_per_kg: float) -> float:
    """Mean over the days of the dose that the lot's strength asks for, against the usual one.

    Counted by the middle of the members; days on which the lot is too weak count as the largest
    dose.
    """
    most = float(made.parameters["bran_keeping.dose_most"][0])
    doses = np.median(dose_kg_per_kg(made.strength[:, :days], made.parameters), axis=0)
    given = np.clip(doses, usual_kg_per_kg, max(most, usual_kg_per_kg))
    return float(given.mean() / usual_kg_per_kg)


def lead_days(carrier: str, room_c: float, how: Drying, parameters: Parameters) -> int:
    """Days from mixing a batch until it may be used, by the days closed that practice gives and
    the drying's own; ValueError where this air dries nothing or the room is too cold or hot."""
    bearable(room_c, parameters)
    taken_up = sorption(Mixture({carrier: 1.0}), parameters)
    drying = 0.0
    if how.method != "none":
        wet = parameters["bran_making.moisture"]
        goal = goal_moisture(room_c, taken_up, parameters)
        end = np.minimum(np.maximum(goal, balance(how, taken_up, parameters) + NEAR), wet)
        drying = float(np.median(dried(how, wet, end, taken_up, parameters).days))
    if not np.isfinite(drying):
        raise ValueError("this air does not dry bran")
    return usual_days(room_c, parameters) + int(np.ceil(drying)) + 1


def start_next(made: Batch, until: dt.date) -> dt.date:
    """When to mix the next batch so that it can be used the day after ``until``."""
    lead = packing_day(made) + 1
    return until + dt.timedelta(days=1) - dt.timedelta(days=lead)
