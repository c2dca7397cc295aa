"""Kinds of lines in a programme's own log, and what each says: trainings, visits, weighings.

Lines are written once, and put right by one that supersedes.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from sourloam.ledger.sentences import gettext_noop

_MOST_KG, _MOST_PEOPLE, _MOST_HOURS = 5000, 10000, 1000  # method: beyond it is a slip of the pen
_MOST_VESSELS, _MOST_NOTE = 500, 2000  # method: as above
Kg = Annotated[float, Field(ge=0, le=_MOST_KG)]
Hours = Annotated[float, Field(ge=0, le=_MOST_HOURS)]
People = Annotated[int, Field(ge=0, le=_MOST_PEOPLE)]
Vessels = Annotated[int, Field(ge=0, le=_MOST_VESSELS)]
Note = Annotated[str, Field(max_length=_MOST_NOTE)]


class DeedError(ValueError):
    """What was to be written can't be; one line says which field, and what would be right."""


class _Deed(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)

    note: Note = ""


class Training(_Deed):
    """People were shown how it is done."""

    people: People
    hours: Hours = 0.0


class Question(_Deed):
    """Somebody asked; ``answer`` what they were told."""

    note: Annotated[str, Field(min_length=1, max_length=_MOST_NOTE)]
    answer: Note = ""


class Visit(_Deed):
    """Somebody went to a place."""

    hours: Hours = 0.0


class Word(_Deed):
    """A kind word was sent or said."""


class Fetched(_Deed):
    """Full vessels were taken along and weighed: contents without the vessels, kg; what does not
    belong in them; clean vessels that were left."""

    kg: Kg
    vessels: Vessels = 1
    clean: Vessels = 0
    contamination_kg: Kg = 0.0


class BranGiven(_Deed):
    """Bran was left at a place, kg."""

    kg: Kg


class Complaint(_Deed):
    """A complaint, a pest, an injury; the note says what."""

    note: Annotated[str, Field(min_length=1, max_length=_MOST_NOTE)]


class RoundDriven(_Deed):
    """A round was driven: hours of people, km."""

    hours: Hours = 0.0
    km: Annotated[float, Field(ge=0, le=_MOST_KG)] = 0.0


class HoursGiven(_Deed):
    """Other hours that people gave."""

    hours: Hours


class Struck(_Deed):
    """The entry that this one supersedes is taken out."""


@dataclass(frozen=True)
class DeedKind:
    """One kind: what it says, its label, whether it is of one place."""

    name: str
    body: type[_Deed]
    label: str
    of_place: bool = False


_ALL = (
    DeedKind("fetched", Fetched, gettext_noop("Fetched and weighed"), True),
    DeedKind("visit", Visit, gettext_noop("Visit"), True),
    DeedKind("word", Word, gettext_noop("Kind word"), True),
    DeedKind("bran", BranGiven, gettext_noop("Bran left there"), True),
    DeedKind("question", Question, gettext_noop("Question")),
    DeedKind("training", Training, gettext_noop("Training")),
    DeedKind("complaint", Complaint, gettext_noop("Complaint, pest, injury")),
    DeedKind("round", RoundDriven, gettext_noop("Round driven")),
    DeedKind("hours", HoursGiven, gettext_noop("Other hours")),
    DeedKind("struck", Struck, gettext_noop("Taken out")),
)
DEEDS: Mapping[str, DeedKind] = MappingProxyType({kind.name: kind for kind in _ALL})


def checked(kind: str, body: Mapping[str, Any]) -> dict[str, Any]:
    """A body as it is kept; DeedError in one line."""
    if kind not in DEEDS:
        raise DeedError(f"kind: {kind!r} is not known; one of {', '.join(DEEDS)}")
    try:
        return DEEDS[kind].body.model_validate(dict(body)).model_dump(exclude_defaults=True)
    except ValidationError as error:
        first = error.errors()[0]
        where = ".".join(str(step) for step in first["loc"]) or kind
        raise DeedError(f"{where}: {first['msg'][:1].lower()}{first['msg'][1:]}") from None


def numbers(body: Mapping[str, Any]) -> dict[str, float]:
    """What of a body can be summed."""
    return {k: float(v) for k, v in body.items() if isinstance(v, int | float)}
