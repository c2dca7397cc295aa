"""How strong one lot is: the headline, what to give of it, its figures and what moves them."""

from __future__ import annotations

from django.utils.translation import gettext as _

from sourloam.bran.kept import WARMER_K
from sourloam.ledger.lot_standing import Standing
from sourloam.ledger.lots import LotState
from sourloam.web import wording as w
from sourloam.web.bran import lot_words as lw
from sourloam.web.bran.lots import dose_said, span_said, warning_said

_EVEN = 0.5


def headline(lot: LotState, found: Standing | None) -> str:
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


def answer(lot: LotState, found: Standing | None, units: str) -> str:
    """What to give of it, or why none."""
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


def facts(lot: LotState, found: Standing | None, units: str) -> list[dict[str, str]]:
    """Its figures, each with its middle and range."""
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


def moves(found: Standing, units: str) -> list[str]:
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


def how(found: Standing, units: str) -> list[str]:
    """How its strength is reckoned."""
    activity = found.today.activity
    return [
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
