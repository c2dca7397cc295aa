"""Names of vessels in the reader's language, from what the plans call them."""

from __future__ import annotations

import re

from sourloam.documents.speech import Speech

_NUMBER = re.compile(r" nos?\. (\d[\d, and]*)")
_DAY = re.compile(r"\((\d+) ([A-Z][a-z]{2})\)")
_SHORT = "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec"


def vessel_name(name: str, speech: Speech) -> str:
    """Such as "19 L pail no. 1 (20 Apr)" as the reader says it; a name of one's own as it is."""
    if speech.language == "en":
        return name
    numbered = _NUMBER.sub(lambda found: f" n.º {found[1].replace('and', 'y')}", name)
    return _DAY.sub(lambda found: _dated(found, speech), numbered)


def _dated(found: re.Match[str], speech: Speech) -> str:
    months = _SHORT.split()
    if found[2] not in months:
        return found[0]
    return f"({found[1]} {speech.months()[months.index(found[2])][:3]})"
