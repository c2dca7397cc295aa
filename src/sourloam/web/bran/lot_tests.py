"""Tests of one lot: how each is done, and what was found here and at other places."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from django.utils.translation import gettext as _

from sourloam.bran.trials import how_to, verdict
from sourloam.ledger.lot_standing import trial_of
from sourloam.ledger.lots import LotState
from sourloam.web import wording as w
from sourloam.web.bran import lot_words as lw
from sourloam.web.bran.lots import Neighbour


def tests_of(lot: LotState, units: str) -> list[dict[str, str]]:
    """How each test is done, and what those that were done said."""
    parameters, done = lw.values(), done_tests(lot)
    return [
        {
            "name": w.word(lw.TESTS, kind),
            "how": _(how_to(kind, parameters, units)),
            "done": done.get(kind, ""),
        }
        for kind in lw.TESTS
    ]


def untested_note(lot: LotState, others: Sequence[Neighbour]) -> dict[str, str]:
    """That nobody here tested it, with the tests that were done at the reader's other places."""
    usual = _("This is a forecast from what is usual. One test tells more than it does.")
    told = [
        f"{other.house.name}: {w.word(lw.TESTS, kind)}, {said}"
        for other in others
        for theirs in other.state.lots
        if theirs.id == lot.id
        for kind, said in done_tests(theirs).items()
    ]
    if not told:
        return {"sort": "", "title": _("Never tested"), "text": usual}
    text = _("What other places found is not in this forecast: %(tests)s.")
    return {
        "sort": "",
        "title": _("Not tested at this place"),
        "text": text % {"tests": "; ".join(told)},
    }


def done_tests(lot: LotState) -> dict[str, str]:
    """What each kind of test that was done said."""
    if not lot.tests:
        return {}
    parameters, first = lw.values(), lot.stored or dt.date.min
    said: dict[str, list[str]] = {kind: [] for kind in lw.TESTS}
    for record in lot.tests:
        told = w.word(lw.VERDICTS, verdict(trial_of(record, first), parameters))
        said[record.body.test].append(f"{w.day(record.day)}: {told}")
    return {kind: "; ".join(found) for kind, found in said.items() if found}
