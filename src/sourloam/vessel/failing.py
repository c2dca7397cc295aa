"""How likely a vessel is to fail, from the members of a run."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import betaincinv

from sourloam.vessel.course import Course

_LOW, _HIGH = 0.1, 0.9  # method: ends of the range
_HALF = 0.5  # method: Jeffreys' prior of a share


@dataclass(frozen=True)
class Chance:
    """A share of vessels, 0 to 1, and the range in which it lies in eight runs of ten like this
    one: the noise of counting so many members. It always holds the share itself.

    ``between`` is the part of the spread of outcomes that lies between draws of the model's
    parameters, 0 to 1; the rest lies between kitchens. NaN where that is not known.
    """

    share: float
    low: float
    high: float
    between: float = np.nan


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
    the model's parameters and differ in their kitchens only: such members count for less than
    so many independent ones, and the range widens accordingly.
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
    share, members = float(happened.mean()), happened.size
    if draws is None:
        return _ranged(share, members, np.nan)
    groups = np.unique(draws)
    shares = np.array([happened[draws == draw].mean() for draw in groups])
    variance = share * (1 - share)
    if variance == 0 or groups.size < 2:
        return _ranged(share, groups.size, np.nan)
    # As many independent members as would know the share as well as these draws do.
    known = min(variance * groups.size / max(shares.var(ddof=1), variance / members), members)
    size = members / groups.size
    within = (shares.var(ddof=1) - variance / size) / (variance - variance / size)
    return _ranged(share, known, float(np.clip(within, 0, 1)) if size > 1 else np.nan)


def _ranged(share: float, known: float, between: float) -> Chance:
    """Range of a share known from so many independent members: Jeffreys' interval."""
    shape = share * known + _HALF, (1 - share) * known + _HALF
    low = 0.0 if share == 0 else min(float(betaincinv(*shape, _LOW)), share)
    high = 1.0 if share == 1 else max(float(betaincinv(*shape, _HIGH)), share)
    return Chance(share, low, high, between)
