"""Signs that a person may tick when looking: ids of the register of signs, with their words."""

from __future__ import annotations

from django.utils.translation import gettext_lazy

from sourloam.web.wording import Words

_SIGNS: Words = {
    "sour_smell": gettext_lazy("smells sour, like pickles"),
    "weak_smell": gettext_lazy("smells of little, neither sour nor bad"),
    "alcohol_smell": gettext_lazy("smells of alcohol, yeast or pear drops"),
    "rancid_smell": gettext_lazy("smells rancid, like old butter or sweat"),
    "rotten_smell": gettext_lazy("smells rotten, like sewage or bad eggs"),
    "white_bloom": gettext_lazy("white bloom or fuzz on top"),
    "green_mould": gettext_lazy("green, blue or black mould, larger than a coin"),
    "pink_mould": gettext_lazy("pink or orange patches"),
    "flies": gettext_lazy("maggots or small flies inside"),
    "slimy": gettext_lazy("slimy to the touch"),
    "dry_crumbly": gettext_lazy("dry and crumbly, as put in"),
    "liquid_stands": gettext_lazy("scraps stand in liquid"),
    "foul_liquid": gettext_lazy("liquid is dark and foul"),
    "tap_stuck": gettext_lazy("tap runs dry though liquid stands inside"),
    "leak": gettext_lazy("leaks at the tap or a seam"),
    "lid_bulges": gettext_lazy("lid bulges or hisses"),
    "warm": gettext_lazy("warm to the hand"),
    "frozen": gettext_lazy("frozen"),
}


def signs() -> Words:
    """Ids of signs with their words."""
    return _SIGNS
