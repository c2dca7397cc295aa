"""Words that people see for what the ledger holds, in the reader's language and units."""

from __future__ import annotations

import datetime as dt
import math
import re
from collections.abc import Mapping
from functools import lru_cache

from django.utils import dates, formats
from django.utils.functional import Promise
from django.utils.translation import get_language, gettext_lazy, ngettext
from django.utils.translation import gettext as _

from sourloam import units as si
from sourloam.ledger import KINDS
from sourloam.ledger.sentences import Sentence

Words = Mapping[str, str | Promise]

STAGES: Words = {
    "empty": gettext_lazy("empty"),
    "filling": gettext_lazy("filling"),
    "resting": gettext_lazy("resting"),
    "ready": gettext_lazy("ready to bury"),
    "held": gettext_lazy("waits for free ground"),
    "failed": gettext_lazy("failed to sour"),
    "dirty": gettext_lazy("wants washing"),
    "fetched": gettext_lazy("taken"),
}
MIXES: Words = {
    "trimmings": gettext_lazy("trimmings"),
    "household": gettext_lazy("household"),
    "plate_waste": gettext_lazy("plate waste"),
    "cafe": gettext_lazy("café"),
    "restaurant": gettext_lazy("restaurant"),
    "school_lunch": gettext_lazy("school lunch"),
    "garden": gettext_lazy("garden"),
}
PIECES: Words = {
    "minced": gettext_lazy("minced"),
    "chopped": gettext_lazy("chopped"),
    "whole": gettext_lazy("whole"),
}
USES: Words = {
    "plants": gettext_lazy("to plants, thinned"),
    "sink": gettext_lazy("down the sink"),
    "kept": gettext_lazy("kept"),
    "other": gettext_lazy("elsewhere"),
}
FATES: Words = {
    "buried": gettext_lazy("buried"),
    "tub": gettext_lazy("into a soil tub"),
    "given": gettext_lazy("given away"),
    "compost": gettext_lazy("onto the compost"),
    "thrown": gettext_lazy("thrown away"),
}
VERDICTS: Words = {"sound": gettext_lazy("sound"), "failed": gettext_lazy("failed")}
PH_OF: Words = {"liquid": gettext_lazy("liquid"), "solid": gettext_lazy("solid")}
ROLES: Words = {
    "coordinator": gettext_lazy("coordinator: everything"),
    "keeper": gettext_lazy("keeper: vessels and beds"),
    "gardener": gettext_lazy("gardener: beds"),
    "reader": gettext_lazy("reader: looks on"),
}
ROLE_NAMES: Words = {
    "coordinator": gettext_lazy("Coordinator"),
    "keeper": gettext_lazy("Keeper"),
    "gardener": gettext_lazy("Gardener"),
    "reader": gettext_lazy("Reader"),
}
SOURNESS: Words = {
    "fresh": gettext_lazy("fresh"),
    "turning": gettext_lazy("turning"),
    "souring": gettext_lazy("souring"),
    "sour": gettext_lazy("sour"),
    "deep": gettext_lazy("very sour"),
    "unknown": gettext_lazy("not known"),
    "spoiled": gettext_lazy("spoiled"),
}
STANDINGS: Words = {
    "published": gettext_lazy("published"),
    "common practice, no source": gettext_lazy("common practice, no source"),
    "from memory, unverified": gettext_lazy("from memory, unverified"),
    "our judgement": gettext_lazy("our judgement"),
}
TEXTURES: Words = {
    "sand": gettext_lazy("sandy, runs through fingers"),
    "sandy_loam": gettext_lazy("sandy loam"),
    "loam": gettext_lazy("loam, crumbles"),
    "clay": gettext_lazy("clay, can be kneaded"),
}
WEATHERS: Words = {
    "mild-oceanic": gettext_lazy("mild, near the sea"),
    "own": gettext_lazy("another: I say it"),
}
ROOMS: Words = {
    "indoors": gettext_lazy("indoors"),
    "shed": gettext_lazy("a shed"),
    "cellar": gettext_lazy("a cellar"),
    "outdoors": gettext_lazy("outdoors"),
}
#: What a person does, as a button says it.
VERBS: Words = {
    "fed": gettext_lazy("Log a layer"),
    "drained": gettext_lazy("Drained"),
    "ph_read": gettext_lazy("pH strip"),
    "looked": gettext_lazy("Looked"),
    "photographed": gettext_lazy("Photo"),
    "fill_marked": gettext_lazy("How full"),
    "weighed": gettext_lazy("Weighed"),
    "warmth_read": gettext_lazy("Warmth"),
    "opened": gettext_lazy("Opened"),
    "moved": gettext_lazy("Moved"),
    "set_aside": gettext_lazy("Set aside"),
    "judged": gettext_lazy("Judged"),
    "emptied": gettext_lazy("Emptied"),
    "buried": gettext_lazy("Buried"),
    "washed": gettext_lazy("Washed"),
    "noted": gettext_lazy("Note"),
    "planted": gettext_lazy("Planted"),
    "harvested": gettext_lazy("Harvested"),
    "liquid_fed": gettext_lazy("Fed with liquid"),
    "vessel_retired": gettext_lazy("Take off the shelf"),
    "measure_set": gettext_lazy("A new measure"),
    "bran_received": gettext_lazy("Bran came"),
    "bran_ordered": gettext_lazy("Bran ordered"),
    "bran_mixed": gettext_lazy("Batch mixed"),
    "bran_dried": gettext_lazy("Dry"),
    "bran_packed": gettext_lazy("Packed"),
    "bran_tested": gettext_lazy("Tested"),
    "bran_handed_out": gettext_lazy("Handed out"),
    "bran_recalled": gettext_lazy("Recall it"),
    "bran_discarded": gettext_lazy("Thrown out"),
    "bran_way_set": gettext_lazy("How we make it, prices"),
}


def word(words: Words, key: str) -> str:
    """The word for a key; the key itself, made readable, where none is known."""
    return str(words[key]) if key in words else key.replace("_", " ").replace("-", " ")


def label(kind: str) -> str:
    """What an entry of a kind is called in the log."""
    return _(KINDS[kind].label) if kind in KINDS else word({}, kind)


def told(sentence: Sentence) -> str:
    """A sentence of the ledger in the reader's language, its dates written out."""
    data = {
        key: day(value) if isinstance(value, dt.date) else value
        for key, value in sentence.data.items()
    }
    return _(sentence.msgid) % data


def day(value: dt.date) -> str:
    """Such as 3 December; with the year where it is far."""
    return _written(value, _("j F") if _near(value) else _("j F Y"), get_language())


@lru_cache(maxsize=4096)
def _written(value: dt.date, form: str, _language: str | None) -> str:
    """A day written out: a page may name the same ones hundreds of times."""
    return str(formats.date_format(value, form))


def week_day(value: dt.date) -> str:
    """Such as Tuesday 3 December."""
    return formats.date_format(value, _("l j F"))


def moment(value: dt.datetime) -> str:
    """Such as Tue 3 Dec, 18:30, in the zone of the value; with the year where it is not this."""
    form = "D j M, H:i" if value.year == dt.datetime.now(value.tzinfo).year else "D j M Y, H:i"
    return _dated(value.replace(tzinfo=None), form)  # else one moment would be read in two zones


def month(value: dt.date) -> str:
    """Such as Dec."""
    return _dated(value, "M")


def short_day(value: dt.date) -> str:
    """Such as 3 Dec."""
    return _dated(value, "j M")


def _dated(value: dt.date, form: str) -> str:
    """Django writes short months large in every language; where it writes long ones small, as
    Spanish does, short ones are small too."""
    text = _written(value, form, get_language())
    return text.lower() if _small_months(get_language()) else text


@lru_cache(maxsize=64)
def _small_months(_language: str | None) -> bool:
    return str(dates.MONTHS[1]).islower()


def _near(value: dt.date) -> bool:
    return abs((value - dt.date.today()).days) < 200


def with_comma(text: str) -> str:
    """Decimals as the reader's language writes them: a comma where it has one."""
    return _POINT.sub(",", text) if _has_comma() else text


def _has_comma() -> bool:
    return bool(formats.get_format("DECIMAL_SEPARATOR") == ",")


def number(value: float, digits: int = 4) -> str:
    """A plain number, as a person would write it."""
    return with_comma(f"{value:.{digits}g}")


def grouped(value: float) -> str:
    """A whole number with its thousands set apart, as the reader's language does it."""
    return f"{value:,.0f}".replace(",", "\N{NO-BREAK SPACE}" if _has_comma() else ",")


def _shown(value: float, dimension: str, units: str = "metric") -> str:
    if not math.isfinite(value):
        return _("beyond the time foreseen")
    return with_comma(si.show(value, dimension, units))


_POINT = re.compile(r"(?<=\d)\.(?=\d)")
_OZ_PER_LB = 16


def _range(low: float, high: float, dimension: str, units: str, like: float | None = None) -> str:
    if not math.isfinite(high):
        return f"{_shown(low, dimension, units)} – {_shown(high, dimension, units)}"
    return with_comma(si.show_range(low, high, dimension, units, like)).replace(" to ", " – ")


def kg(value: float, units: str) -> str:
    """A mass in the reader's units."""
    return _shown(value, "mass", units)


def kg_range(low: float, high: float, units: str) -> str:
    """A range of mass in the reader's units."""
    return _range(low, high, "mass", units)


def litres(value_l: float, units: str) -> str:
    """A volume in the reader's units."""
    return _shown(value_l / 1000, "volume", units)


def liquid(value_ml: float, units: str) -> str:
    """A volume of liquid in the reader's units."""
    return _shown(value_ml / 1e6, "small_volume", units)


def liquid_range(low_ml: float, high_ml: float, units: str, like_ml: float | None = None) -> str:
    """A range of liquid in the reader's units, in the unit of the middle beside it."""
    like = None if like_ml is None else like_ml / 1e6
    return _range(low_ml / 1e6, high_ml / 1e6, "small_volume", units, like)


def grams(value: float, units: str) -> str:
    """A small mass in the reader's units."""
    return _shown(value / 1000, "small_mass", units)


_LEAST_BRAN = {"metric": (0.5e-3, gettext_lazy("less than 1 g")),
               "us": (1.4e-3, gettext_lazy("less than 0.1 oz"))}  # fmt: skip


def bran(value_kg: float, units: str) -> str:
    """Bran as somebody weighed it: grams below a kilogram, and never nought while there is some."""
    if value_kg <= 0:
        return _("nothing")
    least, said = _LEAST_BRAN[units]
    return str(said) if value_kg < least else grams(1000 * value_kg, units)


def about_bran(value_kg: float, units: str) -> str:
    """The same where it was reckoned: no more than two digits."""
    return bran(_rounded(value_kg), units)


def about_bran_range(low_kg: float, high_kg: float, units: str) -> str:
    """A range of bran that was reckoned; a unit that both ends share is said once."""
    low, high = about_bran(low_kg, units), about_bran(high_kg, units)
    figure, _gap, unit = low.partition(" ")
    first = figure if high.partition(" ")[2] == unit else low
    return low if low == high else f"{first} – {high}"


def metres(value: float, units: str) -> str:
    """A length in the reader's units."""
    return _shown(value, "length", units)


def warmth(value_c: float, units: str) -> str:
    """A temperature in the reader's units."""
    return _shown(value_c, "temperature", units)


def warmth_apart(kelvin: float, units: str) -> str:
    """A difference of temperatures in whole degrees of the reader."""
    return f"{1.8 * kelvin:.0f} °F" if units == "us" else f"{kelvin:.0f} °C"


def area(low_m2: float, middle_m2: float, high_m2: float, units: str) -> str:
    """Bed or floor with its range in brackets."""
    ends = (_rounded(low_m2), _rounded(high_m2))
    return f"{_shown(_rounded(middle_m2), 'area', units)} ({_range(*ends, 'area', units)})"


def area_alone(area_m2: float, units: str) -> str:
    """Bed without its range."""
    return _shown(_rounded(area_m2), "area", units)


def _rounded(value: float) -> float:
    """So exact as anybody can vouch for."""
    return float(f"{value:.2g}")


def dose(kg_a_kg: float, units: str) -> str:
    """So much bran or sugar for so much scraps, in the reader's units."""
    if units == "us":
        return _("%(n)s oz per lb") % {"n": number(_OZ_PER_LB * kg_a_kg, 2)}
    return _("%(n)s g per kg") % {"n": number(1000 * kg_a_kg)}


def share(value: float) -> str:
    """A share as a percentage."""
    return _shown(value, "share")


def vessels_count(number: int) -> str:
    """So many vessels."""
    return ngettext("%(n)d vessel", "%(n)d vessels", number) % {"n": number}
