"""What the pages show of a forecast, read from the summary that the logbook keeps as JSON."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Spread:
    """A middle value with its 10 and 90 % points; None where beyond the time foreseen."""

    low: Any
    middle: Any
    high: Any


@dataclass(frozen=True)
class Foresight:
    """One vessel's forecast as plain data; ``raw`` is the summary itself.

    It has the shape that the list of what is due asks of a forecast.
    """

    raw: Mapping[str, Any]

    @property
    def full_on(self) -> dt.date | None:
        """Day on which it is full."""
        return self._middle_day("full_on")

    @property
    def finished_on(self) -> dt.date | None:
        """Day on which its newest layer is sour and steady."""
        return self._middle_day("finished_on")

    @property
    def next_drain_on(self) -> dt.date | None:
        """Day on which it should next be drained."""
        return self._middle_day("next_drain_on")

    @property
    def next_drain_ml(self) -> float | None:
        """Liquid to expect then, mL."""
        found = self.number("next_drain_ml")
        return None if found is None else float(found.middle)

    @property
    def chance_of_failing(self) -> float | None:
        """Chance, 0 to 1, that it does not sour in time or spoils."""
        value = self.raw.get("chance_of_failing")
        return float(value) if isinstance(value, int | float) else None

    def day(self, key: str) -> Spread | None:
        """A foreseen day with its range."""
        found = self._three(key)
        if found is None or found.middle is None:
            return None
        return Spread(*(_date(v) for v in (found.low, found.middle, found.high)))

    def number(self, key: str) -> Spread | None:
        """A foreseen number with its range."""
        found = self._three(key)
        return found if found is not None and found.middle is not None else None

    @property
    def level(self) -> float | None:
        """Share filled now."""
        found = self.number("level_now")
        return None if found is None else float(found.middle)

    @property
    def sump_share(self) -> float:
        """Share of the sump that stands full now."""
        value = self.raw.get("sump_share")
        return float(value) if isinstance(value, int | float) else 0.0

    @property
    def layer_ph(self) -> Sequence[float | None]:
        """pH of each layer now, the oldest first; empty if not foreseen."""
        value = self.raw.get("layer_ph_now")
        return list(value) if isinstance(value, Sequence) and not isinstance(value, str) else ()

    @property
    def layer_ph_ends(self) -> Sequence[tuple[float, float] | None]:
        """The 10 and 90 % points of the same; empty where a summary holds none."""
        value = self.raw.get("layer_ph_range_now")
        if not isinstance(value, Mapping):
            return ()
        pairs = zip(value.get("low", ()), value.get("high", ()), strict=False)
        return [None if None in pair else pair for pair in pairs]

    def _middle_day(self, key: str) -> dt.date | None:
        found = self.day(key)
        return None if found is None else found.middle

    def _three(self, key: str) -> Spread | None:
        value = self.raw.get(key)
        if isinstance(value, Mapping):
            return Spread(value.get("low"), value.get("median"), value.get("high"))
        return None


def _date(value: Any) -> dt.date | None:
    return dt.date.fromisoformat(value[:10]) if isinstance(value, str) else None
