"""A line of the log: what an entry says, in words."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.utils.translation import gettext as _

from sourloam.ledger import bodies as b
from sourloam.ledger.state import PlaceState
from sourloam.triage import CAUSES
from sourloam.web import wording as w
from sourloam.web.bran import lot_words as lw
from sourloam.web.rescue.outcomes import OUTCOMES

Names = dict[str, str]


def said(kind: str, body: b.Body, place: PlaceState, units: str, signs: w.Words) -> str:
    """The content of an entry in words; empty where its label says it all."""
    teller = _TELLERS.get(kind)
    parts = teller(body, place, units, signs) if teller else []
    note = getattr(body, "note", None)
    return " · ".join([*(p for p in parts if p), *([note] if note else [])])


def amount_said(amount: b.Amount, place: PlaceState, units: str) -> str:
    """How much went in, as it was given."""
    if amount.mass_kg is not None:
        return w.kg(amount.mass_kg, units)
    if amount.volume_l is not None:
        return w.litres(amount.volume_l, units)
    found = place.measure(amount.measure or "")
    name = found.name if found else (amount.measure or "")
    return f"{w.number(amount.count or 0)} × {name}"


def _fed(body: Any, place: PlaceState, units: str, _signs: w.Words) -> list[str]:
    mix = body.kinds
    kinds = (
        w.word(w.MIXES, mix)
        if isinstance(mix, str)
        else ", ".join(f"{w.word({}, name)} {w.share(part)}" for name, part in (mix or {}).items())
    )
    bran = _("bran %(amount)s") % {"amount": w.grams(body.bran_g, units)} if body.bran_g else ""
    warm = w.warmth(body.temperature_c, units) if body.temperature_c is not None else ""
    return [amount_said(body.amount, place, units), kinds, bran, warm]


def _drained(body: Any, _place: PlaceState, units: str, _signs: w.Words) -> list[str]:
    return [w.liquid(body.volume_ml, units), w.word(w.USES, body.use)]


def _ph(body: Any, _place: PlaceState, _units: str, _signs: w.Words) -> list[str]:
    return [w.number(body.ph), w.word(w.PH_OF, body.of)]


def _looked(body: Any, _place: PlaceState, _units: str, signs: w.Words) -> list[str]:
    seen = [w.word(signs, sign) for sign in body.signs]
    return [", ".join(seen)] if seen else [_("all looked well")]


def _rescued(body: Any, _place: PlaceState, _units: str, signs: w.Words) -> list[str]:
    seen = ", ".join(w.word(signs, sign) for sign in body.signs)
    known = CAUSES.get(body.cause or "")
    outcome = w.word(OUTCOMES, body.outcome) if body.outcome else ""
    return [seen, _(known.label) if known else _("not sure"), outcome]


def _buried(body: Any, place: PlaceState, units: str, _signs: w.Words) -> list[str]:
    names = {bed.id: bed.name for bed in place.beds}
    trench = f"{w.metres(body.length_m, units)} × {w.metres(body.width_m, units)}"
    return [names.get(body.bed, body.bed), trench]


def _mass(body: Any, _place: PlaceState, units: str, _signs: w.Words) -> list[str]:
    return [w.kg(body.mass_kg, units)] if body.mass_kg is not None else []


def _lot(body: Any, _place: PlaceState, units: str, _signs: w.Words) -> list[str]:
    strength = _living(body.strength) if body.strength else ""
    mass = [] if body.mass_kg is None else [w.bran(body.mass_kg, units)]
    return [body.lot, *mass, strength, *_of_the_bag(body)]


def _living(log10: float) -> str:
    return _("%(n)s living cells in a gram") % {"n": lw.cells(log10)}


def _of_the_bag(body: Any) -> list[str]:
    """What its maker said of it."""
    told = []
    if body.age_days is not None and round(body.age_days) == 0:
        told.append(_("packed that day"))
    elif body.age_days is not None:
        told.append(_("packed %(n)s days before") % {"n": w.number(body.age_days, 3)})
    if body.moisture is not None:
        told.append(_("%(share)s water") % {"share": w.share(body.moisture)})
    return told


def _of_lot(body: Any, _place: PlaceState, units: str, _signs: w.Words) -> list[str]:
    mass = getattr(body, "mass_kg", None)
    return [body.lot, "" if mass is None else w.bran(mass, units), getattr(body, "to", "")]


def _mixed(body: Any, place: PlaceState, units: str, signs: w.Words) -> list[str]:
    made_of = w.word(lw.CARRIERS, body.carrier) if body.carrier else ""
    before = _("started with %(lot)s") % {"lot": body.of_lot} if body.of_lot else ""
    return [*_of_lot(body, place, units, signs), made_of, before]


def _dried(body: Any, _place: PlaceState, _units: str, _signs: w.Words) -> list[str]:
    if body.moisture is None:
        return [body.lot]
    return [body.lot, _("%(share)s water") % {"share": w.share(body.moisture)}]


def _tested(body: Any, _place: PlaceState, _units: str, _signs: w.Words) -> list[str]:
    told = [body.lot, w.word(lw.TESTS, body.test)]
    if body.result is None:
        return [*told, _("did not sour")]
    if body.test == "plate":
        return [*told, _living(body.result)]
    units = _("%(n)s hours") if body.test == "sour_drop" else "pH %(n)s"
    return [*told, units % {"n": w.number(body.result)}]


def _measure(body: Any, _place: PlaceState, units: str, _signs: w.Words) -> list[str]:
    held = w.litres(body.volume_l, units) if body.mass_kg is None else w.bran(body.mass_kg, units)
    return [body.name, held]


def _crop(body: Any, place: PlaceState, units: str, signs: w.Words) -> list[str]:
    mass = _mass(body, place, units, signs) if hasattr(body, "mass_kg") else []
    return [crop_word(body.crop), *mass]


def _liquid_fed(body: Any, _place: PlaceState, units: str, _signs: w.Words) -> list[str]:
    return [w.litres(body.litres, units), f"1:{w.number(body.parts_of_water)}"]


def _emptied(body: Any, place: PlaceState, units: str, signs: w.Words) -> list[str]:
    return [w.word(w.FATES, body.fate), *_mass(body, place, units, signs)]


def crop_word(crop: str) -> str:
    """A crop's name in the reader's language, where the translation knows it."""
    return _(crop.replace("_", " "))


_Teller = Callable[[Any, PlaceState, str, w.Words], list[str]]
_TELLERS: dict[str, _Teller] = {
    "fed": _fed,
    "drained": _drained,
    "ph_read": _ph,
    "looked": _looked,
    "rescued": _rescued,
    "buried": _buried,
    "weighed": _mass,
    "emptied": _emptied,
    "planted": _crop,
    "harvested": _crop,
    "liquid_fed": _liquid_fed,
    "bran_received": _lot,
    "bran_made": _lot,
    "bran_mixed": _mixed,
    "bran_dried": _dried,
    "bran_packed": _of_lot,
    "bran_handed_out": _of_lot,
    "bran_discarded": _of_lot,
    "bran_recalled": _of_lot,
    "bran_tested": _tested,
    "measure_set": _measure,
    "bran_ordered": _mass,
    "fill_marked": lambda body, *_rest: [w.share(body.fraction)],
    "warmth_read": lambda body, _p, units, _s: [w.warmth(body.temperature_c, units)],
    "opened": lambda body, *_rest: [body.why or ""],
    "moved": lambda body, *_rest: [body.where],
    "judged": lambda body, *_rest: [w.word(w.VERDICTS, body.verdict)],
    "vessel_added": lambda body, *_rest: [body.name],
    "bed_added": lambda body, *_rest: [body.name],
}
