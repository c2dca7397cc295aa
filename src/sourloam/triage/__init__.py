"""From signs to cause to remedy, at the vessel and in the ground.

``diagnose`` weighs signs seen and signs absent against causes and gives a ``Verdict``: a cause,
nothing wrong, or "not sure". ``next_question`` finds the one question that tells most;
``answer_to`` adds remedy, cautions and what to do with a lost batch. ``SIGNS`` and ``CAUSES`` are
the registers; ``learned`` lets outcomes teach the judged shares.
"""

from sourloam.triage.answer import JUDGED, Answer, answer_to
from sourloam.triage.beliefs import EVIDENCE, Beliefs, Outcome, judged, learned
from sourloam.triage.causes import CAUSES
from sourloam.triage.context import Context
from sourloam.triage.diagnosis import Verdict, diagnose
from sourloam.triage.from_log import context_of, outcomes_of, signs_of
from sourloam.triage.questions import Question, next_question
from sourloam.triage.sign import Sign
from sourloam.triage.signs import SIGNS, SignError
from sourloam.triage.speaking import Spoken, raised, speaking

__all__ = [
    "CAUSES",
    "EVIDENCE",
    "JUDGED",
    "SIGNS",
    "Answer",
    "Beliefs",
    "Context",
    "Outcome",
    "Question",
    "Sign",
    "SignError",
    "Spoken",
    "Verdict",
    "answer_to",
    "context_of",
    "diagnose",
    "judged",
    "learned",
    "next_question",
    "outcomes_of",
    "raised",
    "signs_of",
    "speaking",
]
