"""What places achieved: asked for by a page, reckoned by the process that foresees, and kept."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
from dataclasses import dataclass
from typing import Any, Literal

from django.db.models import F, Q
from pydantic import BaseModel, ConfigDict, ValidationError

import sourloam
from sourloam.impact import Asked, Impact, Local, LogError, impact_of_log
from sourloam.logbook import foreseeing
from sourloam.logbook.models import Achieved, Place
from sourloam.logbook.standing import state_of

MEMBERS = 200  # of a page's answer; the command takes 500
_KEPT = 12  # answers kept of one place
_LONGEST_TROUBLE = 200


class Question(BaseModel):
    """What is asked: a time (all of the log if left out), weights of the gases, local facts."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    first: dt.date | None = None
    last: dt.date | None = None
    report: Literal["ar5", "ar6"] = "ar6"
    years: Literal[20, 100] = 100
    local: Local = Local()

    @property
    def period(self) -> tuple[dt.date, dt.date] | None:
        """First and last day."""
        if self.first is None and self.last is None:
            return None
        return self.first or dt.date.min, self.last or dt.date.max

    def digest(self) -> str:
        """The same for the same question to the same version."""
        said = json.dumps([self.model_dump(mode="json"), sourloam.__version__, MEMBERS])
        return hashlib.sha256(said.encode()).hexdigest()


@dataclass(frozen=True)
class Standing:
    """The newest answer, None while there is none; ``waits`` while it is being reckoned anew;
    ``trouble`` says in English why there is none."""

    answer: Impact | None
    waits: bool
    trouble: str


def ask(place_id: str, seq: int, question: Question) -> Standing:
    """What is known; marks the question as waiting where entries came since."""
    kept = Achieved.objects.filter(place_id=place_id, digest=question.digest()).first()
    if kept is None or kept.done_seq < seq:
        _want(place_id, seq, question)
    if kept is None:
        return Standing(None, True, "")
    return Standing(_read(kept.answer), kept.done_seq < seq, kept.trouble)


def _read(answer: Any) -> Impact | None:
    try:
        return None if answer is None else Impact.model_validate(answer)
    except ValidationError:  # kept by an older version
        return None


def _want(place_id: str, seq: int, question: Question) -> None:
    Achieved.objects.update_or_create(
        place_id=place_id,
        digest=question.digest(),
        defaults={"wanted_seq": seq, "question": question.model_dump(mode="json")},
    )
    newest = Achieved.objects.filter(place_id=place_id).order_by("-asked_at", "-pk")
    keep = list(newest.values_list("pk", flat=True)[:_KEPT])
    Achieved.objects.filter(place_id=place_id).exclude(pk__in=keep).delete()
    foreseeing.wake()


def reckon_next() -> bool:
    """Reckon the question that waits longest; False if none waits."""
    waits = Q(wanted_seq__gt=F("done_seq"))
    kept = Achieved.objects.filter(waits).order_by("asked_at").first()
    if kept is None:
        return False
    place = Place.objects.get(pk=kept.place_id)
    state, seq = state_of(place.pk, place.zone)
    answer, trouble = None, ""
    try:
        question = Question.model_validate(kept.question)
        how = Asked(MEMBERS, 1, question.report, question.years, question.local)
        answer = impact_of_log(state, None, how, period=question.period).model_dump(mode="json")
    except LogError as error:
        trouble = str(error)
    except Exception as error:  # one question may fail; the process must go on
        trouble = f"{type(error).__name__}: {error}"[:_LONGEST_TROUBLE]
    Achieved.objects.filter(pk=kept.pk).update(
        answer=answer, trouble=trouble, done_seq=max(seq, kept.wanted_seq)
    )
    return True
