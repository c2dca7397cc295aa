"""Names in the order in which people count."""

from __future__ import annotations

import re

_DIGITS = re.compile(r"([0-9]+)")


def in_order(name: str) -> list[tuple[bool, int, str]]:
    """A key to sort names by: bin 2 before bin 10."""
    parts = _DIGITS.split(name.casefold())
    return [(n % 2 == 1, int(part) if n % 2 else 0, part) for n, part in enumerate(parts)]
