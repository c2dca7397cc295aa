"""The shape of week and year in what a place throws away: learned from all its layers.

Both are factors on what the site says, drawn towards 1 as far as the log is short or uneven.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import book

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]
_WEEK = 7
_YEAR_DAYS = 365.25
_PRIOR_DAYS = 7  # method: days that the site's own day-to-day variation is worth
_FEW_DAYS = 240  # method: a shorter log says nothing of the year


@dataclass(frozen=True)
class Laid:
    """What was laid on the days of a log: date, kg, kg that the site says, all (days,)."""

    dates: NDArray[np.datetime64]
    kg: Floats
    expected_kg: Floats


@dataclass(frozen=True)
class Habits:
    """Factors on the scraps that a site says: by weekday from Monday (7,), and the two parts,
    cosine and sine of the day of the year, of the logarithm of the year's (2,)."""

    week: Floats
    year: Floats

    @classmethod
    def flat(cls) -> Habits:
        """As the site says."""
        return cls(np.ones(_WEEK), np.zeros(2))

    def on(self, dates: NDArray[np.datetime64]) -> Floats:
        """The factor of each of ``dates`` (days,)."""
        return np.asarray(self.week[_weekday(dates)] * np.exp(_turning(dates) @ self.year))


def habits_of(laid: Laid, day_to_day: float) -> Habits:
    """Week and year as the log says; ``day_to_day`` is the variation of single days that the site
    is taken to have."""
    counts = laid.expected_kg > 0
    if not counts.any() or laid.kg[counts].sum() <= 0:
        return Habits.flat()
    told = Laid(laid.dates[counts], laid.kg[counts], laid.expected_kg[counts])
    return Habits(_week(told, day_to_day), _year(told, day_to_day))


def _week(laid: Laid, day_to_day: float) -> Floats:
    """Each weekday's mean over what is expected, shrunk to 1; towards 0 as far as it seems to be
    a closed day. What is expected of a whole week is left as it is."""
    weekday = _weekday(laid.dates)
    share = laid.kg / (laid.expected_kg * laid.kg.sum() / laid.expected_kg.sum())
    count = np.bincount(weekday, minlength=_WEEK)
    mean = np.bincount(weekday, share, _WEEK) / np.maximum(count, 1)
    inside = float(((share - mean[weekday]) ** 2).sum())
    noise = (_PRIOR_DAYS * day_to_day**2 + inside) / (_PRIOR_DAYS + max(len(share) - _WEEK, 0))
    between = book()["forecast.week.between"].value ** 2
    weight = np.where(count > 0, between / (between + noise / np.maximum(count, 1)), 0.0)
    factor = np.maximum(1 + weight * (mean - 1), 0.0) * (1 - _closed(weekday, share > 0, count))
    usual = np.bincount(weekday, laid.expected_kg, _WEEK) / np.maximum(count, 1)
    usual = np.where(count > 0, usual, usual[count > 0].mean())
    return np.asarray(factor * usual.sum() / (factor * usual).sum())


def _closed(weekday: Ints, laid: Bools, count: Ints) -> Floats:
    """Chance that nothing comes on each weekday: one without a layer in all its weeks, against how
    often the other weekdays go without."""
    before = book()["forecast.week.closed"].value
    with_layer = np.bincount(weekday, laid, _WEEK)
    others = count.sum() - count
    without = 1 - (with_layer.sum() - with_layer) / np.maximum(others, 1)
    by_chance = (1 - before) * without**count
    return np.where(with_layer > 0, 0.0, before / (before + by_chance)) * (count > 0)


def _year(laid: Laid, day_to_day: float) -> Floats:
    """A wave through the months, by ridge regression on the logarithm of what each month brought
    over what was expected; none where the log is too short to tell it from chance."""
    if (laid.dates[-1] - laid.dates[0]).astype(int) < _FEW_DAYS:
        return np.zeros(2)
    month = laid.dates.astype("datetime64[M]")
    found, which = np.unique(month, return_inverse=True)
    kg, expected = np.bincount(which, laid.kg), np.bincount(which, laid.expected_kg)
    days, there = np.bincount(which), kg > 0
    middle = np.stack([_turning(laid.dates[which == i]).mean(axis=0) for i in range(len(found))])
    error = day_to_day**2 / days + book()["forecast.rate_change"].value ** 2
    weight = np.where(there, 1 / error, 0.0)
    told = np.log(np.where(there, kg / expected, 1.0))
    waves = np.column_stack([np.ones(len(found)), middle])
    ridge = np.diag([0.0, 1.0, 1.0]) / book()["forecast.season.between"].value ** 2
    level = np.linalg.solve(waves.T @ (weight[:, None] * waves) + ridge, waves.T @ (weight * told))
    return np.asarray(level[1:])


def _weekday(dates: NDArray[np.datetime64]) -> Ints:
    """0 for Monday; the first day of 1970 was a Thursday."""
    return np.asarray((dates.astype("datetime64[D]").astype(np.int64) + 3) % _WEEK)


def _turning(dates: NDArray[np.datetime64]) -> Floats:
    """Cosine and sine of where the days stand in the year, (days, 2)."""
    days = dates.astype("datetime64[D]").astype(np.int64)
    angle = 2 * np.pi * days / _YEAR_DAYS
    return np.column_stack([np.cos(angle), np.sin(angle)])
