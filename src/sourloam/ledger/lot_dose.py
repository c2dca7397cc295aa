"""How much bran a layer asks for, by the lot that is in use."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from sourloam.bran.answer import usual_dose
from sourloam.evidence import book
from sourloam.ledger import bodies as b
from sourloam.ledger.amounts import AmountError, Mix, mass_of, usual_mix
from sourloam.ledger.lot_standing import Standing, in_store
from sourloam.ledger.state import PlaceState
from sourloam.site import Site

_GRAMS = 1000.0
_STEP_G = 5.0  # method: bran is given by the spoon


@dataclass(frozen=True)
class Dose:
    """What the lot in use asks for on one layer, to the step of a spoon; ``weak`` where that is
    more than of new bran."""

    lot: str
    grams: float
    weak: bool = False


def fresh_g_per_kg(site: Site | None) -> float:
    """What a kilogram of scraps asks for of bran that is new and strong."""
    return _GRAMS * usual_dose(None if site is None else site.bran.dose)


def in_use(
    place: PlaceState, last_lot: str | None, today: dt.date
) -> tuple[Standing | None, tuple[Standing, ...]]:
    """The lot of last time while it may be used, else the first to grow old; and all of these."""
    usable = tuple(s for s in in_store(place, place.site(), today) if s.usable)
    found = next((s for s in usable if s.lot.id == last_lot), usable[0] if usable else None)
    return found, usable


def asked(place: PlaceState, lot: Standing | None, amount: b.Amount, mix: Mix) -> Dose | None:
    """What a layer asks for; None where no lot is in store or nobody can tell the mass."""
    if lot is None or lot.today.advised_g_per_kg is None:
        return None
    measure = None if amount.measure is None else place.measure(amount.measure)
    try:
        kg = float(mass_of(amount, mix, measure).median)
    except AmountError:
        return None
    advised = lot.today.advised_g_per_kg
    return Dose(lot.lot.id, spooned(advised * kg), advised > fresh_g_per_kg(place.site()))


def spooned(grams: float) -> float:
    """Bran for a layer to the step of a spoon, and never less than one."""
    return max(_STEP_G, _STEP_G * round(grams / _STEP_G))


def is_short(grams: float | None, wanted_g: float) -> bool:
    """Whether bran is so much less than what is asked for that it matters; not said is not less."""
    return grams is not None and grams < book()["ledger.bran.short"].value * wanted_g


def short_of(place: PlaceState, body: Mapping[str, Any], today: dt.date) -> Dose | None:
    """What a layer with so little bran asks for; None where its bran is enough or not known."""
    grams, kinds = body.get("bran_g"), body.get("kinds")
    if grams is None:
        return None
    lot, _usable = in_use(place, body.get("lot"), today)
    mix = kinds or usual_mix(place.site())
    dose = asked(place, lot, b.Amount.model_validate(body["amount"]), mix)
    return dose if dose is not None and is_short(grams, dose.grams) else None
