"""Small pieces of the sentences in which an error is told."""

from __future__ import annotations

import difflib
from collections.abc import Iterable

SHOWN = 60  # longest piece of somebody's input that an error repeats
_NEAR = 0.6  # likeness from which a word counts as a slip of another


def one_line(text: str, most: int = 200) -> str:
    """The text with what can't be printed replaced, cut where it grows too long."""
    text = "".join(c if c.isprintable() else "·" for c in text[: most + 1])
    return text if len(text) <= most else text[: most - 1] + "…"


def shown(value: object) -> str:
    """What was found, on one line and never long."""
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        return f"a list of {len(value)}"
    if isinstance(value, bool):
        return str(value).lower()
    return one_line(f'"{value}"' if isinstance(value, str) else _plain(value), SHOWN)


def _plain(value: object) -> str:
    try:
        return str(value)
    except ValueError:  # a whole number of thousands of digits
        return "a huge number"


def choice(found: object, known: Iterable[str]) -> str:
    """ "found X; did you mean Y? choose from ..." """
    words = sorted(known)
    return f"found {shown(found)};{nearest(found, words)} choose from {', '.join(words)}"


def nearest(found: object, known: Iterable[str]) -> str:
    """ " did you mean Y?" when one of the known words is near, else nothing."""
    if not isinstance(found, str) or len(found) > SHOWN:
        return ""
    plain = found.strip().lower().replace(" ", "_").replace("-", "_")
    near = difflib.get_close_matches(plain, list(known), n=1, cutoff=_NEAR)
    return f' did you mean "{near[0]}"?' if near else ""
