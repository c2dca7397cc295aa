"""What a season report says of states, uses, causes and work."""

from __future__ import annotations

from sourloam.documents.speech import Speech
from sourloam.ledger.work import Due
from sourloam.triage import CAUSES

STATES = {"filling": "filling", "resting": "resting", "ready": "judged sound", "failed": "failed"}
USES = {
    "plants": "to plants, thinned",
    "sink": "down the sink",
    "kept": "kept",
    "other": "elsewhere",
}
WAYS = {"weighed": "weighed", "litres": "by the litre", "bowls": "by the bowl"}
OUTCOMES = {
    "mended": "it is well again",
    "unchanged": "no change",
    "lost": "it was lost",
    "another_cause": "it was something else",
    "unknown": "not known yet",
}
BURIALS = ("No.", "Day", "Vessel", "Bed", "Trench", "Depth", "Ferment")
HELP = ("Day", "What for", "Taken for", "How it went")
NEXT = ("Day", "Work")
CARE = (
    "Before you bury: local rules come first; keep well away from water; cover it well.",
    "Treat scraps, ferment and liquid as raw food. Sour smell is no proof that germs are gone.",
    "Open a tight lid slowly, face turned away. Never pour the liquid into a stream or a storm "
    "drain.",
)
_WORK = {
    "feed": "Feed {name}",
    "drain": "Drain {name}",
    "check": "Look at {name}",
    "set_aside": "Set {name} aside to rest",
    "wash": "Wash {name}",
    "bury": "Bury {name}",
    "plant": "Plant {name}",
    "recall": "Look at {name}: its bran was recalled",
    "bran_ordered": "Get more bran",
    "bran_mixed": "Mix the next batch of bran",
    "bran_dried": "Open bran {name} and dry it",
    "bran_packed": "Pack bran {name}",
    "bran_tested": "Test bran {name}",
    "bran_discarded": "Throw out bran {name}",
}


def work(due: Due, speech: Speech) -> str:
    """One piece of work in words."""
    said = speech.say(_WORK[due.kind if due.what == "bran" else due.what], name=due.name)
    if due.what == "drain" and due.expected_ml:
        said += f" ({speech.figure(due.expected_ml, 'mL')})"
    return said


def cause(name: str | None, speech: Speech) -> str:
    """A cause in words."""
    known = CAUSES.get(name or "")
    return speech.known(known.label) if known else speech.say("not sure")


def sentences() -> set[str]:
    """Every text of this file, for the list of translations."""
    every = (STATES, USES, WAYS, OUTCOMES, _WORK)
    found = {text for words in every for text in words.values()}
    return {*found, *BURIALS, *HELP, *NEXT, *CARE, *(one.label for one in CAUSES.values())}
