"""Figures for those who pay, and what an exchange of vessels takes."""

from __future__ import annotations

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from sourloam.programme import (
    Figures,
    Fleet,
    Three,
)
from sourloam.web import programme_words as pw
from sourloam.web import wording as w
from sourloam.web.programme_house import Yard


def figures_page(yard: Yard, found: Figures) -> list[dict[str, str]]:
    """Figures that those who pay ask for; how each is counted stands beside it."""
    low, middle, high = found.kept_kg
    ended = found.sound + found.failed
    rows = [
        (
            _("scraps into vessels"), w.kg(middle, yard.units), w.kg_range(low, high, yard.units),
            _("As logged by the places; %(n)s of it was weighed, the rest counted by bowls or read "
              "in litres.") % {"n": w.share(found.weighed_share)},
        ),
        (
            _("weighed on rounds"), w.kg(found.fetched_kg, yard.units), "",
            _("Contents of fetched vessels, contamination taken off (%(kg)s).")
            % {"kg": w.kg(found.contamination_kg, yard.units)},
        ),
        (
            _("places still at it"), f"{found.active[1]:.0f}",
            f"{found.active[0]:.0f} – {found.active[2]:.0f}",
            ngettext(
                "Of %(n)d place, by its silence. In one city %(share).0f of 100 vessels were "
                "still used when asked: here that would be %(m).0f.",
                "Of %(n)d places, by each one's silence. In one city %(share).0f of 100 vessels "
                "were still used when asked: here that would be %(m).0f.",
                found.places,
            )
            % {"n": found.places, "share": 100 * found.share_elsewhere,
               "m": found.share_elsewhere * found.places},
        ),
        (
            _("finished vessels"), str(ended), "",
            _("%(n)d of them failed or were thrown away.") % {"n": found.failed},
        ),
        (
            _("ferment buried"), w.kg(found.buried_kg, yard.units), "",
            _("By what was in the vessels that places buried themselves."),
        ),
        (
            _("trainings"), str(found.trainings), "",
            ngettext("%(n)d person came.", "%(n)d people came.", found.trained)
            % {"n": found.trained},
        ),
        (
            _("rounds and visits"), f"{found.rounds} + {found.visits}", "",
            _("As written in the programme's log; questions: %(q)d, complaints: %(c)d.")
            % {"q": found.questions, "c": found.complaints},
        ),
        (
            _("hours given"), w.number(found.hours, 3), "",
            _("Trainings, visits, rounds and other hours that were written down."),
        ),
    ]  # fmt: skip
    return [
        {"of": of, "figure": figure, "range": range_, "how": how}
        for of, figure, range_, how in rows
    ]


def fleet_page(yard: Yard, found: Fleet) -> dict[str, str]:
    """What a running exchange of vessels takes."""

    def three(value: Three) -> str:
        return f"{value[1]:.0f} ({value[0]:.0f} – {value[2]:.0f})"

    litres = found.water_l
    return {
        "vessels": three(found.vessels),
        "resting": three(found.resting),
        "floor": pw.area(found.floor_m2, yard.units),
        "weekly": f"{found.weekly:.0f}",
        "water": f"{w.litres(litres[1], yard.units)} "
        f"({w.litres(litres[0], yard.units)} – {w.litres(litres[2], yard.units)})",
        "hours": _("%(m)s h (%(l)s – %(h)s)")
        % dict(zip("lmh", (w.number(v, 2) for v in found.hours), strict=True)),
        "at_home": str(found.at_home),
    }
