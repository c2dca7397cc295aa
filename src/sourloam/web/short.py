"""The short address on a vessel's printed label: enough of the place, and the vessel."""

from __future__ import annotations

_PLACE = 8


def code(place: str, vessel: str) -> str:
    """Such as 3f2a9c01.blue-pail."""
    return f"{place[:_PLACE]}.{vessel}"


def read(text: str) -> tuple[str, str]:
    """The beginning of the place's id, and the vessel's id."""
    place, _dot, vessel = text.partition(".")
    return place, vessel
