"""The texts of a remedy: English message ids; numbers are places named after evidence rows."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class RemedyText:
    """What to do now, one step each; what to watch; what to do otherwise the next time."""

    now: tuple[str, ...]
    watch: str
    next_time: str
