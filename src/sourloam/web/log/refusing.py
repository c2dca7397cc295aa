"""Why the log does not take an entry, in the words and units that the reader sees elsewhere."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from sourloam.ledger import EntryError, Fault
from sourloam.logbook import unwritten
from sourloam.web import wording as w

_SHOWN = 40
FIELDS: w.Words = {
    "vessel": gettext_lazy("Vessel"),
    "bed": gettext_lazy("Bed"),
    "name": gettext_lazy("What you call it"),
    "amount": gettext_lazy("How much"),
    "mass_kg": gettext_lazy("Weight"),
    "empty_kg": gettext_lazy("Weight of the empty vessel"),
    "volume_l": gettext_lazy("Volume"),
    "volume": gettext_lazy("Volume"),
    "volume_ml": gettext_lazy("How much"),
    "litres": gettext_lazy("Drained liquid"),
    "count": gettext_lazy("How many"),
    "measure": gettext_lazy("Measure"),
    "kinds": gettext_lazy("Kind of scraps"),
    "bran_g": gettext_lazy("Bran"),
    "lot": gettext_lazy("Lot of bran"),
    "strength": gettext_lazy("Live bacteria, power of ten per gram"),
    "temperature_c": gettext_lazy("Warmth"),
    "pieces": gettext_lazy("How small"),
    "note": gettext_lazy("Note"),
    "use": gettext_lazy("Where it went"),
    "fate": gettext_lazy("Where it went"),
    "ph": gettext_lazy("pH on the strip"),
    "of": gettext_lazy("What you dipped it in"),
    "signs": gettext_lazy("Seen or smelled"),
    "photo": gettext_lazy("Photo"),
    "fraction": gettext_lazy("Filled up to"),
    "why": gettext_lazy("Why"),
    "where": gettext_lazy("Where it stands"),
    "verdict": gettext_lazy("The ferment is"),
    "depth_m": gettext_lazy("Depth of the trench"),
    "width_m": gettext_lazy("Width of the trench"),
    "length_m": gettext_lazy("Length of the trench"),
    "cover_m": gettext_lazy("Soil on top"),
    "along_m": gettext_lazy("From the bed's beginning"),
    "crop": gettext_lazy("Crop"),
    "parts_of_water": gettext_lazy("Parts of water to one of liquid"),
    "length": gettext_lazy("Length"),
    "width": gettext_lazy("Width"),
    "outcome": gettext_lazy("How it went"),
}
_IN_UNITS: Mapping[str, Callable[[float, str], str]] = {
    "mass_kg": w.kg,
    "empty_kg": w.kg,
    "volume_l": w.litres,
    "litres": w.litres,
    "volume_ml": w.liquid,
    "bran_g": w.grams,
    "temperature_c": w.warmth,
    "depth_m": w.metres,
    "width_m": w.metres,
    "length_m": w.metres,
    "cover_m": w.metres,
    "along_m": w.metres,
    "length": w.metres,
    "width": w.metres,
    "volume": w.litres,
}
_SAID: w.Words = {
    "missing": gettext_lazy("“%(field)s” is missing."),
    "unknown": gettext_lazy("“%(field)s” is not asked here."),
    "bounds": gettext_lazy("“%(field)s” must lie between %(low)s and %(high)s; found %(found)s."),
    "number": gettext_lazy("“%(field)s” must be a number; found “%(text)s”."),
    "choice": gettext_lazy("“%(field)s” must be one of those offered; found “%(text)s”."),
    "long": gettext_lazy("“%(field)s” takes up to %(high)s letters."),
    "together": gettext_lazy("Say how much, or about what, in one way only."),
    "wrong": gettext_lazy("“%(field)s” can't be read; found “%(text)s”."),
    "time": gettext_lazy("The time can't be read; write it as 2026-03-01 18:30."),
    "years": gettext_lazy("The time must lie between 1990 and 2100."),
    "form": gettext_lazy("This form is none of ours; load the page anew."),
    "role": gettext_lazy("Your role here does not allow it: %(role)s."),
    "clash": gettext_lazy("Another entry has this mark; write it down anew."),
    "place": gettext_lazy("This place is none of yours."),
    "elsewhere": gettext_lazy("What it would replace belongs to another place."),
    "vessel": gettext_lazy("No such vessel stands here; put it on the shelf first."),
    "bed": gettext_lazy("No such bed lies here; lay it out first."),
    **unwritten.SAID,
}
_HEAVY_TARE = gettext_lazy("The empty vessel can't weigh more than the full one.")


def line(error: EntryError, units: str) -> str:
    """What an error says to people."""
    return told(error.fault, units)


def told(fault: Fault | None, units: str) -> str:
    """One line: which entry, what is wrong, what would be right."""
    if fault is None:
        return _("This is no entry that the log can read.")
    said = str(_SAID[fault.sort]) % _data(fault, units)
    if fault.sort == "together" and fault.kind == "weighed":
        said = str(_HEAVY_TARE)
    return f"{w.label(fault.kind)}: {said}" if fault.kind else said


def _data(fault: Fault, units: str) -> dict[str, str]:
    return {
        "field": w.word(FIELDS, fault.field),
        "low": _quantity(fault.least, fault.field, units),
        "high": _quantity(fault.most, fault.field, units),
        "found": _quantity(fault.found, fault.field, units),
        "text": _text(fault.found),
        "role": w.word(w.ROLE_NAMES, fault.role),
    }


def _quantity(value: object, field: str, units: str) -> str:
    if not isinstance(value, int | float | str):
        return _text(value)
    try:
        number = float(value)
    except (ValueError, OverflowError):
        return _text(value)
    shown = _IN_UNITS.get(field)
    if abs(number) > 1e9 or shown is None:
        return w.number(number)
    return shown(number, units)


def _text(value: object) -> str:
    """What was found, on one line and never long."""
    if isinstance(value, dict | list):
        return "…"
    try:
        text = str(value)
    except ValueError:  # a whole number of thousands of digits
        return "…"
    plain = "".join(c if c.isprintable() else "·" for c in text[: _SHOWN + 1])
    return plain if len(plain) <= _SHOWN else plain[: _SHOWN - 1] + "…"
