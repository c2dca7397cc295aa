"""How a stream of scraps swings with the week and the year, and when it stops."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

_DAYS = 7
_MONTHS = 12
_THURSDAY = 3  # 1970-01-01, day 0 of the dates, counted from Monday

Closure = tuple[np.datetime64, np.datetime64, float]


@dataclass(frozen=True)
class Calendar:
    """Factors on the mean day: by weekday from Monday, by month from January, by closure.

    A closure is (first day, last day, factor), both days included; where closures overlap
    their factors multiply. The factors are used as they stand: give a school's week as
    (1, 1, 1, 1, 1, 0, 0) if the amounts are those of a school day.
    """

    weekday_factors: Sequence[float] = field(default=(1.0,) * _DAYS)
    season_factors: Sequence[float] = field(default=(1.0,) * _MONTHS)
    closures: tuple[Closure, ...] = ()

    def __post_init__(self) -> None:
        wanted = {"weekday_factors": _DAYS, "season_factors": _MONTHS}
        for name, length in wanted.items():
            factors = np.asarray(getattr(self, name), dtype=np.float64)
            if factors.shape != (length,):
                raise ValueError(f"{name}: {factors.size} factors, expected {length}")
            if not (np.all(np.isfinite(factors)) and np.all(factors >= 0)):
                raise ValueError(f"{name}: factors must be finite and not below 0")
        for first, last, factor in self.closures:
            if last < first:
                raise ValueError(f"closure {first} to {last}: ends before it begins")
            if not (np.isfinite(factor) and factor >= 0):
                raise ValueError(f"closure {first} to {last}: factor {factor} must not be below 0")

    def factors(self, dates: NDArray[np.datetime64]) -> NDArray[np.float64]:
        """Factor on each of ``dates`` (days,), dtype datetime64[D]."""
        days = np.asarray(dates, dtype="datetime64[D]")
        weekday = (days.astype(np.int64) + _THURSDAY) % _DAYS
        month = days.astype("datetime64[M]").astype(np.int64) % _MONTHS
        factor = np.asarray(self.weekday_factors, dtype=np.float64)[weekday]
        factor = factor * np.asarray(self.season_factors, dtype=np.float64)[month]
        for first, last, share in self.closures:
            factor = np.where((days >= first) & (days <= last), factor * share, factor)
        return np.asarray(factor)


def household_week(weekend_factor: float) -> tuple[float, ...]:
    """Weekday factors with mean 1 whose Saturday and Sunday are ``weekend_factor``.

    ValueError unless that leaves nothing below 0 for the other days.
    """
    working, weekend = 5, 2
    if not 0 <= weekend_factor * weekend <= _DAYS:
        raise ValueError(f"weekend factor {weekend_factor}: expected 0 to {_DAYS / weekend}")
    other = (_DAYS - weekend * weekend_factor) / working
    return (other,) * working + (weekend_factor,) * weekend
