"""Small change of the sentences: dates, counts, lists, amounts in the reader's units."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Protocol

import numpy as np

from sourloam.garden.case import Case
from sourloam.units import show

_FEW = 3
_SMALL = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")


def day_words(day: date) -> str:
    """A date as people say it: 4 May 2026."""
    return f"{day.day} {day:%B %Y}"


def count_words(count: int, word: str) -> str:
    """One vessel, two vessels and so on."""
    return f"{number_word(count)} {word}{'' if count == 1 else 's'}"


def number_word(count: int) -> str:
    """One, two ... as digits from ten on."""
    return _SMALL[count] if count < len(_SMALL) else str(count)


def listed(words: Sequence[str]) -> str:
    """One, two and three."""
    if len(words) < 2:
        return "".join(words)
    return ", ".join(words[:-1]) + " and " + words[-1]


def vessel_words(case: Case, places: Sequence[int]) -> str:
    """Vessels by name where they are few, else their count and the time they are finished in."""
    if len(places) <= _FEW:
        return listed([case.vessels[v].name for v in places])
    days = [case.vessels[v].ready_day for v in places]
    first, last = (case.start + timedelta(days=int(day)) for day in (min(days), max(days)))
    many = count_words(len(places), "vessel")
    return f"the {many} finished between {day_words(first)} and {day_words(last)}"


class Reader(Protocol):
    """Somebody who reads in "metric" or "us" units."""

    @property
    def system(self) -> str:
        """Which."""


def said(case: Reader, value: float, dimension: str) -> str:
    """An amount in the reader's units; mass in kg, small mass in kg too, length in m."""
    return show(value, dimension, case.system)


def settling(low: float, high: float) -> str:
    """How long ferment needs, from the short to the long end."""
    if not np.isfinite(high):
        return "longer than this time to settle"
    return f"{low:.0f} to {high:.0f} days to settle" if low < high else f"{low:.0f} days to settle"
