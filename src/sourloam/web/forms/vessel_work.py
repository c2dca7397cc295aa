"""What is done to a vessel: drained, opened, moved, judged, emptied."""

from __future__ import annotations

from django.utils.translation import gettext as _

from sourloam.web import wording as w
from sourloam.web.fields import Field, choices
from sourloam.web.forms.asking import Asking

WORTH = "planning.drain.worth"  # a draining that is worth the walk


def drained(ask: Asking) -> list[Field]:
    """How much came; last time's amount only shows, and what was foreseen never does."""
    turn = ask.vessel.turn if ask.vessel else None
    last = ask.units.shown(turn.drains[-1].body.volume_ml, "liquid") if turn and turn.drains else ""
    return [
        Field(
            "stepper",
            ask.units.name("volume_ml", "liquid"),
            _("How much, %(unit)s") % {"unit": ask.units.words["liquid"]},
            id=ask.id("drained"),
            before=last,
            max="100000",
            step="1" if ask.us else "10",
            required=True,
        ),
        Field("pills", "use", _("Where it went"), choices=choices(w.USES), value="plants"),
    ]


def opened(ask: Asking) -> list[Field]:
    """The lid was off for another reason."""
    return [Field("text", "why", _("Why"), id=ask.id("why"))]


def moved(ask: Asking) -> list[Field]:
    """Where it stands now."""
    where = (ask.vessel.where if ask.vessel else None) or ""
    word = _("Where it stands now")
    return [Field("text", "where", word, id=ask.id("where"), value=where, required=True)]


def judged(_ask: Asking) -> list[Field]:
    """Sound or failed."""
    verdicts = choices(w.VERDICTS)
    return [Field("pills", "verdict", _("The ferment is"), choices=verdicts, required=True)]


def emptied(ask: Asking) -> list[Field]:
    """Where the ferment went; a failed one first into the bin."""
    failed = ask.vessel is not None and ask.vessel.stage == "failed"
    hint = (
        _("Putrid: thrown away, with gloves on. Burying it near food can make people ill.")
        if failed
        else ""
    )
    fates = choices(w.FATES, sorted(w.FATES, key="thrown".__ne__) if failed else None)
    return [
        Field("pills", "fate", _("Where it went"), choices=fates, required=True, hint=hint),
        ask.mass("emptied", _("Weight, %(unit)s, if known")),
    ]


def vessel_added(ask: Asking) -> list[Field]:
    """What it is called and where it was put up; its shape stays as it was described."""
    return [
        Field("text", "name", _("What you call it"), id=ask.id("name"), required=True),
        Field("text", "where", _("Where it stands"), id=ask.id("stands")),
    ]


def noted(ask: Asking) -> list[Field]:
    """Free words."""
    return [ask.note("note", _("Note"), required=True)]
