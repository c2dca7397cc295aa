"""How far a long computation is, told to whoever wants to know."""

from __future__ import annotations

from collections.abc import Callable

#: Called with a word on what is being done, and the share that is done, 0 to 1.
Progress = Callable[[str, float], None]


def untold(stage: str, share: float) -> None:
    """Nobody asked how far the work is."""
