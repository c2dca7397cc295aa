"""How much bran the next layer asks for, by the lot that is in use."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from sourloam.evidence import book
from sourloam.ledger import bodies as b
from sourloam.ledger.amounts import AmountError, Mix, mass_of, usual_mix
from sourloam.ledger.lot_standing import Standing, in_store
from sourloam.ledger.state import PlaceState

_STEP_G = 5.0


@dataclass(frozen=True)
class Dose:
    """What the lot in use asks for on one layer, to the step of a spoon."""

    lot: str
    grams: float


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
    grams = max(_STEP_G, _STEP_G * round(lot.today.advised_g_per_kg * kg / _STEP_G))
    return Dose(lot.lot.id, grams)


def is_short(grams: float | None, dose: Dose) -> bool:
    """Whether bran is so much less than what is asked for that it matters; not said is not less."""
    return grams is not None and grams < book()["ledger.bran.short"].value * dose.grams


def short_of(place: PlaceState, body: Mapping[str, Any], today: dt.date) -> Dose | None:
    """What a layer with so little bran asks for; None where its bran is enough or not known."""
    grams, kinds = body.get("bran_g"), body.get("kinds")
    if grams is None:
        return None
    lot, _usable = in_use(place, body.get("lot"), today)
    mix = kinds or usual_mix(place.site())
    dose = asked(place, lot, b.Amount.model_validate(body["amount"]), mix)
    return dose if dose is not None and is_short(grams, dose) else None
