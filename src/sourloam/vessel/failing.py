"""How likely a vessel is to fail, from the members of a run."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.stats import beta

from sourloam.vessel.course import Course

_LOW, _HIGH = 0.1, 0.9  # method: ends of the range
_HALF = 0.5  # method: Jeffreys' prior of a share


@dataclass(frozen=True)
class Chance:
    """A share of vessels, 0 to 1, with its 10-90 % range."""

    share: float
    low: float
    high: float


@dataclass(frozen=True)
class Failing:
    """How many vessels fail, and in which way; ``failed`` is not sour or putrid."""

    not_sour: Chance
    putrid: Chance
    failed: Chance
    spoilt_top: Chance


def chance_of_failing(
    course: Course, by_day: float, draws: NDArray[np.int64] | None = None
) -> Failing:
    """Shares of a run's members that fail.

    Not sour: not at the critical pH and steady ``by_day`` days after the last layer. Putrid: more
    butyric acid or ammonium on that day than a poor silage. Spoilt top: more air since
    the last layer than mould needs. ``draws`` (members,) tells which members share one draw of
    the model's parameters and differ in their kitchens only: the range is then that of the share
    over the draws. Without it the range says only how well so many members know a share.
    ValueError where the run ends before ``by_day`` or ``draws`` has another length.
    """
    members, days = course.ph_newest.shape
    if draws is not None and draws.shape != (members,):
        raise ValueError(f"draws: {draws.size} given, {members} members")
    if np.any(course.last_fed_day + by_day > days):
        raise ValueError(
            f"the run of {days} days ends less than {by_day:g} days after a last layer"
        )
    day = np.clip(course.last_fed_day + by_day - 1, 0, days - 1).astype(np.int64)
    putrid = course.putrid_by_day[np.arange(members), day]
    not_sour = ~(course.finish_day - course.last_fed_day <= by_day)
    return Failing(
        not_sour=_chance(not_sour, draws),
        putrid=_chance(putrid, draws),
        failed=_chance(not_sour | putrid, draws),
        spoilt_top=_chance(course.spoilt_top, draws),
    )


def _chance(happened: NDArray[np.bool_], draws: NDArray[np.int64] | None) -> Chance:
    share = float(happened.mean())
    if draws is None:
        times = int(happened.sum())
        range_of = beta(times + _HALF, happened.size - times + _HALF)
        return Chance(share, float(range_of.ppf(_LOW)), float(range_of.ppf(_HIGH)))
    shares = [happened[draws == draw].mean() for draw in np.unique(draws)]
    low, high = np.quantile(shares, [_LOW, _HIGH])
    return Chance(share, float(low), float(high))
