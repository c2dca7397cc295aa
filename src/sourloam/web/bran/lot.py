"""One lot: what it is worth today, what to give, where it came from and where it went."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from sourloam import drawing
from sourloam.bran import trace_lot
from sourloam.bran.kept import WARMER_K
from sourloam.bran.lots import LotTrace
from sourloam.bran.trials import how_to, verdict
from sourloam.ledger.lot_demand import pace
from sourloam.ledger.lot_standing import Standing, standing, trial_of
from sourloam.ledger.lots import LotState, started_from
from sourloam.web import wording as w
from sourloam.web.addresses import address
from sourloam.web.bran import lot_words as lw
from sourloam.web.bran.lots import (
    Neighbour,
    cautions,
    dose_said,
    picture_of,
    span_said,
    state_said,
    warning_said,
)
from sourloam.web.fields import LogForm
from sourloam.web.forms import Asking, store_form, units_of
from sourloam.web.house import Inside
from sourloam.web.log.lines import log_line
from sourloam.web.pictures import shown

_EVEN = 0.5
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
        "headline": _headline(lot, found),
        "answer": _answer(lot, found, house.units),
        "pace": _pace(inside, lot),
        "drawing": shown(drawing.draw_sack(picture_of(lot, found, house.units))),
        "notes": [
            *_notes(lot, found, others),
            *_recalled_line(inside, lot, others),
        ],
        "facts": _facts(lot, found, house.units),
        "moves": _moves(found, house.units) if found and lot.stage == "store" else [],
        "how": _how(found, house.units) if found else [],
        "forms": _forms(lot, inside),
        "may_bran": house.may("bran_tested"),
        "vessels": _vessels(inside, lot),
        "handed": [
            {"to": r.body.to, "mass": w.bran(r.body.mass_kg, house.units), "day": w.day(r.day)}
            for r in reversed(lot.handed)
        ],
        "elsewhere": [e for n in others for e in _elsewhere(n, lot)],
        "line": _line(inside, lot, others),
        "tests": _tests(lot, house.units),
        "log": [log_line(inside, r, signs) for r in reversed(lot.log)],
        "cautions": cautions(),
    }


def _headline(lot: LotState, found: Standing | None) -> str:
    """How strong it is, in one line."""
    name = {"lot": lot.id}
    if lot.recalled is not None:
        return _("%(lot)s was recalled") % name
    if found is None:
        return _("%(lot)s is being made") % name
    if lot.stage == "used_up":
        return _("%(lot)s is used up") % name
    if found.today.condemned:
        return _("%(lot)s failed its test") % name
    if found.warned is not None:
        if found.warned.recalled:
            return _("%(lot)s was recalled elsewhere") % name
        return _("%(lot)s failed its test elsewhere") % name
    if not found.usable:
        return _("%(lot)s is too weak") % name
    if found.today.chance_good < _EVEN:
        return _("%(lot)s is probably weak") % name
    if found.today.doubtful:
        return _("%(lot)s may be weak") % name
    return _("%(lot)s is strong") % name


def _answer(lot: LotState, found: Standing | None, units: str) -> str:
    if lot.recalled is not None:
        return _("Recalled on %(day)s. Give none of it, and throw out what is left.") % {
            "day": w.day(lot.recalled.day)
        }
    if found is None:
        return _("It is not packed yet: open it when it is sour, dry it, weigh it.")
    if lot.stage == "used_up":
        return _("Nothing of it is left.")
    if found.today.condemned:
        return _("It failed its test: give none of it. It may be dug in or composted.")
    if found.warned is not None:
        return warning_said(found.warned)
    if not found.usable:
        return _(
            "By its age it is too weak: give none of it unless a test passes. It may be dug in or "
            "composted."
        )
    dose = {"dose": dose_said(found, units)}
    if not found.today.doubtful:
        return _("Strong. Give %(dose)s.") % dose
    if found.today.chance_good < _EVEN:
        return _("It is probably weak. Give %(dose)s, and test it.") % dose
    return _("It may be weak. Give %(dose)s, and test it.") % dose


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
        yield _untested(lot, others)


def _untested(lot: LotState, others: Sequence[Neighbour]) -> dict[str, str]:
    """That nobody here tested it, with the tests that were done at the reader's other places."""
    usual = _("This is a forecast from what is usual. One test tells more than it does.")
    told = [
        f"{other.house.name}: {w.word(lw.TESTS, kind)}, {said}"
        for other in others
        for theirs in other.state.lots
        if theirs.id == lot.id
        for kind, said in _done(theirs).items()
    ]
    if not told:
        return {"sort": "", "title": _("Never tested"), "text": usual}
    text = _("What other places found is not in this forecast: %(tests)s.")
    return {
        "sort": "",
        "title": _("Not tested at this place"),
        "text": text % {"tests": "; ".join(told)},
    }


def _recalled_line(
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


def _facts(lot: LotState, found: Standing | None, units: str) -> list[dict[str, str]]:
    if lot.stored is None and lot.mixed is not None:
        mass = w.bran(lot.mixed.body.mass_kg, units)
        return [{"of": _("Meant to give"), "middle": mass, "range": _("weigh it when you pack it")}]
    rows = [
        {
            "of": _("Left"),
            "middle": w.about_bran(max(lot.left_kg, 0), units),
            "range": _("of %(mass)s") % {"mass": w.bran(lot.in_kg, units)},
        }
    ]
    if found is None or lot.stage not in ("store", "recalled"):
        return rows
    now = found.today
    return [
        {"of": _("How much to give"), "middle": dose_said(found, units), "range": ""},
        *rows,
        {
            "of": _("Living cells in a gram"),
            "middle": lw.cells(now.strength.median, 1),
            "range": f"{lw.cells(now.strength.low, 1)} – {lw.cells(now.strength.high, 1)}",
        },
        {
            "of": _("Strong enough"),
            "middle": lw.in_100(now.chance_good),
            "range": _("lots like this one"),
        },
        {
            "of": _("Best before"),
            "middle": w.day(found.best_before),
            "range": span_said(found),
        },
        *_cooled(found),
    ]


def _cooled(found: Standing) -> list[dict[str, str]]:
    """What a refrigerator would still do for it, told where it would do something."""
    low, middle, high = (
        round(days or 0)
        for days in (
            found.today.good_days_cool.low,
            found.today.good_days_cool.median,
            found.today.good_days_cool.high,
        )
    )
    if not found.usable or high <= found.age_days:
        return []
    perhaps = _("perhaps until %(day)s") % {"day": w.day(found.day(high))}
    late = middle <= found.age_days
    return [
        {
            "of": _("In a refrigerator from today"),
            "middle": _("likely too late") if late else w.day(found.day(middle)),
            "range": perhaps
            if low <= found.age_days
            else f"{w.day(found.day(low))} – {w.day(found.day(high))}",
        }
    ]


def _moves(found: Standing, units: str) -> list[str]:
    """What moves the best-before most."""
    sayings = {
        "store": _("Warmth: in a refrigerator from the first day it would be strong enough until "
                   "%(a)s; kept %(apart)s warmer than it is, until %(b)s."),
        "moisture": _("Moisture: as dry as it is taken to be, until %(a)s; a little moister, "
                      "until %(b)s."),
        "start": _("Strength when it was new: if it was one of the strong ones, until %(a)s; if "
                   "one of the weak ones, until %(b)s."),
    }  # fmt: skip
    apart = w.warmth_apart(WARMER_K, units)
    return [
        sayings[name] % {"a": w.day(found.day(a)), "b": w.day(found.day(b)), "apart": apart}
        for name, a, b in found.today.moves
    ]


def _how(found: Standing, units: str) -> list[str]:
    activity = found.today.activity
    lines = [
        _(
            "Cells die in the store: the faster the warmer and the moister. It is taken to be kept "
            "at %(store)s, at a water activity of %(activity)s (%(low)s – %(high)s; 0 is bone "
            "dry, 1 is wet)."
        )
        % {
            "store": w.warmth(found.store_c, units),
            "activity": w.number(activity.median or 0, 2),
            "low": w.number(activity.low or 0, 2),
            "high": w.number(activity.high or 0, 2),
        },
        _(
            "Each test takes out the possible lots that would not have shown that result (Bayes' "
            "rule); one lot in twenty is taken to have died by accident. Best before is the day "
            "until which half of the possible lots bring enough cells with the largest dose."
        ),
        _(
            "Under “What moves its day most”, moister means two more grams of water in a hundred "
            "grams of bran; strong ones and weak ones are the upper and the lower third of the "
            "possible lots."
        ),
        _(
            "Most of these values are our judgement: no count of cells on slowly dried bran was "
            "found. They are listed by: sourloam sources bran_keeping"
        ),
    ]
    return lines


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


def _vessels(inside: Inside, lot: LotState) -> list[dict[str, str]]:
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


def _elsewhere(other: Neighbour, lot: LotState) -> Iterator[dict[str, Any]]:
    """The same lot at another place of the reader."""
    try:
        theirs = other.state.lot(lot.id)
    except KeyError:
        return
    yield {
        "place": other.house.id,
        "name": other.house.name,
        "url": address("lot", other.house.id, lot.id),
        "state": state_said(theirs, other.house.units),
        "vessels": ", ".join(theirs.vessel_names),
        "tests": "; ".join(f"{w.word(lw.TESTS, k)} · {said}" for k, said in _done(theirs).items()),
        "recall": lot.recalled is not None and theirs.recalled is None,
        "may": other.house.may("bran_recalled"),
    }


def _line(inside: Inside, lot: LotState, others: Sequence[Neighbour]) -> dict[str, Any]:
    """What it was started from, what was started from it, over all places of the reader."""
    found = _traced(inside, lot, others)
    known = {one.id for one in inside.state.lots}
    return {
        "from": [_linked(inside, name, known) for name in found.started_from],
        "later": [_linked(inside, name, known) for name in found.later_lots],
    }


def _traced(inside: Inside, lot: LotState, others: Sequence[Neighbour]) -> LotTrace:
    every = (inside.state, *(n.state for n in others))
    return trace_lot([e for state in every for e in started_from(state.lots)], lot.id)


def _linked(inside: Inside, name: str, known: set[str]) -> dict[str, str]:
    url = address("lot", inside.house.id, name) if name in known else ""
    return {"name": name, "url": url}


def _tests(lot: LotState, units: str) -> list[dict[str, str]]:
    """How each test is done, and what those that were done said."""
    parameters, done = lw.values(), _done(lot)
    return [
        {
            "name": w.word(lw.TESTS, kind),
            "how": _(how_to(kind, parameters, units)),
            "done": done.get(kind, ""),
        }
        for kind in lw.TESTS
    ]


def _done(lot: LotState) -> dict[str, str]:
    """What each kind of test that was done said."""
    if not lot.tests:
        return {}
    parameters, first = lw.values(), lot.stored or dt.date.min
    said: dict[str, list[str]] = {kind: [] for kind in lw.TESTS}
    for record in lot.tests:
        told = w.word(lw.VERDICTS, verdict(trial_of(record, first), parameters))
        said[record.body.test].append(f"{w.day(record.day)}: {told}")
    return {kind: "; ".join(found) for kind, found in said.items() if found}
