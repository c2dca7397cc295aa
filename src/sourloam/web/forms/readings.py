"""What is read or seen at a vessel: pH, signs, photo, level, weight, warmth."""

from __future__ import annotations

from django.utils.translation import gettext as _

from sourloam.web import wording as w
from sourloam.web.fields import Field, choices, trimmed
from sourloam.web.forms.asking import Asking
from sourloam.web.forms.layer import warmth


def ph_read(ask: Asking) -> list[Field]:
    """The strip; nothing stands there before somebody read it."""
    turn = ask.vessel.turn if ask.vessel else None
    last = trimmed(turn.phs[-1].body.ph) if turn and turn.phs else ""
    return [
        Field(
            "stepper",
            "ph:n1",
            _("pH on the strip"),
            id=ask.id("ph"),
            before=last,
            min="2",
            max="10",
            step="0.1",
            required=True,
        ),
        Field("pills", "of", _("What you dipped it in"), choices=choices(w.PH_OF), required=True),
    ]


def looked(ask: Asking) -> list[Field]:
    """Signs; none means that all is well."""
    hint = _("Nothing ticked means: all looked well.")
    signs = Field(
        "pills", "signs:list", _("Seen or smelled"), choices=ask.signs, many=True, hint=hint
    )
    return [signs, ask.note("looked-note")]


def photographed(ask: Asking) -> list[Field]:
    """A photo, shrunk on the phone."""
    hint = _("It is made small on this phone; place and time stay behind.")
    photo = Field("photo", "file", _("Photo"), id=ask.id("photo"), hint=hint)
    return [photo, ask.note("photo-note", _("What it shows"))]


def fill_marked(_ask: Asking) -> list[Field]:
    """How full it looks."""
    marks = [
        ("0.25", "¼"),
        ("0.5", "½"),
        ("0.75", "¾"),
        ("0.9", _("nearly full")),
        ("1", _("full")),
    ]
    return [Field("pills", "fraction:n1", _("Filled up to"), choices=marks, required=True)]


def weighed(ask: Asking) -> list[Field]:
    """What the scale shows, and what the empty vessel weighs."""
    return [
        ask.mass("weighed", _("The scale shows, %(unit)s"), required=True),
        ask.mass("tare", _("The empty vessel weighs, %(unit)s"), "empty_kg"),
    ]


def warmth_read(ask: Asking) -> list[Field]:
    """A thermometer."""
    return [warmth(ask, "warmth", _("Warmth, %(unit)s, if you measured it"), required=True)]
