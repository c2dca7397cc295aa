"""A layer that goes in: the form that is used most, filled from last time."""

from __future__ import annotations

import datetime as dt

from django.utils.translation import gettext as _

from sourloam import scraps
from sourloam.ledger import bodies as b
from sourloam.ledger.amounts import usual_mix
from sourloam.ledger.lot_dose import asked, fresh_g_per_kg, in_use, is_short
from sourloam.ledger.lot_standing import Standing
from sourloam.web import wording as w
from sourloam.web.bran import lot_words as lw
from sourloam.web.fields import Choices, Field, choices, trimmed
from sourloam.web.forms.asking import Asking

_LOTS = 8


def fed(ask: Asking) -> list[Field]:
    """How much, of what, with how much bran."""
    ways = ways_of(ask)
    way, many = way_and_number(ask, ask.last.body.amount if ask.last else None)
    unit = {"unit": ask.units.words["bran"]}
    lot, usable = in_use(ask.place, ask.last.body.lot if ask.last else None, dt.date.today())
    return [
        Field("pills", "amount-way", _("Measured in"), choices=ways, value=way, required=True),
        Field(
            "stepper",
            "amount-n",
            _("How much"),
            id=ask.id("amount"),
            value=many,
            min="0.05",
            max="500",
            step="0.5",
            required=True,
        ),
        Field(
            "stepper",
            ask.units.name("bran_g", "bran"),
            _("Bran, %(unit)s") % unit,
            id=ask.id("bran"),
            value=_usual_bran(ask, lot, ask.last.body.amount if ask.last else None),
            hint=_bran_hint(ask, lot),
            max="20000",
            step="0.25" if ask.us else "5",
        ),
        Field(
            "pills",
            "kinds",
            _("Kind of scraps"),
            choices=choices(w.MIXES, scraps.PRESETS),
            value=_usual_mix(ask),
        ),
        *_lot(lot, usable, ask),
        warmth(ask, "fed-warmth", _("Warmth, %(unit)s, if you measured it")),
        ask.note("fed-note"),
    ]


def warmth(ask: Asking, name: str, word: str, required: bool = False) -> Field:
    """A temperature in the reader's degrees."""
    return Field(
        "number",
        "temperature_c:f" if ask.us else "temperature_c:n1",
        word % {"unit": ask.units.words["temperature"]},
        id=ask.id(name),
        min="-40",
        max="160" if ask.us else "70",
        required=required,
    )


def ways_of(ask: Asking) -> Choices:
    """Measures of the place, mass, volume."""
    newest = {r.body.measure: r.body.name for r in reversed(ask.place.stores.measures)}
    measures = [(f"measure={measure}", name) for measure, name in newest.items()]
    mass, volume = ask.units.factors["mass"], ask.units.factors["volume"]
    return [
        *measures,
        (f"mass_kg:n{mass:.9g}", ask.units.words["mass"]),
        (f"volume_l:n{volume:.9g}", ask.units.words["volume"]),
    ]


def way_and_number(ask: Asking, amount: b.Amount | None, digits: int = 3) -> tuple[str, str]:
    """An amount as the form shows it; one of the first measure where there is none."""
    ways = ways_of(ask)
    if amount is None:
        return ways[0][0], "1"
    known = {value for value, _word in ways}
    if amount.measure and f"measure={amount.measure}" in known:
        return f"measure={amount.measure}", trimmed(amount.count or 1)
    if amount.mass_kg is not None:
        return ways[-2][0], trimmed(amount.mass_kg / ask.units.factors["mass"], digits)
    if amount.volume_l is not None:
        return ways[-1][0], trimmed(amount.volume_l / ask.units.factors["volume"], digits)
    return ways[0][0], "1"


def _usual_mix(ask: Asking) -> str:
    kinds = ask.last.body.kinds if ask.last else None
    usual = kinds or usual_mix(ask.place.site())
    return usual if isinstance(usual, str) else "household"


def _usual_bran(ask: Asking, lot: Standing | None, amount: b.Amount | None) -> str:
    """Last time's bran; what the lot asks for where that was too little."""
    bran = ask.last.body.bran_g if ask.last else None
    dose = None if amount is None else asked(ask.place, lot, amount, _usual_mix(ask))
    if dose is not None and is_short(bran, dose.grams):
        bran = dose.grams
    return "" if bran is None else ask.units.shown(bran, "bran")


def _bran_hint(ask: Asking, lot: Standing | None) -> str:
    """What the lot in use asks for today."""
    if lot is None or lot.today.advised_g_per_kg is None:
        usual = lw.dose(fresh_g_per_kg(ask.place.site()), ask.units.system)
        return _("Usual: %(dose)s. Forecasts count on that.") % {"dose": usual}
    said = {"lot": lot.lot.id, "dose": lw.dose(lot.today.advised_g_per_kg, ask.units.system)}
    return _("Lot %(lot)s today: %(dose)s") % said


def _lot(usual: Standing | None, usable: tuple[Standing, ...], ask: Asking) -> list[Field]:
    """Which lot of bran; only such as may be used are offered."""
    if usual is None:
        return []
    found = [("", _("not known")), *((s.lot.id, s.lot.id) for s in usable[:_LOTS])]
    chosen = usual.lot.id
    return [Field("select", "lot", _("Lot of bran"), id=ask.id("lot"), choices=found, value=chosen)]
