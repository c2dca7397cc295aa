"""How the command line tells that something can't be done."""

from __future__ import annotations

import sys

BAD_INPUT, FAULT, INTERRUPTED, ENDED = 2, 1, 130, 143


class Refusal(Exception):
    """What the person asked can't be done; the message is one line that says what would be."""


class BrokenOff(Exception):
    """Work that was broken off after some of it was kept; the message says what stands."""

    def __init__(self, message: str, code: int = INTERRUPTED) -> None:
        """``code``: how the command ends."""
        super().__init__(message)
        self.code = code


def say(message: str) -> None:
    """One line to the person, apart from the results."""
    line = "".join(c if c.isprintable() else " " for c in " ".join(message.split()))
    print(f"sourloam: {line}", file=sys.stderr)
