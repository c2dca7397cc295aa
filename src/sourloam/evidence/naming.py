"""How a row is called when people see it: words in place of ids."""

from __future__ import annotations

import re
from collections.abc import Mapping

Names = Mapping[str, Mapping[str, str]]
_YIELD = re.compile(r"d(\d{3})")  # liquid.yield.d190: from 190 g of dry matter in a kg


def name_of(key: str, names: Names) -> str:
    """Words for an id: its own name, else its parts after the topic, each in words.

    ``names`` holds words for single parts, by topic and for all, and whole names under "row".
    """
    own = names.get("row", {}).get(key)
    if own:
        return own
    topic, *parts = key.split(".")
    return ", ".join(_part(part, topic, names) for part in parts)


def _part(part: str, topic: str, names: Names) -> str:
    for group in (topic, "all"):
        words = names.get(group, {}).get(part)
        if words:
            return words
    dry = _YIELD.fullmatch(part)
    return f"at {dry[1]} g dry matter per kg" if dry else part.replace("_", " ")
