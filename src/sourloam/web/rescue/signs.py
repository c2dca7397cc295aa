"""The words of signs, and which of them a person may tick when looking."""

from __future__ import annotations

from django.utils.translation import gettext_lazy

from sourloam.triage import SIGNS
from sourloam.web.wording import Words

#: Signs that the form for a look shows; the whole list is in the rescue.
TICKED = (
    "sour_smell",
    "weak_smell",
    "alcohol_smell",
    "rancid_smell",
    "rotten_smell",
    "white_bloom",
    "green_mould",
    "pink_mould",
    "flies",
    "slimy",
    "dry_crumbly",
    "liquid_stands",
    "foul_liquid",
    "tap_stuck",
    "leak",
    "lid_bulges",
    "warm",
    "frozen",
)
_SIGNS: Words = {sign.id: gettext_lazy(sign.label) for sign in SIGNS.values()}


def signs() -> Words:
    """Ids of all signs with their words."""
    return _SIGNS
