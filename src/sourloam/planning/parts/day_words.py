"""Dates, counts and names of vessels as people say them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence


def day_words(date: dt.date) -> str:
    """Such as "21 April"."""
    return f"{date.day} {date:%B}"


def vessels(number: int) -> str:
    """Such as "1 vessel" or "3 vessels"."""
    return "1 vessel" if number == 1 else f"{number} vessels"


def many(number: int, name: str) -> str:
    """Such as '3 vessels ("19 L pail")'."""
    return f'{vessels(number)} ("{name}")'


def listed(names: Sequence[str]) -> str:
    """Such as "a", "a and b" or "a, b and c"."""
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} and {names[-1]}"


def numbered(kind: str, places: Sequence[int]) -> str:
    """Vessels of a kind by their numbers from 0: "19 L pail nos. 1 and 3"."""
    numbers = [str(place + 1) for place in sorted(places)]
    return f"{kind} {'no.' if len(numbers) == 1 else 'nos.'} {listed(numbers)}"


def whither(tub: bool, what: str = "it") -> str:
    """Where ferment goes that no bed takes."""
    if tub:
        return f"mix {what} with old soil in the tub"
    return f"pass {what} on to people with ground, a community garden or the food waste collection"


def about(share: float) -> str:
    """A share of one vessel: "about half", "about two thirds"."""
    return f"about {min(_PARTS, key=lambda part: abs(_PARTS[part] - share))}"


_PARTS = {
    "a fifth": 1 / 5,
    "a quarter": 1 / 4,
    "a third": 1 / 3,
    "half": 1 / 2,
    "two thirds": 2 / 3,
    "three quarters": 3 / 4,
    "nine tenths": 0.9,  # method: parts that people can judge by eye
}
