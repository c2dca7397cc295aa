"""How the command line tells that something can't be done."""

from __future__ import annotations

import sys

BAD_INPUT, FAULT, INTERRUPTED = 2, 1, 130


class Refusal(Exception):
    """What the person asked can't be done; the message is one line that says what would be."""


def say(message: str) -> None:
    """One line to the person, apart from the results."""
    line = "".join(c if c.isprintable() else " " for c in " ".join(message.split()))
    print(f"sourloam: {line}", file=sys.stderr)
