"""A run of consecutive days with the lowest and the highest air temperature of each."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


class ClimateError(ValueError):
    """A temperature record cannot be used; one line says what, where, and what would be right."""


@dataclass(frozen=True)
class Daily:
    """Daily air temperatures without a gap.

    ``tmin_c`` and ``tmax_c`` have shape ``(days,)``, °C. ``smooth`` marks a curve of the mean
    year, to which day-to-day weather is still to be added. ``notes`` say in plain words what
    was mended while reading. Raises ClimateError when the two arrays do not fit together.
    """

    start: np.datetime64
    tmin_c: NDArray[np.float64]
    tmax_c: NDArray[np.float64]
    name: str = "temperatures"
    smooth: bool = False
    notes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "start", self.start.astype("datetime64[D]"))
        if self.tmin_c.ndim != 1 or self.tmin_c.shape != self.tmax_c.shape:
            raise ClimateError(f"{self.name}: one lowest and one highest temperature for each day")
        if not len(self):
            raise ClimateError(f"{self.name}: holds no day; give at least a year of days")
        if not np.all(np.isfinite(self.tmin_c) & np.isfinite(self.tmax_c)):
            raise ClimateError(f"{self.name}: every temperature must be a finite number")
        if np.any(self.tmin_c > self.tmax_c):
            day = self.dates[int(np.argmax(self.tmin_c > self.tmax_c))]
            raise ClimateError(f"{self.name}: {day}: the lowest temperature is above the highest")

    def __len__(self) -> int:
        return int(self.tmin_c.shape[0])

    @property
    def mean_c(self) -> NDArray[np.float64]:
        """Mid of the lowest and the highest temperature, °C, shape ``(days,)``."""
        return np.asarray((self.tmin_c + self.tmax_c) / 2)

    @property
    def dates(self) -> NDArray[np.datetime64]:
        """The days, shape ``(days,)``, datetime64[D]."""
        return self.start + np.arange(len(self))


def monthly_means_c(daily: Daily) -> NDArray[np.float64]:
    """Mean of all days of each calendar month, °C, shape ``(12,)``; January first.

    Raises ClimateError when a month has no day in the record.
    """
    month = daily.dates.astype("datetime64[M]").astype(int) % 12
    count = np.bincount(month, minlength=12)
    if not count.all():
        missing = int(np.argmin(count)) + 1
        raise ClimateError(
            f"{daily.name}: no day of month {missing} in the record; give a whole year"
        )
    return np.asarray(np.bincount(month, daily.mean_c, minlength=12) / count)
