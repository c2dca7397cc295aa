"""A layer that goes in: the form that is used most, filled from last time."""

from __future__ import annotations

from django.utils.translation import gettext as _

from sourloam import scraps
from sourloam.ledger import bodies as b
from sourloam.web import wording as w
from sourloam.web.fields import Choices, Field, choices, trimmed
from sourloam.web.forms.asking import Asking


def fed(ask: Asking) -> list[Field]:
    """How much, of what, with how much bran."""
    ways = ways_of(ask)
    way, many = way_and_number(ask, ask.last.body.amount if ask.last else None)
    unit = {"unit": ask.units.words["bran"]}
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
            "pills",
            "kinds",
            _("Kind of scraps"),
            choices=choices(w.MIXES, scraps.PRESETS),
            value=_usual_mix(ask),
        ),
        Field(
            "stepper",
            ask.units.name("bran_g", "bran"),
            _("Bran, %(unit)s") % unit,
            id=ask.id("bran"),
            value=_usual_bran(ask),
            max="20000",
            step="0.25" if ask.us else "5",
        ),
        *_lot(ask),
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
    return kinds if isinstance(kinds, str) else "household"


def _usual_bran(ask: Asking) -> str:
    bran = ask.last.body.bran_g if ask.last else None
    return "" if bran is None else ask.units.shown(bran, "bran")


def _lot(ask: Asking) -> list[Field]:
    """Which lot of bran, where several came in; the newest stands first."""
    lots = list(dict.fromkeys(r.body.lot for r in reversed(ask.place.stores.bran_in)))
    if len(lots) < 2:
        return []
    found = [("", _("not known")), *((lot, lot) for lot in lots[:8])]
    last = ask.last.body.lot if ask.last else None
    usual = last if last in lots else ""
    return [
        Field("select", "lot", _("Lot of bran"), id=ask.id("lot"), choices=found, value=usual or "")
    ]
