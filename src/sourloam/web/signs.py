"""Signs that a person may tick when looking, with their words."""

from __future__ import annotations

from django.utils.translation import gettext_lazy

from sourloam.web.wording import Words

_SIGNS: Words = {
    "smell_sour": gettext_lazy("smells sour, like pickles"),
    "smell_rotten": gettext_lazy("smells rotten"),
    "smell_rancid": gettext_lazy("smells rancid, of old butter"),
    "bloom_white": gettext_lazy("white bloom"),
    "mould_colour": gettext_lazy("green, black or pink mould"),
    "flies": gettext_lazy("flies or maggots"),
    "wet": gettext_lazy("stands in liquid"),
    "dry": gettext_lazy("dry on top"),
    "gas": gettext_lazy("lid bulges"),
    "warm": gettext_lazy("warm to the hand"),
    "frozen": gettext_lazy("frozen"),
    "tap_clogged": gettext_lazy("tap clogged or leaking"),
}


def signs() -> Words:
    """Ids of signs with their words."""
    return _SIGNS
