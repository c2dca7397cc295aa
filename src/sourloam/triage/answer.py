"""The whole answer to signs, as plain data for terminal, page and log."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import asdict, dataclass
from typing import Any

from sourloam.ledger.sentences import Sentence
from sourloam.ledger.sentences import gettext_noop as _
from sourloam.triage.beliefs import Beliefs
from sourloam.triage.causes import CAUSES, WELL
from sourloam.triage.caution import Caution, cautions_for, forbids_second_try, is_rotten
from sourloam.triage.diagnosis import Doubt, Verdict
from sourloam.triage.fate import fate_if_lost
from sourloam.triage.first_steps import ALWAYS, GROWING, MEANWHILE, steps_for
from sourloam.triage.questions import Question, next_question
from sourloam.triage.remedies_vessel import DRAIN, SECOND_TRY
from sourloam.triage.remedy import remedy_for, with_numbers
from sourloam.triage.weighing import rule

#: Said beside every share.
JUDGED = _("These shares are our judgement, not counted cases.")
LET_GO = _("Do not try to save it; let it go as said below.")
_DOUBTS: dict[Doubt, str] = {
    "nothing_told": _("Tell me what you see or smell."),
    "contradiction": _("Not sure: two of these signs cannot both be there. Look again, or ask."),
    "unexplained": _("Not sure: no one cause explains all these signs. Ask somebody who knows."),
    "rare": _("Not sure: these signs hardly ever come together. Look again, or ask."),
    "open": _("Not sure yet: several causes are possible."),
}
_LIKELY_WELL = _("Probably nothing wrong, but not sure yet.")
_CALM = {
    "vessel": _("Close it, go on as usual, and look again in a week. Bury nothing yet."),
    "ground": _("Leave it as it is, and look again in a week before you plant."),
}
_BURY_NOTHING = _("Until you know, bury nothing of it.")
_FEED_NOTHING = _("Until then, sow nothing there and feed no liquid.")
_MEANWHILE = {
    "vessel": (
        _("Until you know: drain it, close it well, keep it at room warmth, bury nothing yet."),
        _("Ask somebody with practice, and show a photo. If it turns rotten, take it as lost."),
    ),
    "ground": (
        _("Until you know: plant nothing there, feed no liquid, keep it covered."),
        _("Ask somebody with practice, and show a photo."),
    ),
}


@dataclass(frozen=True)
class Answer:
    """A verdict with what follows from it. ``headline`` is a message id of its own.

    ``first`` are the steps that the signs themselves ask for, right before anything is known.
    ``question`` is the next one, None where enough is known or nothing is worth asking.
    """

    verdict: Verdict
    headline: str
    why: str
    first: tuple[Sentence, ...]
    now: tuple[Sentence, ...]
    watch: Sentence | None
    again_days: int | None
    next_time: Sentence | None
    lost: tuple[Sentence, ...]
    cautions: tuple[Caution, ...]
    question: Question | None

    @property
    def stop(self) -> bool:
        """Something must be done, or not done, before anything else."""
        return any(caution.stop for caution in self.cautions)

    def entry_body(self, **thing: str) -> dict[str, Any]:
        """Body of a ``rescued`` entry; ``thing`` is ``vessel=`` or ``bed=`` with its id."""
        body: dict[str, Any] = dict(thing) | {
            "signs": list(self.verdict.seen),
            "absent": list(self.verdict.absent),
        }
        return body | ({"cause": self.verdict.cause} if self.verdict.cause else {})

    def as_json(self) -> dict[str, Any]:
        """Plain JSON, in English and metric units, with the ids beside the words."""
        verdict = self.verdict
        return {
            "stage": verdict.stage,
            "signs": list(verdict.seen),
            "absent": list(verdict.absent),
            "sure": verdict.sure,
            "cause": verdict.cause,
            "doubt": verdict.doubt,
            "headline": self.headline,
            "why": self.why,
            "likely": [asdict(one) | {"label": CAUSES[one.cause].label} for one in verdict.likely],
            "first": [line.english for line in self.first],
            "contradictory": [list(pair) for pair in verdict.contradictory],
            "unexplained": list(verdict.unexplained),
            "standing": JUDGED,
            "stop": self.stop,
            "cautions": [
                {"id": c.id, "text": c.text.english, "stop": c.stop} for c in self.cautions
            ],
            "now": [line.english for line in self.now],
            "watch": self.watch.english if self.watch else None,
            "again_days": self.again_days,
            "next_time": self.next_time.english if self.next_time else None,
            "lost": [line.english for line in self.lost],
            "question": asdict(self.question) if self.question else None,
        }


def answer_to(
    verdict: Verdict, skip: Collection[str] = (), beliefs: Beliefs | None = None
) -> Answer:
    """What to say and do; ``skip`` and ``beliefs`` as for ``next_question``."""
    question = next_question(verdict, skip, beliefs)
    cautions = cautions_for(verdict)
    lost = () if _likely_well(verdict) else fate_if_lost(verdict)
    first = _safe(verdict, tuple(with_numbers(step) for step in _first(verdict)))
    if verdict.cause is None:
        meanwhile = _steps(verdict, tuple(with_numbers(line) for line in _meanwhile(verdict)))
        headline = _LIKELY_WELL if _likely_well(verdict) else _DOUBTS[verdict.doubt]
        rest = (None, None, None, lost, cautions, question)
        return Answer(verdict, headline, "", first, meanwhile, *rest)
    cause, remedy = CAUSES[verdict.cause], remedy_for(verdict.cause)
    return Answer(
        verdict,
        cause.label,
        cause.why,
        first,
        _steps(verdict, _with_first_steps(verdict, remedy.now)),
        remedy.watch,
        remedy.again_days,
        remedy.next_time,
        lost,
        cautions,
        question,
    )


def _likely_well(verdict: Verdict) -> bool:
    """Open, and "nothing wrong" would be named if less certainty were asked for it."""
    return (
        verdict.doubt == "open"
        and verdict.first.cause == WELL[verdict.stage]
        and verdict.first.share > rule("name")
    )


def _with_first_steps(verdict: Verdict, now: tuple[Sentence, ...]) -> tuple[Sentence, ...]:
    """What the signs ask for in any case, then the remedy."""
    first = (with_numbers(step) for step in steps_for(verdict.seen, ALWAYS))
    return tuple(dict.fromkeys((*first, *now)))


def _meanwhile(verdict: Verdict) -> tuple[str, ...]:
    """What is right whatever the cause; rot wants the same steps from all its causes."""
    urgent = steps_for(verdict.seen, ALWAYS)
    if _likely_well(verdict):
        return (*urgent, _CALM[verdict.stage])
    if verdict.stage == "vessel" and is_rotten(verdict):
        return tuple(dict.fromkeys((*urgent, DRAIN, SECOND_TRY)))
    first = _first(verdict)
    hold, ask = _MEANWHILE[verdict.stage]
    if first and verdict.stage == "vessel":
        hold = _BURY_NOTHING
    if verdict.stage == "ground" and any(sign in GROWING for sign in verdict.seen):
        hold = _FEED_NOTHING
    return (*first, hold, ask)


def _first(verdict: Verdict) -> tuple[str, ...]:
    """Steps that the signs ask for whatever the cause."""
    seen = verdict.seen
    return tuple(dict.fromkeys((*steps_for(seen, ALWAYS), *steps_for(seen, MEANWHILE))))


def _steps(verdict: Verdict, steps: tuple[Sentence, ...]) -> tuple[Sentence, ...]:
    """The steps; a second try, or reaching into mould, gives way to letting go where it would not
    be safe."""
    kept = _safe(verdict, steps)
    return (*kept, with_numbers(LET_GO)) if forbids_second_try(verdict) else kept


def _safe(verdict: Verdict, steps: tuple[Sentence, ...]) -> tuple[Sentence, ...]:
    if not forbids_second_try(verdict):
        return steps
    unsafe = {SECOND_TRY, *MEANWHILE["green_mould"]}
    return tuple(step for step in steps if step.msgid not in unsafe)
