"""Readings that hardly any member would have given, and what each could mean."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy import special

from sourloam.evidence import book
from sourloam.forecast.agreement import Agreement, Seen
from sourloam.forecast.logged import Logged

Floats = NDArray[np.float64]
MEANINGS = {
    ("drain", -1): "Less liquid than foreseen: a draining that nobody wrote down, a tap that is "
    "clogged, or drier scraps.",
    ("drain", 1): "More liquid than foreseen: wetter scraps, a layer that nobody wrote down, or "
    "two drainings written as one.",
    ("mark", -1): "Fuller foreseen than seen: pressed harder, smaller layers than written, or a "
    "layer written twice.",
    ("mark", 1): "Less full foreseen than seen: loosely pressed, or layers that nobody wrote down.",
    ("weighing", -1): "Lighter than foreseen: smaller layers than written, or another vessel was "
    "on the scale.",
    ("weighing", 1): "Heavier than foreseen: layers that nobody wrote down, or liquid that does "
    "not drain.",
    ("warmth", -1): "Colder than foreseen: an open window, another corner, or a cold night.",
    ("warmth", 1): "Warmer than foreseen: sun, a stove, or another corner.",
    ("strip", 1): "Less sour than foreseen: a cold corner, weak bran, thin bran on a thick layer, "
    "or a strip that lies. Test again; look and smell.",
    ("strip", -1): "Sourer than foreseen: good; or vinegar, or an old strip.",
}


@dataclass(frozen=True)
class Surprise:
    """A reading on ``day``; ``chance`` of one as far off; ``side`` 1 above, -1 below the rest."""

    what: str
    day: int
    chance: float
    side: int

    @property
    def sentence(self) -> str:
        """What it could mean."""
        return MEANINGS[self.what, self.side]

    def as_dict(self) -> dict[str, Any]:
        """Plain data."""
        return {
            "what": self.what,
            "day": self.day,
            "chance": round(self.chance, 4),
            "above": self.side > 0,
            "sentence": self.sentence,
        }


def surprises(agreement: Agreement, seen: Seen, strips_away: Floats) -> tuple[Surprise, ...]:
    """Surprising readings in order of days; ``strips_away`` (members, strips) in standard
    errors."""
    log = agreement.logged
    away = agreement.standardised(seen) | {"strip": strips_away}
    days = _days(log)
    found = [one for what, errors in away.items() for one in _of(what, days[what], errors)]
    return tuple(sorted(found, key=lambda one: (one.day, one.what)))


def _days(log: Logged) -> dict[str, list[int]]:
    return {
        "mark": [r.day for r in log.marks],
        "drain": [r.day for r in log.drains],
        "weighing": [r.day for r in log.weighings],
        "warmth": [r.day for r in log.warmths],
        "strip": [r.day for r in log.strips],
    }


def _of(what: str, days: list[int], errors: Floats) -> list[Surprise]:
    """By the chance that a reading with a normal error falls further off, over the members."""
    least = book()["forecast.surprise"].value
    above = special.ndtr(-errors).mean(axis=0)
    chance = 2 * np.minimum(above, 1 - above)
    return [
        Surprise(what, day, float(p), 1 if up < 0.5 else -1)
        for day, p, up in zip(days, chance, above, strict=True)
        if p < least
    ]
