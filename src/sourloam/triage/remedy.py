"""What to do about a cause: now, what to watch, when to look again, what to do with a loss."""

from __future__ import annotations

import re
from dataclasses import dataclass

from sourloam.evidence import book
from sourloam.ledger.sentences import Sentence
from sourloam.triage.remedies_ground import GROUND_REMEDIES
from sourloam.triage.remedies_vessel import VESSEL_REMEDIES

_PLACE = re.compile(r"%\((\w+)\)")
_TEXTS = {**VESSEL_REMEDIES, **GROUND_REMEDIES}


@dataclass(frozen=True)
class Remedy:
    """Sentences with their numbers; ``again_days``: look again after so many days."""

    now: tuple[Sentence, ...]
    watch: Sentence
    again_days: int
    next_time: Sentence


def remedy_for(cause: str) -> Remedy:
    """The remedy of a cause; KeyError for an unknown one."""
    text = _TEXTS[cause]
    return Remedy(
        now=tuple(with_numbers(line) for line in text.now),
        watch=with_numbers(text.watch),
        again_days=int(book()[f"triage.again.{cause}"].value),
        next_time=with_numbers(text.next_time),
    )


def with_numbers(msgid: str) -> Sentence:
    """A sentence whose places are filled from the rows ``triage.remedy``."""
    names = set(_PLACE.findall(msgid))
    return Sentence.of(msgid, **{name: _number(name) for name in names})


def _number(name: str) -> float | int:
    value = book()[f"triage.remedy.{name}"].value
    return int(value) if value.is_integer() and not name.endswith("_m") else value
