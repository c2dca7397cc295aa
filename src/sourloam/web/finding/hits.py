"""A way on, as Find lists it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

_CHOICES = 60  # things among which one is chosen


@dataclass(frozen=True)
class Hit:
    """A way on: what it is, one line about it, and ``chips`` to choose among things."""

    what: str
    url: str
    why: str = ""
    chips: tuple[tuple[str, str], ...] = ()
    folded: bool = False  # the chips lie under the question: there are many
    ask: str = ""  # said before the chips
    open: bool = False  # the chips lie open from the first


def chosen(things: Sequence[tuple[str, str]]) -> Sequence[tuple[str, str]]:
    """As many as one can choose among."""
    return things[:_CHOICES]
