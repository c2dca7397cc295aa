"""What may go in? A food leads to how much of it is usual, and to a trial with more of it."""

from __future__ import annotations

from dataclasses import dataclass

from django.urls import reverse
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from sourloam.evidence import book
from sourloam.web import wording as w
from sourloam.web.finding.hits import Hit
from sourloam.web.finding.matching import matching

_HOUSEHOLD = "scraps.preset.household"


@dataclass(frozen=True)
class _Food:
    """``of``: its class of scraps; ``trial``: the settings of a vessel with more of it."""

    of: str
    title: str | Promise
    words: str | Promise
    trial: str = ""
    mind: str | Promise = ""


_FOODS = (
    _Food(
        "citrus",
        gettext_lazy("Lemons, oranges: may they go in?"),
        gettext_lazy("lemon orange citrus lime grapefruit mandarin peel"),
    ),
    _Food(
        "meat_fish",
        gettext_lazy("Meat and fish: may they go in?"),
        gettext_lazy("meat fish chicken pork beef ham sausage fat"),
        trial="b_meat=30",
        mind=gettext_lazy(
            "Put it in fresh, among other scraps. Where more than about a tenth is animal food: "
            "about double bran, three weeks of rest or more, and deeper soil over it; ask your "
            "authority whether it may be buried."
        ),
    ),
    _Food(
        "dairy_egg",
        gettext_lazy("Milk, cheese, eggs: may they go in?"),
        gettext_lazy("milk cheese dairy egg eggs yoghurt yogurt cream butter"),
        mind=gettext_lazy("Counts as animal food: keep it below a tenth, or take double bran."),
    ),
    _Food(
        "bread",
        gettext_lazy("Bread and cake: may they go in?"),
        gettext_lazy("bread cake dough pastry rolls"),
        trial="b_bread=30",
    ),
    _Food(
        "starchy",
        gettext_lazy("Rice, pasta, potatoes: may they go in?"),
        gettext_lazy("rice pasta noodles potato potatoes cooked"),
    ),
    _Food(
        "coffee_tea",
        gettext_lazy("Coffee and tea: may they go in?"),
        gettext_lazy("coffee tea grounds filter bag"),
    ),
    _Food(
        "shells_bones",
        gettext_lazy("Egg shells and bones: may they go in?"),
        gettext_lazy("bone bones shell shells eggshell"),
    ),
    _Food(
        "plate_waste",
        gettext_lazy("Cooked leftovers: may they go in?"),
        gettext_lazy("cooked leftover leftovers plate soup sauce meal"),
    ),
    _Food(
        "paper",
        gettext_lazy("Paper towels: may they go in?"),
        gettext_lazy("paper towel napkin kitchen roll cardboard"),
    ),
    _Food(
        "fruit_veg",
        gettext_lazy("Fruit and vegetables: may they go in?"),
        gettext_lazy("fruit vegetables onion banana apple peelings salad"),
    ),
)


def foods(asked: str) -> list[Hit]:
    """Kinds of food of that name."""
    if not asked:
        return []
    return [_hit(food) for food in matching(_FOODS, asked, lambda one: str(one.words), strict=True)]


def _hit(food: _Food) -> Hit:
    share = book()[f"{_HOUSEHOLD}.{food.of}"].value
    usual = _("Yes: about %(share)s of what usual households put in is that.") % {
        "share": w.share(share)
    }
    url = reverse("web:try_it")
    trial = f"{url}?{food.trial}"
    return Hit(
        str(food.title),
        trial if food.trial else url,
        chips=((_("Try a vessel with more of it"), trial),) if food.trial else (),
        why=" ".join(filter(None, (usual, str(food.mind)))),
    )
