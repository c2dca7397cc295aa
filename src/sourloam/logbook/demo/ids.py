"""By which ids the demo's places and programmes are known."""

from __future__ import annotations

import uuid

_IDS = uuid.UUID("7d0a5a6e-4f0e-4f3a-9b57-6a0f5b1f3c11")
_VERSION = 5  # ids made from a name; those of people's own places are random (4)


def demo_id(name: str) -> str:
    """The id of a place or programme of the demo."""
    return str(uuid.uuid5(_IDS, name))


def is_demo(place_id: str) -> bool:
    """Whether a place of this id came with the demo: its id tells."""
    try:
        return uuid.UUID(place_id).version == _VERSION
    except ValueError:
        return False


ROW, TOWN = demo_id("alder-row"), demo_id("alder-town")  # programmes
