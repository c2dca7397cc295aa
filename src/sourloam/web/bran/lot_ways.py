"""Where one lot came from and where it went: vessels, other places, lots started with it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from sourloam.bran import trace_lot
from sourloam.bran.lots import LotTrace
from sourloam.ledger.lots import LotState, started_from
from sourloam.web import wording as w
from sourloam.web.addresses import address
from sourloam.web.bran import lot_words as lw
from sourloam.web.bran.lot_tests import done_tests
from sourloam.web.bran.lots import Neighbour, state_said
from sourloam.web.house import Inside


def vessels_with(inside: Inside, lot: LotState) -> list[dict[str, str]]:
    """Vessels of this place that it went into, the newest layer first."""
    newest = sorted(lot.parts, key=lambda part: part.uses[-1].layer.day, reverse=True)
    return [
        {
            "name": part.uses[0].vessel_name,
            "url": address("vessel", inside.house.id, part.uses[0].vessel),
            "said": ngettext(
                "%(n)d layer, %(mass)s, last on %(day)s",
                "%(n)d layers, %(mass)s, last on %(day)s",
                len(part.uses),
            )
            % {
                "n": len(part.uses),
                "mass": w.grams(1000 * part.mass_kg, inside.house.units),
                "day": w.day(part.uses[-1].layer.day),
            },
            "state": w.word(w.STAGES, inside.known.vessels[part.uses[0].vessel].stage),
        }
        for part in newest
    ]


def elsewhere(other: Neighbour, lot: LotState) -> Iterator[dict[str, Any]]:
    """The same lot at another place of the reader."""
    try:
        theirs = other.state.lot(lot.id)
    except KeyError:
        return
    done = done_tests(theirs).items()
    yield {
        "place": other.house.id,
        "name": other.house.name,
        "url": address("lot", other.house.id, lot.id),
        "state": state_said(theirs, other.house.units),
        "vessels": ", ".join(theirs.vessel_names),
        "tests": "; ".join(f"{w.word(lw.TESTS, kind)} · {said}" for kind, said in done),
        "recall": lot.recalled is not None and theirs.recalled is None,
        "may": other.house.may("bran_recalled"),
    }


def line_of(inside: Inside, lot: LotState, others: Sequence[Neighbour]) -> dict[str, Any]:
    """What it was started from, what was started from it, over all places of the reader."""
    found = _traced(inside, lot, others)
    known = {one.id for one in inside.state.lots}
    return {
        "from": [_linked(inside, name, known) for name in found.started_from],
        "later": [_linked(inside, name, known) for name in found.later_lots],
    }


def recalled_note(
    inside: Inside, lot: LotState, others: Sequence[Neighbour]
) -> Iterator[dict[str, str]]:
    """That a lot which this one was started from has been recalled."""
    mothers = _traced(inside, lot, others).started_from
    every = (*inside.state.lots, *(one for n in others for one in n.state.lots))
    bad = {one.id for one in every if one.recalled is not None} & set(mothers)
    if bad and lot.recalled is None:
        text = _(
            "%(lot)s was recalled, and this lot was started with it: test it before you give it."
        )
        names = ", ".join(sorted(bad))
        title = _("The bran it was started with was recalled")
        yield {"sort": "bad", "title": title, "text": text % {"lot": names}}


def _traced(inside: Inside, lot: LotState, others: Sequence[Neighbour]) -> LotTrace:
    every = (inside.state, *(n.state for n in others))
    return trace_lot([e for state in every for e in started_from(state.lots)], lot.id)


def _linked(inside: Inside, name: str, known: set[str]) -> dict[str, str]:
    url = address("lot", inside.house.id, name) if name in known else ""
    return {"name": name, "url": url}
