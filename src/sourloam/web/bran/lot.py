"""The page of one lot: what it is worth today, what to give, where it came from and went."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from django.utils.translation import gettext as _

from sourloam import drawing
from sourloam.ledger.lot_demand import pace
from sourloam.ledger.lot_standing import Standing, standing
from sourloam.ledger.lots import LotState
from sourloam.web import wording as w
from sourloam.web.bran import lot_words as lw
from sourloam.web.bran.lot_strength import answer, facts, headline, how, moves
from sourloam.web.bran.lot_tests import tests_of, untested_note
from sourloam.web.bran.lot_ways import elsewhere, line_of, recalled_note, vessels_with
from sourloam.web.bran.lots import Neighbour, cautions, picture_of, state_said
from sourloam.web.fields import LogForm
from sourloam.web.forms import Asking, store_form, units_of
from sourloam.web.house import Inside
from sourloam.web.log.lines import log_line
from sourloam.web.pictures import shown

_USED = ("bran_tested", "bran_handed_out", "bran_recalled", "bran_discarded")


def page(
    inside: Inside, lot: LotState, others: Sequence[Neighbour], signs: w.Words
) -> dict[str, Any]:
    """Everything that the template needs."""
    house, state = inside.house, inside.state
    found = standing(lot, state, state.site(), house.today)
    return {
        "lot": lot,
        "state": state_said(lot, house.units),
        "headline": headline(lot, found),
        "answer": answer(lot, found, house.units),
        "pace": _pace(inside, lot),
        "drawing": shown(drawing.draw_sack(picture_of(lot, found, house.units))),
        "notes": [*_notes(lot, found, others), *recalled_note(inside, lot, others)],
        "facts": facts(lot, found, house.units),
        "moves": moves(found, house.units) if found and lot.stage == "store" else [],
        "how": how(found, house.units) if found else [],
        "forms": _forms(lot, inside),
        "may_bran": house.may("bran_tested"),
        "vessels": vessels_with(inside, lot),
        "handed": [
            {"to": r.body.to, "mass": w.bran(r.body.mass_kg, house.units), "day": w.day(r.day)}
            for r in reversed(lot.handed)
        ],
        "elsewhere": [e for n in others for e in elsewhere(n, lot)],
        "line": line_of(inside, lot, others),
        "tests": tests_of(lot, house.units),
        "log": [log_line(inside, r, signs) for r in reversed(lot.log)],
        "cautions": cautions(),
    }


def _pace(inside: Inside, lot: LotState) -> str:
    """Until when the bran lasts, on the page of the lot that is in use."""
    state, house = inside.state, inside.house
    found = pace(state, state.site(), house.today)
    return lw.pace_said(found, house.units) if found is not None and found.lot == lot.id else ""


def _notes(
    lot: LotState, found: Standing | None, others: Sequence[Neighbour]
) -> Iterator[dict[str, str]]:
    if lot.recalled is not None:
        why = lot.recalled.body.note or ""
        yield {"sort": "bad", "title": _("Recalled"), "text": why or _("Nobody wrote down why.")}
    if lot.left_kg < -0.0005:
        yield {
            "sort": "",
            "title": _("Looks odd"),
            "text": _("More of it went than came: a bag or a packing was not written down."),
        }
    if found is not None and found.lot.stage == "store" and not found.lot.tests:
        yield untested_note(lot, others)


def _forms(lot: LotState, inside: Inside) -> list[LogForm]:
    kinds = {"souring": ("bran_dried", "bran_packed"), "dried": ("bran_packed",)}
    first = kinds.get(lot.stage, ())
    later = () if lot.stage in kinds else _USED
    ask = Asking(inside.state, units_of(inside.house.units))
    hidden = (("lot", lot.id),)
    more = ("bran_recalled", "bran_discarded") if lot.stage in kinds else ()
    return [
        store_form(kind, ask, hidden)
        for kind in (*first, *later, *more)
        if inside.house.may(kind) and not (kind == "bran_recalled" and lot.recalled)
    ]
