"""What a vessel's log says of it, as context and as signs."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

import numpy as np

from sourloam.evidence import book
from sourloam.ledger.amounts import layer_kg, usual_mix
from sourloam.ledger.bodies import Body, Fed
from sourloam.ledger.state import PlaceState, Record, Turn
from sourloam.scraps import CLASSES, class_shares
from sourloam.triage.beliefs import Outcome
from sourloam.triage.causes import causes_of
from sourloam.triage.context import Context, Setting
from sourloam.triage.signs import SIGNS

_ANIMAL = [CLASSES.index(name) for name in ("meat_fish", "dairy_egg")]
_LATELY = 7  # method: days in which a look, a strip or a thermometer still speaks of today
_PRACTISED = 3  # method: emptied fillings after which a home counts as trained
_MONTH = 30.4  # method: days of a month


def context_of(
    turn: Turn, state: PlaceState, today: dt.date, chance_of_failing: float | None = None
) -> Context:
    """What the entries of a filling tell, up to ``today``; None for what nobody wrote down."""
    last_fed = turn.last_fed
    last_drain = turn.drains[-1].day if turn.drains else turn.began.day
    full = turn.set_aside.day if turn.set_aside else today
    return Context(
        setting=_setting(state),
        chance_of_failing=chance_of_failing,
        room_c=_room_c(turn, state, today),
        bran_share=_bran_share(turn.layers, state),
        bran_months=_bran_months(turn.layers, state),
        animal_share=_animal_share(turn.layers),
        filling_days=float((full - turn.began.day).days),
        rest_days=None if last_fed is None else float((today - last_fed.day).days),
        undrained_days=float((today - last_drain).days),
        filled_share=turn.marks[-1].body.fraction if turn.marks else None,
    )


def signs_of(turn: Turn, today: dt.date) -> tuple[str, ...]:
    """Signs of the last look, and what the last strip in the ferment said, of the last days."""
    looked = turn.looks[-1] if turn.looks else None
    seen = set(looked.body.signs) & set(SIGNS) if _fresh(looked, today) and looked else set()
    strips = [r for r in turn.phs if r.body.of == "solid"]
    if strips and _fresh(strips[-1], today):
        seen.add(_strip(strips[-1].body.ph, _rested(turn, strips[-1].day)))
    return tuple(sorted(sign for sign in seen if SIGNS[sign].stage == "vessel"))


def outcomes_of(state: PlaceState) -> tuple[Outcome, ...]:
    """Vessels that taught something: a remedy was tried for a named cause and it mended.

    What did not mend, or was lost, does not tell which cause it was.
    """
    setting = _setting(state)
    turns = (turn for vessel in state.vessels for turn in vessel.turns)
    tried = (record.body for turn in turns for record in turn.rescues)
    return tuple(
        Outcome(body.cause or "", _known(body.signs), _known(body.absent), setting)
        for body in tried
        if body.outcome == "mended" and body.cause in causes_of("vessel")
    )


def _known(signs: Sequence[str]) -> tuple[str, ...]:
    return tuple(s for s in signs if s in SIGNS and SIGNS[s].stage == "vessel")


def _strip(ph: float, rested: int) -> str:
    if ph <= _row("remedy.sour_ph"):
        return "sour_strip"
    if ph <= _row("remedy.doubt_ph"):
        return "middling_strip"
    return "high_strip" if rested >= _row("context.young.limit") else "high_strip_young"


def _rested(turn: Turn, day: dt.date) -> int:
    return (day - turn.last_fed.day).days if turn.last_fed else 0


def _fresh(record: Record[Body] | None, today: dt.date) -> bool:
    return record is not None and (today - record.day).days <= _LATELY


def _setting(state: PlaceState) -> Setting:
    site = state.site()
    if site is not None and site.place.kind != "home":
        return "programme"
    emptied = sum(turn.ended is not None for vessel in state.vessels for turn in vessel.turns)
    return "trained" if emptied >= _PRACTISED else "new"


def _room_c(turn: Turn, state: PlaceState, today: dt.date) -> float | None:
    read = [
        r.body.temperature_c for r in (*turn.warmths, *state.stores.warmths) if _fresh(r, today)
    ]
    return float(np.median(read)) if read else None


def _bran_share(layers: Sequence[Record[Fed]], state: PlaceState) -> float | None:
    """Bran over scraps of the layers whose bran was written down."""
    known = [layer.body for layer in layers if layer.body.bran_g is not None]
    usual = usual_mix(state.site())
    masses = [layer_kg(fed, state, usual) for fed in known]
    if not known or None in masses:
        return None
    return sum(fed.bran_g or 0.0 for fed in known) / 1000 / sum(m for m in masses if m is not None)


def _bran_months(layers: Sequence[Record[Fed]], state: PlaceState) -> float | None:
    came = {record.body.lot: record.day for record in state.stores.bran_in}
    ages = [(r.day - came[r.body.lot]).days for r in layers if r.body.lot in came]
    return max(ages) / _MONTH if ages else None


def _animal_share(layers: Sequence[Record[Fed]]) -> float | None:
    """Share of meat, fish, dairy and egg, where people said what kinds went in."""
    told = [layer.body.kinds for layer in layers if layer.body.kinds is not None]
    return float(np.mean([_animal(kinds) for kinds in told])) if told else None


def _animal(kinds: str | dict[str, float]) -> float:
    parameters = book().central(book().ids("scraps.preset"))
    return float(class_shares(kinds, parameters)[0, _ANIMAL].sum())


def _row(name: str) -> float:
    return book()[f"triage.{name}"].value
