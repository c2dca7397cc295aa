"""What looks odd in a place's log: the day, the thing, and the way to the entry."""

from __future__ import annotations

from dataclasses import dataclass

from sourloam.ledger.state import PlaceState
from sourloam.ledger.supersession import Oddity
from sourloam.web import wording as w
from sourloam.web.addresses import address
from sourloam.web.forms.making import CORRECTED
from sourloam.web.house import House
from sourloam.web.log.records import found


@dataclass(frozen=True)
class Odd:
    """``mend``: the form that puts it right, for who may; ``url``: where the entry stands."""

    said: str
    url: str = ""
    mend: str = ""


def odd(one: Oddity, state: PlaceState, house: House) -> Odd:
    """One oddity for the page of its place."""
    at = found(house.id, state, str(one.entry))
    day = w.day(one.at.astimezone(house.zone).date())
    said = f"{day}: {w.told(one.sentence)}"
    if at is None:
        return Odd(said)
    may = at.record.kind in CORRECTED and house.may(at.record.kind)
    mend = address("correct", house.id, str(one.entry)) if may else ""
    return Odd(f"{at.name}, {said}" if at.name else said, at.url, mend)
