"""Words for lots of bran: what they are now, of what they are made, how they are tested."""

from __future__ import annotations

from collections.abc import Iterator

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from sourloam.bran.cautions import cautions
from sourloam.bran.trials import KINDS, how_to
from sourloam.evidence import Parameters, book
from sourloam.ledger.lot_demand import Pace
from sourloam.units import SYSTEMS, factor
from sourloam.web import wording as w

_KG_PER_LB = factor("lb", "mass")
_MILLION, _BILLION = 1e6, 1e9
_GRAMS = 1000.0
STAGES: w.Words = {
    "souring": gettext_lazy("souring, closed"),
    "dried": gettext_lazy("dry, to be packed"),
    "store": gettext_lazy("in store"),
    "used_up": gettext_lazy("used up"),
    "recalled": gettext_lazy("recalled"),
}
CARRIERS: w.Words = {
    "wheat_bran": gettext_lazy("wheat bran"),
    "rice_bran": gettext_lazy("rice bran"),
    "rice_husk": gettext_lazy("rice husk"),
    "spent_grain": gettext_lazy("dried brewery grain"),
    "sawdust": gettext_lazy("softwood sawdust"),
    "coffee_chaff": gettext_lazy("coffee chaff"),
}
INOCULA: w.Words = {
    "bought": gettext_lazy("bought liquid inoculum"),
    "serum": gettext_lazy("own sour serum"),
    "batch": gettext_lazy("bran of an earlier batch"),
}
SWEETS: w.Words = {
    "molasses": gettext_lazy("molasses"),
    "sugar": gettext_lazy("sugar"),
    "whey": gettext_lazy("whey"),
    "none": gettext_lazy("no sugar"),
}
DRYINGS: w.Words = {
    "air": gettext_lazy("airy room"),
    "fan": gettext_lazy("slow fan"),
    "sun": gettext_lazy("sun"),
    "oven": gettext_lazy("vented cabinet"),
    "none": gettext_lazy("not at all"),
}
TESTS: w.Words = {
    "sour_drop": gettext_lazy("sour-drop test"),
    "slurry": gettext_lazy("slurry pH"),
    "jar": gettext_lazy("sealed jar"),
    "plate": gettext_lazy("plate count"),
}
VERDICTS: w.Words = {
    "pass": gettext_lazy("good"),
    "doubt": gettext_lazy("doubtful"),
    "fail": gettext_lazy("failed"),
}
PARTS: w.Words = {
    "carrier": gettext_lazy("carrier"),
    "sugar": gettext_lazy("sugar source"),
    "inoculum": gettext_lazy("inoculum"),
    "energy": gettext_lazy("power"),
    "bag": gettext_lazy("bags"),
}


def sentences() -> Iterator[str]:
    """Texts of the bran room that the pages show, for the list of translations."""
    yield from (how_to(kind, values(), s) for kind in KINDS for s in SYSTEMS)
    yield from (caution.text for caution in cautions((), True, True))


def values() -> Parameters:
    """Marks of the tests."""
    prefixes = ("bran_tests", "bran_making.ph")
    return book().central(book().ids(*prefixes))


def dose(g_per_kg: float, units: str) -> str:
    """Bran to scraps, in the reader's units."""
    if units == "us":
        return _("%(amount)s a pound of scraps") % {"amount": w.grams(g_per_kg * _KG_PER_LB, units)}
    return _("%(amount)s a kilogram of scraps") % {"amount": w.grams(g_per_kg, units)}


def pace_said(found: Pace | None, units: str) -> str:
    """Until when the bran lasts with what it asks for, and with what layers were given of late."""
    if found is None:
        return ""
    dose = {"grams": w.grams(round(found.asked_g), units), "lot": found.lot}
    if found.asked_until is None:
        said = _("With %(grams)s on a layer like the last one, as %(lot)s needs: for a year.")
        first = said % dose
    else:
        said = _("With %(grams)s on a layer like the last one, as %(lot)s needs: until %(day)s.")
        first = said % {**dose, "day": w.day(found.asked_until)}
    return f"{first} {_given_said(found, units)}"


def _given_said(found: Pace, units: str) -> str:
    given = {"grams": w.bran(found.given_g / _GRAMS, units)}
    if found.given_until is None:
        return _("With %(grams)s, as given lately, for a year; but that is too little.") % given
    said = _("With %(grams)s, as given lately, until %(day)s; but that is too little.")
    return said % {**given, "day": w.day(found.given_until)}


def cells(log10: float | None, digits: int = 2) -> str:
    """Living cells in a gram, from their power of ten, as people say large numbers."""
    if log10 is None or log10 < 1:
        return _("hardly any")
    number = float(f"{10**log10:.{digits}g}")
    if number < _MILLION:
        return w.grouped(number)
    if number < _BILLION:
        millions = number / _MILLION
        said = ngettext("%(n)s million", "%(n)s million", 1 if millions == 1 else 2)
        return said % {"n": w.number(millions)}
    return _("%(n)s billion") % {"n": w.number(number / _BILLION)}


def in_100(chance: float) -> str:
    """A chance as so many of a hundred, in fives: it is not known better."""
    n = 5 * round(20 * chance)
    if n <= 0:
        return _("fewer than 5 in 100")
    return _("more than 95 in 100") if n >= 100 else _("%(n)d in 100") % {"n": n}
