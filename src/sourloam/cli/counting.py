"""How many there are, as a line for people says it."""

from __future__ import annotations


def counted(number: int, one: str, many: str = "") -> str:
    """Such as "1 entry", "2 entries"; ``many`` where more of them is not ``one`` with an s."""
    return f"{number} {one if number == 1 else many or one + 's'}"
