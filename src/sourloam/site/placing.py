"""On which line of a file a key stands."""

from __future__ import annotations

import re
from collections.abc import Sequence

_HEADER = re.compile(r"\s*(\[\[?)\s*([\w-]+)\s*((?:\.\s*[\w-]+\s*)*)\]\]?\s*(?:#.*)?")


def line_of(text: str, steps: Sequence[str | int]) -> int | None:
    """Line, counted from 1, of the key that ``steps`` lead to, or of its section's heading.

    None where neither stands there, or where text over several lines could mislead.
    """
    if not steps or "'''" in text or '"""' in text:
        return None
    section, rest = steps[0], steps[1:]
    wanted = rest[0] if rest and isinstance(rest[0], int) else 0
    keys = [step for step in rest if isinstance(step, str)]
    seen, inside, heading = -1, False, None
    for number, line in enumerate(text.split("\n"), start=1):
        if header := _HEADER.fullmatch(line):
            same = header[2] == section
            seen += same and not header[3]
            inside = same and seen == wanted
            if inside and not header[3]:
                heading = number
        elif inside and keys and _is_key(line, keys[0]):
            return number
    return heading


def _is_key(line: str, key: str) -> bool:
    found = re.match(r"""\s*(["']?)([\w-]+)\1\s*[=.]""", line)
    return found is not None and found[2] == key
