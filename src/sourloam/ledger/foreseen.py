"""What the list of what is due asks of a forecast; whoever foresees gives an object like this."""

from __future__ import annotations

import datetime as dt
from typing import Protocol, runtime_checkable

_SUREST = 99  # of 100: no forecast is certain


def percent_of(chance: float) -> int:
    """A chance in words of 100, as every page tells it."""
    return min(round(100 * chance), _SUREST)


@runtime_checkable
class Foreseen(Protocol):
    """The middle of what is foreseen for the filling under way in one vessel; None where it isn't
    foreseen within the horizon, or is past."""

    @property
    def full_on(self) -> dt.date | None:
        """Day on which it is full."""

    @property
    def finished_on(self) -> dt.date | None:
        """Day on which its newest layer is sour and steady."""

    @property
    def next_drain_on(self) -> dt.date | None:
        """Day on which it should next be drained."""

    @property
    def next_drain_ml(self) -> float | None:
        """Liquid to expect then, mL."""

    @property
    def chance_of_failing(self) -> float | None:
        """Chance, 0 to 1, that it does not sour in time or spoils."""
